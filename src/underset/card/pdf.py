"""The card as PDF and as SVG page, set by typst: no network, the same bytes every time."""

from __future__ import annotations

import json
import re
from dataclasses import asdict, fields
from functools import lru_cache
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

from underset.card.badge import badge_svg
from underset.card.drawing import Options, pair_svg, stack_svg
from underset.card.qr import qr_svg
from underset.card.view import CardView
from underset.card.writer import STATUS_KEY
from underset.errors import RenderError

if TYPE_CHECKING:
    import typst

_HOME: Final = Path(__file__).parent
LEFT_COLUMN: Final = 112.0  # mm
_STACK: Final = (11.5, 22.5)
_DRAWINGS, _ROW, _MOST_ROWS = 143.0, 3.9, 10  # mm, mm, rows of the table of states
_BOX, _LINE = 35.0, 3.3  # mm: a corner box whose stack stands on one line, and one line more
_ONE_LINE = 30  # letters of a stack's names that surely find room on one line
_STEP = 26  # letters of a step's name that surely do


def render_pdf(view: CardView) -> bytes:
    """One A4 page as PDF. Raises RenderError when the page cannot be set."""
    return compiled("card.typ", card_inputs(view), "pdf")


def render_svg(view: CardView) -> str:
    """The same page as one SVG text; letters are outlines, the verdict stands in title and desc."""
    page = compiled("card.typ", card_inputs(view), "svg").decode("utf-8")
    return _titled(page, view)


def _titled(page: str, view: CardView) -> str:
    title = escape(f"{view.title}: {view.vehicle.value}, {view.bay.value}")
    told = f"<title>{title}</title><desc>{escape(view.verdict)} {escape(view.advice)}</desc>"
    head, _, rest = page.partition(">")
    return f'{head} role="img">{told}{rest}'


# --- what the template gets -----------------------------------------------------------------------


def card_inputs(view: CardView) -> dict[str, str]:
    """View and pictures as the two JSON texts the template reads."""
    return {"view": json.dumps(plain(view), ensure_ascii=False), "art": json.dumps(_art(view))}


def plain(view: CardView) -> dict[str, Any]:
    """The view as plain data, without the scene, which is drawn and not written."""
    shown = {f.name: getattr(view, f.name) for f in fields(view) if f.name != "picture"}
    return {name: _as_data(value) for name, value in shown.items()}


def _as_data(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_as_data(item) for item in value]
    return asdict(value) if hasattr(value, "__dataclass_fields__") else value


def _art(view: CardView) -> dict[str, Any]:
    side, plan, stacks = "", "", []
    if view.picture is not None and view.has_setting:
        p = view.picture
        side, plan = pair_svg(p.scene, p.setting, statuses=p.statuses, options=_paper(view))
        stacks = [stack_svg(arm, size=_STACK) for arm in p.setting.arms] if p.setting else []
    return {
        "side": side,
        "side_height": _height(side),
        "plan": plan,
        "plan_height": _height(plan),
        "stacks": stacks,
        "box_height": _box_height(view),
        "badges": {key: badge_svg(key) for key in STATUS_KEY.values()},
        "qr": qr_svg(view.qr),
    }


def _height(drawing: str) -> float:
    """Height in mm as the drawing itself tells it."""
    found = re.search(r' height="([\d.]+)mm"', drawing)
    return float(found.group(1)) if found else 0.0


def _paper(view: CardView) -> Options:
    """Room for both views: what boxes and table of states leave, within reason."""
    rows = min(sum(1 + len(s.name) // _STEP for s in view.states), _MOST_ROWS)
    return Options(
        units=view.units,
        language=view.language,
        width=LEFT_COLUMN,
        height=_DRAWINGS - _ROW * rows - 2 * (_box_height(view) - _BOX),
        overhead=False,
    )


def _box_height(view: CardView) -> float:
    """Height of all four corner boxes, mm: for the longest of their stacks."""
    longest = max((len(" + ".join(p.label for p in b.pieces)) for b in view.corners), default=0)
    return _BOX if longest <= _ONE_LINE else _BOX + _LINE


# --- typst ----------------------------------------------------------------------------------------


def compiled(template: str, inputs: dict[str, str], kind: Literal["pdf", "svg"]) -> bytes:
    """Compile one of the package's templates with the package's fonts and nothing else."""
    import typst

    pages: Any  # a list of pages where a drawing format has several
    try:
        pages = typst.compile(
            _HOME / "templates" / template,
            root=_HOME / "templates",
            format=kind,
            sys_inputs=inputs,
            font_paths=_fonts(),
        )
    except typst.TypstError as error:
        raise RenderError(f"The page {template} could not be set: {error}") from error
    if isinstance(pages, list):
        raise RenderError(f"The page {template} took {len(pages)} pages instead of one.")
    return bytes(pages)


def page_fit(view: CardView, label: str = "<fit>") -> list[dict[str, Any]]:
    """What the page measured of itself.

    "<fit>": room and use of each column, mm, and how many lines each section kept. "<shrunk>": each
    figure that may not be cut, and whether it found room.
    """
    import typst

    told = typst.query(
        _HOME / "templates" / "card.typ",
        label,
        field="value",
        root=_HOME / "templates",
        sys_inputs=card_inputs(view),
        font_paths=_fonts(),
    )
    found: list[dict[str, Any]] = json.loads(told)
    return found


@lru_cache(maxsize=1)
def _fonts() -> typst.Fonts:
    import typst

    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[_HOME / "fonts"]
    )
