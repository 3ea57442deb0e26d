"""The card as one HTML page that needs nothing else: styles and drawings inside, light and dark."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from underset.card import svg
from underset.card.badge import badge_style, badge_svg
from underset.card.drawing import Options, front_svg, pair_svg, stack_svg
from underset.card.qr import qr_svg
from underset.card.view import CardView
from underset.card.writer import STATUS_KEY

if TYPE_CHECKING:
    from jinja2 import Template

_TEMPLATES: Final = Path(__file__).parent / "templates"
_DRAWINGS: Final = (
    "plan",
    "side",
    "front",
    "stack-LF",
    "stack-RF",
    "stack-LR",
    "stack-RR",
    "vehicle",
)
_WIDTH: Final = 150.0  # mm; the page enlarges it
_STACK: Final = (14.0, 23.0)


def render_html(view: CardView) -> str:
    """The whole card, nothing left out."""
    return template("card.html").render(card=view, art=_art(view))


def drawing_css() -> str:
    """Style rules of all drawings and badges, for pages that show them with the theme "bare"."""
    sheets = "".join(svg.rules("bare", name) for name in _DRAWINGS)
    return svg.variables() + sheets + badge_style("bare")


def page_css(name: str) -> str:
    """One of the package's style sheets."""
    return (_TEMPLATES / name).read_text("utf-8")


def _art(view: CardView) -> dict[str, Any]:
    return {
        **_drawings(view),
        "css": drawing_css() + page_css("card.css"),
        "badges": {key: badge_svg(key, theme="bare") for key in STATUS_KEY.values()},
        "qr": qr_svg(view.qr),
    }


def _drawings(view: CardView) -> dict[str, Any]:
    p = view.picture
    if p is None or not view.has_setting:
        return {"side": "", "plan": "", "front": "", "stacks": []}
    options = Options(
        units=view.units, language=view.language, theme="bare", width=_WIDTH, height=200.0
    )
    side, plan = pair_svg(p.scene, p.setting, statuses=p.statuses, options=options)
    front = front_svg(p.scene, p.setting, statuses=p.statuses, options=options)
    arms = p.setting.arms if p.setting else ()
    stacks = [stack_svg(arm, theme="bare", size=_STACK) for arm in arms]
    return {"side": side, "plan": plan, "front": front, "stacks": stacks}


@lru_cache(maxsize=8)
def template(name: str) -> Template:
    """One of the package's templates.

    Decision: undefined names are errors, so that a template cannot ask for what is not
    declared.
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(name)
