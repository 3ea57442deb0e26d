"""Shapes of a setting for drawings, from the same numbers the judge used."""

from __future__ import annotations

from underset.geometry import Polygon, Pose, apply, apply_all, strip, tyre_rectangle
from underset.setting.evaluate import Case
from underset.setting.numbers import VehicleNumbers, ZoneNumbers
from underset.setting.place import ARM_PLACES, Stop
from underset.setting.result import ArmSetting, Evaluation, Scene, Wedge
from underset.statics import hull

PLAIN_PROFILE = ((0.0, 0.05, 0.0, -0.05),)  # drawn where no profile is given


def scene(case: Case, evaluation: Evaluation, state: int = 0) -> Scene:
    """The scene of one state of an evaluated setting, in L."""
    setting, vehicle, bay = evaluation.setting, case.vehicle, case.bay
    stop = Stop(setting.heading, setting.spot, setting.sideways, setting.yaw)
    pose, result = stop.pose, evaluation.states[state]
    indices = [ARM_PLACES.index(a.arm) for a in setting.arms]
    stacks = [case.shelf.types[a.stack_ids[-1]] for a in setting.arms if a.stack]
    bar = bay.stop_bar if isinstance(bay.stop_bar, tuple) else None
    return Scene(
        heading=setting.heading,
        columns=bay.columns,
        pivots=tuple(bay.arms[i].pivot for i in indices),  # type: ignore[arg-type]
        arms=tuple(_arm(case, a, i) for a, i in zip(setting.arms, indices, strict=True)),
        pads=tuple(a.pad for a in setting.arms),  # type: ignore[arg-type]
        pad_radii=tuple((s.width or 0.1) / 2 for s in stacks),  # type: ignore[arg-type]
        points=tuple(a.point for a in setting.arms),  # type: ignore[arg-type]
        body=_body(vehicle, pose),
        tyres=_tyres(vehicle, pose),
        zones=tuple(_wedge(z, pose) for z in vehicle.zones or ()),
        axles=tuple(_axle(vehicle, pose, x) for x in (0.0, -vehicle.wheelbase)),  # type: ignore[arg-type]
        wheel_radius=vehicle.tyres[0].diameter / 2 if vehicle.tyres else None,
        roof=vehicle.roof,
        sill=vehicle.sill,
        ceiling=bay.ceiling if isinstance(bay.ceiling, float) else None,
        stop_bar=(bar[1] or 0.0, bar[0]) if bar else None,
        cg=result.cg if result.known else None,
        cg_low=result.cg_low if result.known else None,
        cg_high=result.cg_high if result.known else None,
        support=hull([a.pad for a in setting.arms]),
        stands=result.supports,
        mark=bay.mark,
        seat=setting.seat,
        rise_limit=_rise_limit(evaluation),
    )  # fmt: skip


def _wedge(zone: ZoneNumbers, pose: Pose) -> Wedge:
    return Wedge(zone.kind, zone.id, apply_all(pose, zone.outline), zone.underside)


def _arm(case: Case, a: ArmSetting, index: int) -> tuple[Polygon, ...]:
    arm, profile = case.bay.arms[index], case.bay.profiles[index] or PLAIN_PROFILE
    angle = arm.inward + arm.turn * a.swing
    return tuple(p for p, _ in strip(arm.pivot, angle, a.reach, profile))


def _body(vehicle: VehicleNumbers, pose: Pose) -> Polygon | None:
    if vehicle.outline is None:
        return None
    front, rear, half = vehicle.outline
    return apply_all(pose, ((front, half), (rear, half), (rear, -half), (front, -half)))


def _tyres(vehicle: VehicleNumbers, pose: Pose) -> tuple[Polygon, ...]:
    return tuple(
        tyre_rectangle(apply(pose, t.centre), pose.yaw, t.width, t.diameter, t.diameter / 2)
        for t in vehicle.tyres or ()
    )


def _axle(vehicle: VehicleNumbers, pose: Pose, x: float) -> tuple[tuple[float, float], ...]:
    half = abs(vehicle.tyres[0].centre[1]) if vehicle.tyres else 0.7
    return (apply(pose, (x, half)), apply(pose, (x, -half)))


def _rise_limit(evaluation: Evaluation) -> float | None:
    return next((c.demand for c in evaluation.states[0].checks if c.name == "overhead"), None)
