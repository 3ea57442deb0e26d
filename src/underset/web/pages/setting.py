"""The setting under the hand: drag the vehicle, arms and numbers follow."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Depends, Query
from fastapi.responses import HTMLResponse, Response

from underset.app import showing
from underset.app.planning import Wish
from underset.app.setting_at import At, There
from underset.errors import InputError, said
from underset.web.forms import fresh_key
from underset.web.page import environment, show
from underset.web.visit import Visit, Visitor
from underset.web.words import words_in

if TYPE_CHECKING:
    from underset.card.view import CardView

router = APIRouter(include_in_schema=False)
STATUSES = ("holds", "watch", "unknown", "stops")
_STEPS = {
    "metric": ((-0.1, "−100"), (-0.01, "−10"), (0.01, "+10"), (0.1, "+100")),
    "inch": ((-0.1016, "−4"), (-0.0127, "−1/2"), (0.0127, "+1/2"), (0.1016, "+4")),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address says: which vehicle, job and bay, and where the vehicle is held."""

    vehicle: str
    job: str
    at: At

    @property
    def wish(self) -> Wish:
        """The wish behind it."""
        return Wish(self.vehicle, self.job or None, (self.at.bay,))


def asked(
    vehicle: Annotated[str, Query(max_length=63)],
    bay: Annotated[str, Query(max_length=63)],
    job: Annotated[str, Query(max_length=63)] = "",
    heading: Annotated[str, Query(pattern="^(nose-in|tail-in)$")] = "nose-in",
    points: Annotated[str, Query(max_length=63)] = "",
    spot: Annotated[float, Query(ge=-8.0, le=8.0, allow_inf_nan=False)] = 0.0,
    sideways: Annotated[float, Query(ge=-1.0, le=1.0, allow_inf_nan=False)] = 0.0,
    yaw: Annotated[float, Query(ge=-0.2, le=0.2, allow_inf_nan=False)] = 0.0,
    stack: Annotated[int, Query(ge=0, le=20)] = 0,
    state: Annotated[int, Query(ge=0, le=200)] = 0,
) -> Asked:
    """Read the address."""
    return Asked(vehicle, job, At(bay, heading, points, spot, sideways, yaw, stack, state))


@dataclass(frozen=True, slots=True)
class PartView:
    """What moves with the vehicle.

    Where no arm reaches there is no card; the drawing is then of the nearest window, and `shift`
    (along, across, m) says how far from it the vehicle is held.
    """

    at: dict[str, object]
    units: str
    steps: tuple[tuple[float, str], ...]
    reached: bool
    unreached: tuple[str, ...]
    card: CardView | None
    drawn: showing.Drawn | None
    shift: tuple[float, float]
    windows: tuple[tuple[float, float], ...]
    nearest: float | None
    badges: dict[str, str]
    status_key: str


@dataclass(frozen=True, slots=True)
class SettingView:
    """The whole page."""

    vehicle: str
    vehicle_label: str
    job: str
    job_label: str
    bay_label: str
    point_sets: tuple[tuple[str, str], ...]
    part: PartView
    key: str


@router.get("/setting", response_class=HTMLResponse)
def setting(visit: Visitor, asked: Annotated[Asked, Depends(asked)]) -> HTMLResponse:
    """The page with the setting as the address says."""
    shop = visit.shop.workshop()
    vehicle = shop.vehicle(asked.vehicle)
    asked = with_points(visit, asked)
    job = shop.jobs.get(asked.job)
    view = SettingView(
        asked.vehicle, vehicle.label, asked.job, job.label if job else "",
        shop.bay(asked.at.bay).label,
        tuple((p.id, p.label) for p in vehicle.point_sets), part_view(visit, asked),
        fresh_key(),
    )  # fmt: skip
    return show(
        visit, "setting.html", view, title="setting.title", here="today", scripts=("setting.js",)
    )


@router.get("/drawings.css")
def drawings_css() -> Response:
    """Style rules of all drawings; the page's own style sheet names the variables."""
    headers = {"Cache-Control": "max-age=3600"}
    return Response(showing.styles(), media_type="text/css", headers=headers)


@router.get("/setting/part", response_class=HTMLResponse)
def part(visit: Visitor, asked: Annotated[Asked, Depends(asked)]) -> HTMLResponse:
    """Only what moves with the vehicle, for the script."""
    view = part_view(visit, with_points(visit, asked))
    words = words_in(visit.language)
    text = environment().get_template("setting_part.html").render(part=view, words=words)
    return HTMLResponse(text)


def with_points(visit: Visit, asked: Asked) -> Asked:
    """The same with a point set: the vehicle's first when none is named."""
    vehicle = visit.shop.workshop().vehicle(asked.vehicle)
    at, known = asked.at, tuple(p.id for p in vehicle.point_sets)
    if not at.point_set:
        return Asked(asked.vehicle, asked.job, At(**{**asdict(at), "point_set": known[0]}))
    if at.point_set not in known:
        raise InputError("points", at.point_set, said("one of {known}", known=", ".join(known)))
    return asked


def part_view(visit: Visit, asked: Asked) -> PartView:
    """Judge the setting at the stop and make its view and drawings."""
    there: There = visit.shop.at(asked.wish, asked.at, visit.person or None)
    badges = {k: showing.badge(k) for k in STATUSES}
    nearest, told = there.nearest, (asdict(asked.at), visit.units, _STEPS[visit.units])
    if there.evaluation is not None:
        card, drawn = _shown(visit, asked, there)
        key = card.status.key
        return PartView(
            *told, True, (), card, drawn, (0.0, 0.0), there.windows, nearest, badges, key
        )  # fmt: skip
    drawn, shift = None, (0.0, 0.0)
    if nearest is not None:
        shift = (asked.at.spot - nearest, asked.at.sideways)
        beside = replace(asked.at, spot=nearest, sideways=0.0, yaw=0.0)
        drawn = _shown(visit, asked, visit.shop.at(asked.wish, beside, visit.person or None))[1]
    return PartView(
        *told, False, there.unreached, None, drawn, shift, there.windows, nearest, badges, "stops"
    )  # fmt: skip


def _shown(visit: Visit, asked: Asked, there: There) -> tuple[CardView, showing.Drawn | None]:
    now = visit.shop.moment()
    shop, look = now.workshop, showing.Look(visit.units, visit.language)
    invented = shop.about.invented or shop.vehicle(asked.vehicle).invented
    plan = showing.plan_of(there, invented)
    card = showing.view_of(shop, asked.wish, plan, shop.day(now.day).isoformat(), look)
    return card, showing.drawn(there, card, look)
