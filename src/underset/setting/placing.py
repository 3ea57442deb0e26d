"""Checks of placing: plate, arms, zones, parking."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from underset.records.policy import Policy
from underset.setting.checks import SLACK, Inputs, at_least, at_most, not_known, yes
from underset.setting.numbers import (
    BayNumbers,
    PointSetNumbers,
    Shelf,
    VehicleNumbers,
)
from underset.setting.place import ARM_PLACES, HEADINGS, Stop, can_reach, served_by
from underset.setting.result import ArmSetting, Check, Setting, Status
from underset.setting.stacks import point_on_pad, stack_fit


def placing_checks(
    setting: Setting,
    vehicle: VehicleNumbers,
    points: PointSetNumbers,
    bay: BayNumbers,
    policy: Policy,
    kept: dict[object, Check],
) -> Iterator[Check]:
    """Whether the arms stand as they must, and how far the vehicle may stop off the spot.

    `kept` holds what the stop alone decides, while the stacks change.
    """
    allowed = HEADINGS if bay.approach == "either way" else HEADINGS[:1]
    yield yes("approach", setting.heading in allowed, note=("heading", setting.heading))
    yield from _plate_limits(vehicle, bay)
    yield _reach(setting, bay)
    yield _tooth(setting, points, bay)
    yield _zone(setting, points)
    yield _parking_along(setting, points, policy)
    stop = (setting.heading, setting.spot, setting.sideways, setting.yaw)
    key = ("parked", points.id, stop)
    if key not in kept:
        kept[key] = _parking_across(setting, points, bay, policy)
    yield kept[key]


def arm_checks(
    setting: Setting, points: PointSetNumbers, bay: BayNumbers, shelf: Shelf, policy: Policy
) -> Iterator[Check]:
    """The checks of the arms themselves: reach, tooth, zone, point on the pad, fit of the stack."""
    stacks = [[shelf.types[i] for i in a.stack_ids] for a in setting.arms]
    yield _reach(setting, bay)
    yield _tooth(setting, points, bay)
    yield _zone(setting, points)
    yield point_on_pad(setting, points, stacks, policy)
    yield stack_fit(setting, points, bay, stacks)


def _plate_limits(vehicle: VehicleNumbers, bay: BayNumbers) -> Iterator[Check]:
    low, high = bay.wheelbase_limits
    if low is not None or high is not None:
        unsure = vehicle.wheelbase_tol
        ok = (low or 0.0) <= vehicle.wheelbase - unsure + SLACK
        ok = ok and vehicle.wheelbase + unsure - SLACK <= (high if high is not None else 1e9)
        inputs = (
            ("wheelbase", vehicle.wheelbase, "m"),
            ("least", low if low is not None else "no limit", "m"),
            ("greatest", high if high is not None else "no limit", "m"),
        )
        yield yes("wheelbase", ok, inputs=inputs)
    if bay.width_high is not None:
        if vehicle.width is None:
            yield not_known("width", "vehicle width not given")
        else:
            yield at_most("width", vehicle.width, bay.width_high)


def _reach(setting: Setting, bay: BayNumbers) -> Check:
    spare, corner = 1e9, ""
    for a in setting.arms:
        arm = bay.arms[ARM_PLACES.index(a.arm)]
        room = min(a.reach - arm.reach_low, arm.reach_high - a.reach)
        spare, corner = min((spare, corner), (room, a.corner))
    return at_least("arm_reach", spare, 0.0, where=corner)


def _tooth(setting: Setting, points: PointSetNumbers, bay: BayNumbers) -> Check:
    if bay.restraint is None:
        return yes("arm_tooth", ok=False, note=("no arm restraint",))
    if not bay.tooth_offset_known:
        return _unknown_offset(setting, points, bay)
    for a in setting.arms:
        arm = bay.arms[ARM_PLACES.index(a.arm)]
        inside = arm.swing_low - SLACK <= a.swing <= arm.swing_high + SLACK
        if not inside or not _meshes(a, bay):
            return yes("arm_tooth", ok=False, where=a.corner, note=("off the teeth",))
    return yes("arm_tooth", ok=True)


def _meshes(arm: ArmSetting, bay: BayNumbers) -> bool:
    pitch, offset = getattr(bay.restraint, "pitch", None), getattr(bay.restraint, "offset", 0.0)
    if pitch is None:
        return True
    return arm.tooth is not None and abs(offset + arm.tooth * pitch - arm.swing) <= SLACK


def _unknown_offset(setting: Setting, points: PointSetNumbers, bay: BayNumbers) -> Check:
    """What no tooth is nearer than, carried to the pad: within every zone, or not known.

    Some tooth stands within half a pitch of a swing; near the end of the arm's swing, where there
    may be none beyond, within a pitch less what is left to the end.
    """
    if bay.pitch is None:
        return not_known("arm_tooth", "tooth pitch not given")
    for a, p in zip(setting.arms, points.points, strict=True):
        arm = bay.arms[ARM_PLACES.index(a.arm)]
        left = min(a.swing - arm.swing_low, arm.swing_high - a.swing)
        error = a.reach * max(bay.pitch / 2, bay.pitch - left)
        room = min(p.zone.along - abs(a.along), p.zone.across - abs(a.across))
        if error > room:
            return not_known(
                "arm_tooth", "tooth offset not given", where=a.corner,
                inputs=(("half a pitch at the pad", error, "m"), ("room in the zone", room, "m")),
            )  # fmt: skip
    return yes("arm_tooth", ok=False, otherwise=Status.WATCH, note=("tooth offset covered",))


def _zone(setting: Setting, points: PointSetNumbers) -> Check:
    worst, corner = 0.0, ""
    inputs: Inputs = ()
    for a, p in zip(setting.arms, points.points, strict=True):
        used = max(_part(a.along, p.zone.along), _part(a.across, p.zone.across))
        if used >= worst:
            worst, corner = used, a.corner
            inputs = (("along", a.along, "m"), ("across", a.across, "m"))
    return at_most(
        "point_zone",
        worst if worst > 1.0 + SLACK else min(worst, 1.0),
        1.0,
        where=corner,
        inputs=inputs,
    )


def _part(offset: float, half: float) -> float:
    if abs(offset) <= SLACK:
        return 0.0
    return abs(offset) / half if half > 0.0 else 1e6


def _parking_along(setting: Setting, points: PointSetNumbers, policy: Policy) -> Check:
    low, high = setting.window
    room = min(setting.spot - low, high - setting.spot)
    unsure = max(p.place_tol[0] for p in points.points)
    inputs = (("window from", low, "m"), ("window to", high, "m"),
              ("points known to ±", unsure, "m"))  # fmt: skip
    if unsure > 0.0 and room < unsure - SLACK:
        return not_known("parking_along", "points not known well enough", inputs=inputs)
    wanted = policy["park_along"] + unsure
    return at_least("parking_along", room, 0.0, watch=wanted, inputs=inputs)


def _parking_across(
    setting: Setting, points: PointSetNumbers, bay: BayNumbers, policy: Policy
) -> Check:
    """Every corner of the parking tolerance along, across and in heading, arms set anew."""
    along, across, yaw = policy["park_along"], policy["park_across"], policy["park_yaw"]
    for dx, dy, turn in product((along, -along), (across, -across), (yaw, -yaw)):
        stop = Stop(setting.heading, setting.spot + dx, setting.sideways + dy, setting.yaw + turn)
        rows = zip(served_by(setting.heading), points.points, setting.arms, strict=True)
        for index, point, arm in rows:
            if not can_reach(bay, index, point, stop, arm.swing):
                return yes(
                    "parking_across", ok=False, otherwise=Status.WATCH, where=point.corner,
                    note=("parked off the line",),
                    inputs=(("along", dx, "m"), ("sideways", dy, "m"), ("yaw", turn, "rad")),
                )  # fmt: skip
    return yes("parking_across", ok=True)
