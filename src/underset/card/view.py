"""What pages may show: one declared view each for the card and for its working.

From them PDF, SVG, HTML and plain text are written. Every field holds finished words and figures in
the reader's units and language, except `picture`, the scene that each renderer draws in its theme.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from underset.setting import Scene, Setting, Status


def told(text: str) -> Any:
    """A declared field with what it holds."""
    return field(metadata={"help": text})


@dataclass(frozen=True, slots=True)
class StatusView:
    """A status as shown: never by colour alone."""

    key: str = told("holds, watch, unknown or stops: chooses shape, hatching and colour")
    word: str = told("the status in words")


@dataclass(frozen=True, slots=True)
class Fact:
    """A labelled figure."""

    label: str = told("what it is")
    value: str = told("the figure with its unit")
    note: str = told("a smaller remark under it, or empty")


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the front axle stops."""

    label: str = told("what it is")
    value: str = told("distance with its unit")
    place: str = told("past or short of which floor mark, or of the column line")
    window: str = told("the window as distances from the same mark, or empty")


@dataclass(frozen=True, slots=True)
class StackPiece:
    """One piece of a stack, from the seat up."""

    label: str = told("adapter as it is called in the shop")
    height: str = told("its height as it stands, with unit")
    screw: str = told("how far its screw is out, in length and turns; empty without a screw")


@dataclass(frozen=True, slots=True)
class CornerBox:
    """Everything a technician sets at one corner."""

    corner: str = told("LF, RF, LR or RR of the vehicle")
    name: str = told("the corner in words")
    arm: str = told("which arm of the lift serves it")
    row: int = told("0 above or 1 below, as the corner lies in the plan drawing")
    column: int = told("0 left or 1 right, as the corner lies in the plan drawing")
    status: StatusView = told("worst of the checks at this corner")
    contact: str = told("kind of contact in words")
    pieces: tuple[StackPiece, ...] = told("the stack from the seat up")
    stack_height: str = told("height of the whole stack")
    tooth: str = told("tooth of the arm restraint, or that it has none")
    swing: str = told("swing from straight inward")
    reach: str = told("pivot to pad centre; the label tells the unit")
    screw: str = told("screw travel used, with unit")
    turns: str = told("screw turns; the label tells that they are turns")
    load: str = told("nominal pad load in the first state; the label tells the unit")
    load_range: str = told(
        "least to greatest pad load over all states and tolerances; unit as load"
    )


