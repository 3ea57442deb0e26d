"""Result types: everything the judge and the planner say, complete and frozen. SI units.

Corners are always in the order LF, RF, LR, RR. Places are in L unless a name says otherwise.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from itertools import chain

Point = tuple[float, float]
Polygon = tuple[Point, ...]
CORNERS = ("LF", "RF", "LR", "RR")


class Status(StrEnum):
    """What a check says. A missing figure gives NOT_KNOWN, never HOLDS."""

    HOLDS = "holds"
    WATCH = "watch"
    NOT_KNOWN = "not known"
    STOPS = "stops"


_ORDER = (Status.HOLDS, Status.WATCH, Status.NOT_KNOWN, Status.STOPS)
_RANK = {s: i for i, s in enumerate(_ORDER)}


def merge(*statuses: Status) -> Status:
    """Worst of several: stops beats not known beats watch beats holds."""
    return max(statuses, key=_RANK.__getitem__, default=Status.HOLDS)


class Outcome(StrEnum):
    """How a search ended; never mixed up with one another."""

    FOUND = "found"
    NONE = "none"
    LIMIT = "limit"
    INCOMPLETE = "incomplete"


@dataclass(frozen=True, slots=True)
class Check:
    """One check: what was found (`demand`), what is allowed (`limit`), how far away (`margin`).

    `margin` is in `unit` and positive on the good side; `slack` is the margin against the limit as
    a plain ratio, so that checks of different units can be ranked. `note` is a key into the
    catalogue of sentences with its arguments. `inputs` are (name, value with unit) pairs as used.
    """

    name: str
    status: Status
    demand: float | None = None
    limit: float | None = None
    margin: float | None = None
    slack: float | None = None
    unit: str = ""
    nominal: float | None = None
    state: str = ""
    where: str = ""
    note: tuple[str, ...] = ()
    inputs: tuple[tuple[str, float | str, str], ...] = ()
    sources: tuple[str, ...] = ()

    def in_state(self, state: str) -> Check:
        """The same check, told of a state."""
        return Check(
            self.name, self.status, self.demand, self.limit, self.margin, self.slack, self.unit,
            self.nominal, state, self.where, self.note, self.inputs, self.sources,
        )  # fmt: skip


def told_of(checks: Iterable[Check], state: str) -> tuple[Check, ...]:
    """Checks of the judge, each told of a state.

    Decision: a check that tells of no state yet was just made and is nobody else's, so it is named
    where it is; one that tells of another state is copied. Copies of all took an eighth of a plan.
    """
    found = []
    for check in checks:
        if not check.state:
            object.__setattr__(check, "state", state)
        found.append(check if check.state == state else check.in_state(state))
    return tuple(found)


def worst_of(checks: Iterable[Check]) -> Status:
    """Worst status of some checks."""
    worst = Status.HOLDS
    for check in checks:
        # Most checks hold: telling by identity spares looking up the rank of each.
        if check.status is not Status.HOLDS and check.status is not worst:
            worst = merge(worst, check.status)
    return worst


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a stack as it stands: heights of its lower and upper face above the floor."""

    adapter: str
    label: str
    role: str
    bottom: float
    top: float
    screw: float
    travel: float | None
    turns: float | None


@dataclass(frozen=True, slots=True)
class ArmSetting:
    """How one arm stands. `corner` is the vehicle's, `arm` its place on the lift."""

    corner: str
    arm: str
    tooth: int | None
    swing: float
    reach: float
    pad: Point
    point: Point
    along: float
    across: float
    stack: tuple[Piece, ...]
    screw: float
    turns: float | None
    contact: str

    @property
    def stack_ids(self) -> tuple[str, ...]:
        """Adapter ids from the seat up."""
        return tuple(p.adapter for p in self.stack)


@dataclass(frozen=True, slots=True)
class Setting:
    """One vehicle placed on one lift, with everything that places it.

    `window` is the interval of spots in which everything still works, re-toothing allowed;
    `fixed_window` the part of it in which the teeth stay as given. `seat` is the seat height at
    first touch.
    """

    vehicle: str
    bay: str
    job: str | None
    heading: str
    point_set: str
    spot: float
    sideways: float
    yaw: float
    window: tuple[float, float]
    fixed_window: tuple[float, float]
    seat: float
    arms: tuple[ArmSetting, ArmSetting, ArmSetting, ArmSetting]


@dataclass(frozen=True, slots=True)
class PadLoad:
    """Load of one pad, N: nominal, and least and greatest within the stated tolerances."""

    nominal: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class StandLoad:
    """A stand or table that pushes up in a state: place in L and V, force N."""

    name: str
    place: Point
    aft: float
    side: float
    force: float
    kind: str = "stand"


@dataclass(frozen=True, slots=True)
class Residuals:
    """Equilibrium left over by the nominal pad loads: N and N m, near zero."""

    force: float
    moment_x: float
    moment_y: float


