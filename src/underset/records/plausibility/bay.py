"""What looks wrong in a bay and its lift."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import cos, pi, sin
from typing import Final

from underset.errors import said
from underset.records.lift import Bay, Column, SwingArm
from underset.records.plausibility.common import (
    POLICY,
    PRACTICE,
    Bound,
    Complaint,
    given,
    likely_slip,
    outside,
    reversed_pair,
)
from underset.units import G0, Quantity

_REACH: Final = Bound(0.3, 2.6, PRACTICE)
_SWING: Final = Bound(-pi / 2, pi, PRACTICE)
_PITCH: Final = Bound(0.5 * pi / 180, 15 * pi / 180, PRACTICE)
_PIVOT: Final = Bound(0.7, 2.2, PRACTICE)
_LOWEST: Final = Bound(0.05, 0.3, PRACTICE)
_HIGHEST: Final = Bound(1.2, 2.4, PRACTICE)
_STACK: Final = Bound(0.05, 0.8, PRACTICE)
_RATED: Final = Bound(1500.0, 20_000.0, PRACTICE)
_BETWEEN: Final = Bound(1.8, 4.5, PRACTICE)
_COLUMN: Final = Bound(0.1, 0.9, PRACTICE)
_CEILING: Final = Bound(2.4, 12.0, PRACTICE)
_FREE: Final = Bound(0.8, 30.0, PRACTICE)
_SPEED: Final = Bound(0.008, 0.12, PRACTICE)
_HALF_WIDTH: Final = Bound(0.02, 0.25, PRACTICE)
_CG: Final = Bound(-1.2, 1.2, PRACTICE)
_WIDTH: Final = Bound(1.6, 3.2, PRACTICE)
_WHEELBASE_LOW: Final = Bound(1.2, 3.6, PRACTICE)
_WHEELBASE_HIGH: Final = Bound(2.0, 7.0, PRACTICE)
_TOP: Final = Bound(-0.15, 0.30, PRACTICE)
_BOTTOM: Final = Bound(-0.35, 0.05, PRACTICE)
_THICK: Final = Bound(0.02, 0.40, PRACTICE)
_COLUMN_X: Final = Bound(-0.5, 0.5, PRACTICE)
_BAR: Final = Bound(1.8, 8.0, PRACTICE)
_BAR_X: Final = Bound(-3.0, 3.0, PRACTICE)
_MARK_X: Final = Bound(-8.0, 8.0, PRACTICE)
_MONTH: Final = 365.25 / 12 * 86400.0
_INTERVAL: Final = Bound(2.9 * _MONTH, 24.1 * _MONTH, POLICY)
_MIRRORED: Final = 0.05  # m that left and right arms may differ, shop policy
_MIRRORED_TURN: Final = 5 * pi / 180  # the same of their swing and of the columns' turn
_MIRRORED_PROFILE: Final = 0.010  # m, the same of the sections of the arms


def bay_complaints(bay: Bay) -> Iterator[Complaint]:
    """Arms, teeth, seats, plate, columns and what stands around."""
    for name, arm in zip(type(bay.arms).model_fields, bay.arms.in_order(), strict=True):
        yield from _arm(f"arms.{name}", arm, bay, left=name.startswith("left"))
    yield from _arms_together(bay)
    yield from _restraint(bay)
    yield from _columns(bay)
    yield from _seat(bay)
    yield from _plate(bay)
    yield from _surroundings(bay)
    for name in ("raise_speed", "lower_speed"):
        figure = getattr(bay, name)
        yield from outside(name, figure, _SPEED, "speed of a lift", "speed")
    limit = Bound(0.001, 0.05, "DGUV Information 208-015 (10/2019), section 5")
    yield from outside(
        "carriage_difference", bay.carriage_difference, limit, "difference of carriages"
    )


def _arm(field: str, arm: SwingArm, bay: Bay, *, left: bool) -> Iterator[Complaint]:
    if (arm.pivot_y.value > 0.0) != left:
        looks = "an arm on the other side of the lift"
        slip, remedy = "left and right swapped", "y is positive to the left, driving in."
        yield Complaint(f"{field}.pivot_y", arm.pivot_y.text, looks, slip, remedy)
    if not _PIVOT.holds(abs(arm.pivot_y.value)):
        looks = "pivots stand 0.7 to 2.2 m from the middle"
        slip = likely_slip(abs(arm.pivot_y.value), arm.pivot_y.unit, _PIVOT)
        yield Complaint(f"{field}.pivot_y", arm.pivot_y.text, looks, slip, "", PRACTICE)
    for name in ("reach_low", "reach_high"):
        yield from outside(f"{field}.{name}", getattr(arm, name), _REACH, "reach of an arm")
    for name in ("swing_low", "swing_high"):
        yield from outside(
            f"{field}.{name}", getattr(arm, name), _SWING, "swing of an arm", "angle"
        )
    yield from _reach(field, arm, bay)
    yield from _parked(field, arm)
    yield from _profile(field, arm, bay)


def _reach(field: str, arm: SwingArm, bay: Bay) -> Iterator[Complaint]:
    """An arm straight inward should end between the columns and past the sills."""
    across = abs(arm.pivot_y.value)
    other = max((abs(c.y.value) for c in bay.columns), default=across)
    if arm.reach_high.value > across + other:
        template = "straight inward it would strike the other column, {away:.2f} m away"
        looks = said(template, away=across + other)
        slip = likely_slip(
            arm.reach_high.value, arm.reach_high.unit, Bound(0.4 * across, across, "")
        )
        yield Complaint(f"{field}.reach_high", arm.reach_high.text, looks, slip, "Measure again.")
    if arm.reach_low.value > across:
        looks = "even pushed in, it reaches past the middle of the lift"
        slip = likely_slip(
            arm.reach_low.value, arm.reach_low.unit, Bound(0.3 * across, 0.8 * across, "")
        )
        yield Complaint(f"{field}.reach_low", arm.reach_low.text, looks, slip, "Measure again.")


def _parked(field: str, arm: SwingArm) -> Iterator[Complaint]:
    parked, slack = arm.parked_swing, pi / 180
    if not isinstance(parked, Quantity):
        return
    if not arm.swing_low.value - slack <= parked.value <= arm.swing_high.value + slack:
        template = "parked outside its swing, {low} to {high}"
        looks = said(template, low=arm.swing_low.text, high=arm.swing_high.text)
        slip = "sign: swing grows from straight inward toward the arm's own end"
        yield Complaint(f"{field}.parked_swing", parked.text, looks, slip, "Measure again.")


def _profile(field: str, arm: SwingArm, bay: Bay) -> Iterator[Complaint]:
    stations = arm.profile or ()
    for i, s in enumerate(stations):
        here = f"{field}.profile[{i}]"
        yield from outside(f"{here}.half_width", s.half_width, _HALF_WIDTH, "half width of an arm")
        yield from outside(f"{here}.top", s.top, _TOP, "top of an arm against its seat")
        yield from outside(f"{here}.bottom", s.bottom, _BOTTOM, "underside of an arm, likewise")
        shown = said("top {top}, bottom {bottom}", top=s.top.text, bottom=s.bottom.text)
        if s.top.value < s.bottom.value:
            yield Complaint(here, shown, "top below bottom", "top and bottom swapped", "")
        elif not _THICK.holds(s.top.value - s.bottom.value):
            looks, slip = "an arm is 20 to 400 mm thick", "a decimal place"
            yield Complaint(here, shown, looks, slip, "Measure again.", PRACTICE)
        if bay.seat.lowest.value + s.bottom.value < -0.001:
            deep = -1000 * (bay.seat.lowest.value + s.bottom.value)
            looks = said(
                "at the lowest seat this would stand {deep:.0f} mm in the floor", deep=deep
            )
            slip = "height above the floor typed in for height above the seat"
            yield Complaint(f"{here}.bottom", s.bottom.text, looks, slip, "Measure from the seat.")
    for i, (a, b) in enumerate(pairwise(stations)):
        here = f"{field}.profile[{i + 1}]"
        if b.from_tip.value <= a.from_tip.value:
            looks = "stations run from the tip inward"
            yield Complaint(f"{here}.from_tip", b.from_tip.text, looks, "order", "Sort them.")
        if b.half_width.value < a.half_width.value:
            looks = "arms do not grow narrower toward the pivot"
            slip = "full width and half width mixed, or measured from the pivot"
            yield Complaint(f"{here}.half_width", b.half_width.text, looks, slip, "Measure again.")


def _arms_together(bay: Bay) -> Iterator[Complaint]:
    lf, rf, lr, rr = bay.arms.in_order()
    if (lf.pivot_x.value + rf.pivot_x.value) < (lr.pivot_x.value + rr.pivot_x.value):
        shown = said("front {front}, rear {rear}", front=lf.pivot_x.text, rear=lr.pivot_x.text)
        looks, slip = "front pivots stand behind the rear ones", "front and rear arms swapped"
        yield Complaint("arms", shown, looks, slip, "x is positive the way a vehicle drives in.")
    for end, left, right in (("front", lf, rf), ("rear", lr, rr)):
        looks = said("left and right {end} arm are no mirror images", end=end)
        if abs(left.pivot_y.value + right.pivot_y.value) > _MIRRORED:
            shown = f"{left.pivot_y.text}, {right.pivot_y.text}"
            yield Complaint(
                f"arms {end}, pivot_y", shown, looks, "a figure mistyped", "Measure both again.",
                POLICY,
            )  # fmt: skip
        for name, a, b, most in _pairs(left, right):
            if abs(a.value - b.value) > most:
                yield Complaint(
                    f"arms {end}, {name}", f"{a.text}, {b.text}", looks, "a figure mistyped",
                    "Measure both again.", POLICY,
                )  # fmt: skip


_PAIRED: Final = (
    ("pivot_x", _MIRRORED), ("reach_low", _MIRRORED), ("reach_high", _MIRRORED),
    ("swing_low", _MIRRORED_TURN), ("swing_high", _MIRRORED_TURN), ("parked_swing", _MIRRORED_TURN),
)  # fmt: skip


def _pairs(left: SwingArm, right: SwingArm) -> Iterator[tuple[str, Quantity, Quantity, float]]:
    """Figures of two arms that are alike on mirrored ones, and how far they may differ."""
    for name, most in _PAIRED:
        a, b = getattr(left, name), getattr(right, name)
        if isinstance(a, Quantity) and isinstance(b, Quantity):
            yield name, a, b, most
    for i, (s, t) in enumerate(zip(left.profile or (), right.profile or (), strict=False)):
        yield f"profile[{i}].from_tip", s.from_tip, t.from_tip, _MIRRORED
        for name in ("half_width", "top", "bottom"):
            yield f"profile[{i}].{name}", getattr(s, name), getattr(t, name), _MIRRORED_PROFILE


def _restraint(bay: Bay) -> Iterator[Complaint]:
    pitch, offset = bay.restraint.pitch, bay.restraint.offset
    yield from outside("restraint.pitch", pitch, _PITCH, "pitch of arm restraint teeth", "angle")
    pair = given(pitch, offset)
    if pair and abs(pair[1]) > pair[0] + 1e-9:
        looks = "an offset beyond one pitch says no more than one within it"
        slip = "offset and pitch swapped"
        yield Complaint("restraint.offset", str(offset), looks, slip, "Give it within one pitch.")


def _columns(bay: Bay) -> Iterator[Complaint]:
    for i, c in enumerate(bay.columns):
        field = f"columns[{i}]"
        if (c.y.value > 0.0) != (c.side == "left"):
            looks, slip = (
                said("a {side} column on the other side", side=c.side),
                "left and right swapped",
            )
            yield Complaint(f"{field}.y", c.y.text, looks, slip, "y is positive to the left.")
        for name in ("along", "across"):
            yield from outside(f"{field}.{name}", getattr(c, name), _COLUMN, "size of a column")
        yield from outside(f"{field}.x", c.x, _COLUMN_X, "place of a column along the bay")
    one, other = bay.columns
    for name, apart, most in (
        ("x", one.x.value - other.x.value, _MIRRORED),
        ("turn", one.turn.value + other.turn.value, _MIRRORED_TURN),
    ):
        if abs(apart) > most:
            shown = f"{getattr(one, name).text}, {getattr(other, name).text}"
            looks, slip = "left and right column are no mirror images", "a figure mistyped"
            yield Complaint(f"columns, {name}", shown, looks, slip, "Measure both again.", POLICY)
    between = sum(abs(c.y.value) - _half_across(c) for c in bay.columns)
    if not _BETWEEN.holds(between):
        slip = likely_slip(between, bay.columns[0].y.unit, _BETWEEN)
        looks = "columns stand 1.8 to 4.5 m apart"
        yield Complaint("columns", f"{between:.2f} m", looks, slip, "Measure again.", PRACTICE)
    through = bay.plate.drive_through
    yield from outside("plate.drive_through", through, _BETWEEN, "gap between the columns")
    if isinstance(through, Quantity) and through.value > between + 0.01:
        template = "wider than the room between the columns, {between:.2f} m"
        looks = said(template, between=between)
        yield Complaint("plate.drive_through", through.text, looks, "", "Measure again.")


def _half_across(c: Column) -> float:
    """Half of what a turned column takes up across the bay, m."""
    return abs(c.across.value * cos(c.turn.value)) / 2 + abs(c.along.value * sin(c.turn.value)) / 2


def _seat(bay: Bay) -> Iterator[Complaint]:
    seat = bay.seat
    yield from outside("seat.lowest", seat.lowest, _LOWEST, "lowest seat")
    yield from outside("seat.highest", seat.highest, _HIGHEST, "highest seat")
    yield from outside("seat.greatest_stack", seat.greatest_stack, _STACK, "greatest stack")


def _plate(bay: Bay) -> Iterator[Complaint]:
    p = bay.plate
    yield from outside("plate.rated", p.rated, _RATED, "rated capacity of a two-post lift", "mass")
    for name, bound, what in (
        ("cg_low", _CG, "end of a CG window"), ("cg_high", _CG, "end of a CG window"),
        ("wheelbase_low", _WHEELBASE_LOW, "least wheelbase of a lift"),
        ("wheelbase_high", _WHEELBASE_HIGH, "greatest wheelbase of a lift"),
        ("width_high", _WIDTH, "greatest width of a vehicle on a lift"),
    ):  # fmt: skip
        yield from outside(f"plate.{name}", getattr(p, name), bound, what)
    interval = bay.inspection.interval
    if interval is not None and not _INTERVAL.holds(interval.value):
        looks, slip = "lifts are examined every 3 to 24 months", "a decimal place, or weeks"
        yield Complaint("inspection.interval", interval.text, looks, slip, "Look again.", POLICY)
    yield from reversed_pair("plate.cg_low", p.cg_low, p.cg_high)
    yield from reversed_pair("plate.wheelbase_low", p.wheelbase_low, p.wheelbase_high)
    rated = p.rated.value * G0
    for field, limit in _limits(bay):
        if limit.value > rated:
            looks, slip = "one arm may carry more than the lift", "pounds or kg written as newtons"
            yield Complaint(field, limit.text, looks, slip, "Read the plate again.")
        elif limit.value < 0.2 * rated:
            looks = "four such arms carry less than the plate allows"
            slip = "kg written as newtons" if limit.value * G0 < rated else ""
            yield Complaint(field, limit.text, looks, slip, "Read the plate again.", PRACTICE)


def _limits(bay: Bay) -> Iterator[tuple[str, Quantity]]:
    if isinstance(bay.plate.per_arm, Quantity):
        yield "plate.per_arm", bay.plate.per_arm
    for name, arm in zip(type(bay.arms).model_fields, bay.arms.in_order(), strict=True):
        if isinstance(arm.limit, Quantity):
            yield f"arms.{name}.limit", arm.limit


def _surroundings(bay: Bay) -> Iterator[Complaint]:
    s = bay.surroundings
    yield from outside("surroundings.ceiling", s.ceiling, _CEILING, "height of a workshop")
    for name in ("free_ahead", "free_behind", "free_left", "free_right"):
        yield from outside(
            f"surroundings.{name}", getattr(s, name), _FREE, "free space round a lift"
        )
    yield from outside("surroundings.stop_bar", s.stop_bar, _BAR, "height of a stop bar")
    yield from outside("surroundings.stop_bar_x", s.stop_bar_x, _BAR_X, "place of a stop bar")
    yield from outside("surroundings.mark_x", s.mark_x, _MARK_X, "place of a floor mark")
    pair = given(s.stop_bar, s.ceiling)
    if pair and pair[0] > pair[1]:
        looks, slip = "the stop bar hangs above the ceiling", "bar and ceiling swapped"
        yield Complaint("surroundings.stop_bar", str(s.stop_bar), looks, slip, "Measure again.")
    if isinstance(s.ceiling, Quantity) and s.ceiling.value <= bay.seat.highest.value:
        looks = "the seats rise through the ceiling"
        yield Complaint("surroundings.ceiling", s.ceiling.text, looks, "", "Measure again.")
    if isinstance(s.mark_x, Quantity) and not s.mark:
        looks = "a floor mark that is not described"
        yield Complaint("surroundings.mark", "", looks, "", "Say what the driver sees.")
