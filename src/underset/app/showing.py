"""What pages show of a plan or of a setting under the hand: the card's view and its drawings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from underset.app.setting_at import There
from underset.records.workshop import Workshop
from underset.setting.result import Outcome, Plan

if TYPE_CHECKING:
    from underset.app.planning import Wish
    from underset.card.view import CardView


@dataclass(frozen=True, slots=True)
class Look:
    """Units and language of the visitor."""

    units: str
    language: str


@dataclass(frozen=True, slots=True)
class Drawn:
    """Drawings of one setting: plan, side view, the four stacks; styles come with the page."""

    plan: str
    side: str
    stacks: tuple[str, ...]


def plan_of(there: There, invented: bool) -> Plan:
    """A setting under the hand as a plan, so that every page reads it through one view."""
    return Plan(
        Outcome.FOUND, there.evaluation, (), (), (), (), 1, scene=there.scene, invented=invented
    )


# Decision: a page under the hand prints no QR code, so the digest a code would bear, which costs a
# tenth of a drag, is not worked out for it.
NO_DIGEST = "-"


def view_of(workshop: Workshop, wish: Wish, plan: Plan, day: str, look: Look) -> CardView:
    """The view of a plan in the visitor's units and language, for the screen alone."""
    from underset.card.build import About, build_view

    best = plan.best
    job = workshop.jobs.get(wish.job or "")
    about = About(
        vehicle=workshop.vehicle(wish.vehicle).label,
        bay=workshop.bay(best.setting.bay).label if best else "",
        job=job.label if job else "",
        workshop=workshop.about.name,
        date=day,
        digest=NO_DIGEST,
    )
    return build_view(plan, about, units=look.units, language=look.language)


def drawn(there: There, view: CardView, look: Look) -> Drawn | None:
    """Plan with all windows, side view and stacks, without styles of their own.

    None where no arm reaches, for there is no setting to be drawn.
    """
    from underset.card.drawing import Options, pair_svg, stack_svg

    scene, evaluation = there.scene, there.evaluation
    if scene is None or evaluation is None:
        return None
    options = Options(
        units=look.units, language=look.language, theme="bare", width=170.0, height=190.0,
        windows=there.windows,
    )  # fmt: skip
    statuses = view.picture.statuses if view.picture else None
    extra = {"statuses": statuses} if statuses else {}
    side, plan = pair_svg(scene, evaluation.setting, options=options, **extra)
    stacks = tuple(
        stack_svg(arm, theme="bare", size=(14.0, 23.0)) for arm in evaluation.setting.arms
    )
    return Drawn(plan, side, stacks)


def styles() -> str:
    """Style rules of all drawings and badges."""
    from underset.card.html import drawing_css

    return drawing_css()


def badge(key: str) -> str:
    """The sign of a status."""
    from underset.card.badge import badge_svg

    return badge_svg(key, theme="bare", size=6.0)


def told_figure(token: str, units: str, language: str) -> str:
    """A fact's value token in the visitor's units."""
    from underset.setting.wording import figure

    return figure(token, units, language)


def length(value: float, units: str, language: str) -> str:
    """A length in the visitor's units."""
    from underset.setting import amount

    return amount(value, "m", units, language)