@dataclass(frozen=True, slots=True)
class StateResult:
    """The vehicle on the lift after one step of the job."""

    name: str
    label: str
    mass: float
    mass_low: float
    mass_high: float
    cg: tuple[float, float, float]
    cg_low: tuple[float, float, float]
    cg_high: tuple[float, float, float]
    cg_vehicle: tuple[float, float, float]
    pads: tuple[PadLoad, PadLoad, PadLoad, PadLoad]
    supports: tuple[StandLoad, ...]
    residuals: Residuals
    checks: tuple[Check, ...]
    known: bool = True
    """False where mass or balance is not known: then every figure above is void, not zero."""
    lifted: bool = True
    """False while the vehicle stands on its tyres: then no pad carries and nothing is judged."""

    @property
    def status(self) -> Status:
        """Worst status of this state's checks."""
        return worst_of(self.checks)


@dataclass(frozen=True, slots=True)
class Evaluation:
    """The judge's complete word on one setting: every state, every check.

    The checks of placing (reach, stacks, clearances, papers) stand in the first state.
    """

    setting: Setting
    states: tuple[StateResult, ...]

    @property
    def checks(self) -> tuple[Check, ...]:
        """All checks of all states."""
        return tuple(chain.from_iterable([s.checks for s in self.states]))

    @property
    def status(self) -> Status:
        """Worst status of all checks."""
        return worst_of(chain.from_iterable([s.checks for s in self.states]))

    @property
    def usable(self) -> bool:
        """Only settings whose checks all hold or want watching are usable."""
        return self.status in (Status.HOLDS, Status.WATCH)

    @property
    def least_slack(self) -> float:
        """Least margin over all checks as a plain ratio; the planner ranks by it."""
        return min([c.slack for c in self.checks if c.slack is not None], default=0.0)

    @property
    def first_failing_state(self) -> StateResult | None:
        """The step at which the setting stops holding, if any."""
        return next((s for s in self.states if s.status is Status.STOPS), None)


@dataclass(frozen=True, slots=True)
class Refusal:
    """How many candidates one check refused, and the nearest miss."""

    check: str
    count: int
    bay: str
    nearest: Check | None
    candidate: str = ""


@dataclass(frozen=True, slots=True)
class Remedy:
    """A change that was re-run through the judge: what to do, what it would give, its effort."""

    kind: str
    text: str
    effort: int
    outcome: Outcome
    bay: str = ""
    evaluation: Evaluation | None = None
    details: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Missing:
    """A figure or answer that is not given, and what it would settle."""

    record: str
    field: str
    why: str
    how: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """A ranked candidate in short, for lists of bays and alternatives."""

    bay: str
    heading: str
    point_set: str
    status: Status
    least_slack: float
    spot: float
    window: tuple[float, float]
    pieces: int
    evaluation: Evaluation


@dataclass(frozen=True, slots=True)
class HoldPoint:
    """A point at which people stop, look and tick or sign; no verdict stands in for it."""

    id: str
    title: str
    text: str
    sign: bool = False
    state: str = ""
    corner: str = ""
    facts: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Wedge:
    """A part of the scene in plan, named by kind ("zone", "tyre", ...), with a label."""

    kind: str
    label: str
    outline: Polygon
    underside: float | None = None


@dataclass(frozen=True, slots=True)
class Scene:
    """Shapes of a setting for drawings, in L; side-view figures are heights above the floor.

    `arms[i]` are the plan outlines of arm i's sections from the tip inward, in corner order.
    """

    heading: str
    columns: tuple[Polygon, ...]
    pivots: tuple[Point, Point, Point, Point]
    arms: tuple[tuple[Polygon, ...], ...]
    pads: tuple[Point, Point, Point, Point]
    pad_radii: tuple[float, float, float, float]
    points: tuple[Point, Point, Point, Point]
    body: Polygon | None
    tyres: tuple[Polygon, ...]
    zones: tuple[Wedge, ...]
    axles: tuple[tuple[Point, Point], tuple[Point, Point]]
    wheel_radius: float | None
    roof: float | None
    sill: float | None
    ceiling: float | None
    stop_bar: tuple[float, float] | None
    cg: tuple[float, float, float] | None
    cg_low: tuple[float, float, float] | None
    cg_high: tuple[float, float, float] | None
    support: Polygon
    stands: tuple[StandLoad, ...]
    mark: tuple[str, float] | None
    seat: float
    rise_limit: float | None


@dataclass(frozen=True, slots=True)
class Plan:
    """The planner's answer."""

    outcome: Outcome
    best: Evaluation | None
    choices: tuple[Choice, ...]
    refusals: tuple[Refusal, ...]
    remedies: tuple[Remedy, ...]
    missing: tuple[Missing, ...]
    candidates: int
    scene: Scene | None = None
    hold_points: tuple[HoldPoint, ...] = ()
    invented: bool = False
    notes: tuple[str, ...] = ()