@dataclass(frozen=True, slots=True)
class StateRow:
    """The vehicle after one step of the job."""

    number: str = told("running number")
    rank: int = told("0 for the row that a crowded page keeps first")
    name: str = told("the step in words")
    mass: str = told("mass on the lift; unit in the title")
    cg: str = told("CG behind the front axle")
    side: str = told("CG left (+) or right (−) of the middle")
    least: str = told("least pad load within tolerances, with its corner")
    split: str = told("front to rear share of the pad loads, percent")
    status: StatusView = told("worst check of this state")


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One check that matters."""

    status: StatusView = told("what it says")
    title: str = told("name of the check and its place")
    sentence: str = told("found against allowed, status, and why")
    state: str = told("state it belongs to, or empty")
    sources: str = told("numbers of its sources")


@dataclass(frozen=True, slots=True)
class HoldLine:
    """A point at which people stop, look, and tick or sign."""

    number: str = told("running number")
    rank: int = told("0 for the point that a crowded page keeps first: signatures before ticks")
    title: str = told("what is done")
    text: str = told("how, in a sentence")
    facts: tuple[str, ...] = told("figures to compare with, each with its name")
    sign: bool = told("true when a signature is wanted, false for a tick")


@dataclass(frozen=True, slots=True)
class RefusalLine:
    """What refused candidates."""

    title: str = told("check that refused")
    count: str = told("how many candidates it refused")
    nearest: str = told("the nearest miss in a sentence, or empty")


@dataclass(frozen=True, slots=True)
class RemedyLine:
    """What would make it work; already re-run through the judge."""

    text: str = told("what to do")
    outcome: str = told("what it would give, and in which bay")


@dataclass(frozen=True, slots=True)
class MissingLine:
    """A figure that is not given."""

    what: str = told("record and field")
    why: str = told("what it would settle")
    how: str = told("how to get it, or empty")


@dataclass(frozen=True, slots=True)
class SourceLine:
    """A source by number."""

    number: int = told("number used in brackets after a check")
    text: str = told("document and place in it")


@dataclass(frozen=True, slots=True)
class Titles:
    """Headings and labels, so that templates hold no words of their own."""

    side_view: str = told("under the side view")
    plan_view: str = told("under the plan")
    front_view: str = told("under the view from the entrance")
    corners: str = told("over the corner boxes")
    states: str = told("over the table of states, with its units")
    step: str = told("column: step")
    mass: str = told("column: mass")
    cg: str = told("column: CG behind the front axle")
    side: str = told("column: CG to the left")
    least: str = told("column: least pad load")
    split: str = told("column: front to rear split")
    status: str = told("column: status")
    checks: str = told("over the checks that matter most")
    hold_points: str = told("over the hold points")
    signature: str = told("under a signature line")
    cautions: str = told("over the cautions")
    sources: str = told("over the sources")
    refusals: str = told("over the refusals")
    nearest: str = told("label: nearest miss")
    notes: str = told("over the remarks")
    remedies: str = told("over the remedies")
    missing: str = told("over the missing figures")
    tooth: str = told("label: tooth")
    swing: str = told("label: swing")
    reach: str = told("label: reach, with its unit")
    turns: str = told("label: screw turns")
    load: str = told("label: pad load, with its unit")
    stack: str = told("label: stack height")
    more: str = told("'{n} more in the working', with {n} for the number left out")
    scan: str = told("under the QR code")
    page: str = told("'page {n} of {m}'")


@dataclass(frozen=True, slots=True)
class Picture:
    """What the renderers draw."""

    scene: Scene = told("shapes in L")
    setting: Setting | None = told("how the arms stand")
    statuses: tuple[Status, Status, Status, Status] = told("status by corner")


@dataclass(frozen=True, slots=True)
class CardView:
    """One card."""

    language: str = told("language code")
    units: str = told("metric or inch")
    title: str = told("title of the page")
    workshop: str = told("whose page it is, or empty")
    invented: str = told("the mark of invented sample data, or empty")
    advice: str = told("who decides; printed on every page")
    outcome: str = told("found, none, limit or incomplete")
    outcome_word: str = told("the outcome in words")
    status: StatusView = told("worst status of all checks, or of the outcome")
    verdict: str = told("outcome and status in one sentence")
    bay: Fact = told("bay and lift")
    vehicle: Fact = told("vehicle")
    job: Fact = told("job")
    spot: Spot = told("where the front axle stops, with its window")
    heading: Fact = told("nose-in or tail-in")
    seat: Fact = told("seat height at first touch")
    rise: Fact = told("greatest usable rise, with what limits it")
    point_set: Fact = told("which lifting points")
    has_setting: bool = told("whether a setting is shown at all")
    corners: tuple[CornerBox, ...] = told(
        "four boxes in the order LF RF LR RR; empty without setting"
    )
    states: tuple[StateRow, ...] = told("table of states")
    checks: tuple[CheckLine, ...] = told("checks by weight: stops, not known, watch, least margins")
    hold_points: tuple[HoldLine, ...] = told("hold points in order")
    cautions: tuple[str, ...] = told("cautions, most relevant first")
    refusals: tuple[RefusalLine, ...] = told("refusals, most frequent first")
    remedies: tuple[RemedyLine, ...] = told("remedies by effort")
    missing: tuple[MissingLine, ...] = told("missing figures")
    notes: tuple[str, ...] = told("remarks of the planner")
    sources: tuple[SourceLine, ...] = told("numbered sources of what is shown")
    qr: str = told("payload of the QR code: reference, hash, short facts")
    reference: str = told("record reference, or that the plan is not on record")
    date: str = told("date of the plan")
    tool: str = told("tool and version")
    titles: Titles = told("headings and labels")
    picture: Picture | None = told("scene for the drawings, or none")


# --- the working ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of level 2 or 3."""

    level: int = told("2 or 3")
    text: str = told("its words")


@dataclass(frozen=True, slots=True)
class Para:
    """A paragraph."""

    text: str = told("its words")


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula as it stands in the catalogue."""

    label: str = told("what stands before it")
    text: str = told("the formula in plain characters")


@dataclass(frozen=True, slots=True)
class Table:
    """A table; the first column holds the rows' names."""

    heads: tuple[str, ...] = told("column heads")
    rows: tuple[tuple[str, ...], ...] = told("rows of finished text")


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    items: tuple[str, ...] = told("one text each")


Block = Heading | Para | Formula | Table | Items


@dataclass(frozen=True, slots=True)
class WorkingView:
    """One working."""

    language: str = told("language code")
    units: str = told("metric or inch")
    title: str = told("title with vehicle and bay")
    status: StatusView = told("worst status of all checks, or of the outcome")
    verdict: str = told("outcome and status in one sentence")
    invented: str = told("the mark of invented sample data, or empty")
    advice: str = told("who decides; printed on every page")
    page: str = told("'page {n} of {m}' with both left open")
    tool: str = told("tool, version, date, reference, hash")
    blocks: tuple[Block, ...] = told("everything else, in order")
