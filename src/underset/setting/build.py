"""Records turned into numbers: the only place where frames and signs of records are converted.

Records speak of `aft` (positive rearward), `side` (left positive) and `up`; V has x forward, so
x_V = -aft, y_V = side, z_V = up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import cos, hypot, pi, sin

from underset import statics
from underset.errors import InputError
from underset.geometry import Arm, ArmProfile, Free, Polygon, Teeth, Zone, grown
from underset.records.adapter import Adapter
from underset.records.base import Source
from underset.records.lift import Bay, Column, SwingArm
from underset.records.massprior import mass_prior
from underset.records.policy import Policy
from underset.records.prior import Prior, front_share_prior, height_prior, side_prior
from underset.records.vehicle import (
    Component,
    Intake,
    LiftingPoint,
    PointSet,
    Vehicle,
    Weights,
)
from underset.setting.numbers import (
    AdapterNumbers,
    BayNumbers,
    CgBasis,
    DoorNumbers,
    LidNumbers,
    PointNumbers,
    PointSetNumbers,
    Shelf,
    TyreNumbers,
    VehicleNumbers,
    ZoneNumbers,
)
from underset.setting.standing import Standing
from underset.sources import Age, SourceKind
from underset.statics import Item, from_axles, from_corners
from underset.units import Absent, NotGiven, Quantity

Maybe = Quantity | NotGiven | Absent
Figure = tuple[float, float, str]  # value, half width, where it comes from

ROUNDED = 0.01  # of a load: what the roundings of its parts may come to
CORNER_ORDER = ("LF", "RF", "LR", "RR")


def value(figure: Maybe | None) -> float | None:
    """SI value of a figure, or None when it is not given or not there."""
    return figure.value if isinstance(figure, Quantity) else None


def least(figure: Maybe | None) -> float | None:
    """Least value within the tolerance: for what must be enough, such as a limit or a height."""
    return figure.low if isinstance(figure, Quantity) else None


def most(figure: Maybe | None) -> float | None:
    """Greatest value within the tolerance: for what must not be too much, such as a width."""
    return figure.high if isinstance(figure, Quantity) else None


def _tol(figure: Maybe) -> float:
    return figure.tol if isinstance(figure, Quantity) else 0.0


def _given(*figures: Maybe) -> bool:
    return all(isinstance(f, Quantity) for f in figures)


# --- vehicle -----------------------------------------------------------------------------------


def vehicle_numbers(name: str, vehicle: Vehicle, policy: Policy) -> VehicleNumbers:
    """Numbers of a vehicle in V; what is not given stays None."""
    kerb, basis = kerb_item(vehicle)
    sizes = vehicle.sizes
    return VehicleNumbers(
        id=name,
        label=vehicle.label,
        invented=vehicle.invented,
        battery=None if vehicle.propulsion == "not known" else "electric" in vehicle.propulsion,
        wheelbase=sizes.wheelbase.value,
        wheelbase_tol=sizes.wheelbase.tol,
        kerb=kerb,
        height_known=basis.height != "not known",
        basis=basis,
        parts=tuple(_part(c) for c in vehicle.components),
        point_sets=tuple(point_set_numbers(vehicle, p) for p in vehicle.point_sets),
        tyres=_tyres(vehicle),
        zones=_zones(vehicle),
        doors=_doors(vehicle),
        lids=_lids(vehicle),
        outline=_outline(vehicle),
        width=most(sizes.width),
        width_mirrors=most(sizes.width_mirrors),
        roof=_roof(vehicle),
        roof_load_known=not isinstance(vehicle.roof_load_height, NotGiven),
        sill=value(sizes.sill_height),
        twist=(
            value(vehicle.body_twist_low) or policy["twist_low"],
            value(vehicle.body_twist_high) or policy["twist_high"],
        ),
        droop=_droop(vehicle),
        special_adapter=vehicle.special_adapter,
        intake=_answers(vehicle.intake),
        air=vehicle.suspension.air,
        stand_places=tuple(
            (p.id, p.label, _plan_outline(p.outline), p.up.value, value(p.limit))
            for p in vehicle.stand_places
        ),
    )  # fmt: skip


def kerb_item(vehicle: Vehicle) -> tuple[Item | None, CgBasis]:
    """The weighed vehicle as one entry of the ledger, and where its figures come from.

    Measured loads come first, then a stated share, then the prior of the body class.
    """
    mass, aft, side = _mass_and_plan(vehicle)
    height = _height(vehicle)
    if mass is None or aft is None:
        missing = "not known"
        return None, CgBasis(missing, missing, missing, height[2] if height else missing, ())
    estimated = tuple(w for w, f in (("mass", mass), ("aft", aft)) if f[2].startswith("prior"))
    z, z_tol, z_from = height or (0.0, 0.0, "not known")
    kerb = Item(
        "kerb vehicle",
        mass[0],
        mass[1],
        (-aft[0], side[0], z),
        (aft[1], side[1], z_tol),
    )
    return kerb, CgBasis(mass[2], aft[2], side[2], z_from, estimated, _clash(vehicle.weights))


def _clash(w: Weights) -> bool:
    """Whether loads on file do not add up, beyond their tolerances and one part in a hundred."""
    corners = (w.lf, w.rf, w.lr, w.rr)
    rows = ((w.total, (w.front, w.rear)), (w.total, corners), (w.front, corners[:2]),
            (w.rear, corners[2:]))  # fmt: skip
    for whole, parts in rows:
        figures = [f for f in (whole, *parts) if isinstance(f, Quantity)]
        if len(figures) == len(parts) + 1:
            first, *rest = figures
            unsure = max(sum(f.tol for f in figures), ROUNDED * first.value)
            if abs(first.value - sum(f.value for f in rest)) > unsure:
                return True
    return False


def _mass_and_plan(vehicle: Vehicle) -> tuple[Figure | None, Figure | None, Figure]:
    w, sizes = vehicle.weights, vehicle.sizes
    length = sizes.wheelbase
    if _given(w.lf, w.rf, w.lr, w.rr) and _given(sizes.track_front, sizes.track_rear):
        tracks = (_figure(sizes.track_front), _figure(sizes.track_rear))
        loads = [_figure(f) for f in (w.lf, w.rf, w.lr, w.rr)]
        cg = from_corners(loads, tracks, _figure(length))
        how = f"corner loads, {w.state}"
        side = _evened(cg.side, how) if cg.side else _side(vehicle)
        return _evened(cg.mass, how), _evened(cg.aft, how), side
    side = _side(vehicle)
    if _given(w.front, w.rear):
        cg = from_axles(_figure(w.front), _figure(w.rear), _figure(length))
        how = f"axle loads, {w.state}"
        return _evened(cg.mass, how), _evened(cg.aft, how), side
    return _mass(vehicle), _aft_from_share(vehicle), side


def _figure(f: Maybe) -> statics.Figure:
    assert isinstance(f, Quantity)
    return statics.within(f.value, f.tol)


def _evened(f: statics.Figure, how: str) -> Figure:
    """A range as value and half width, the wider side standing for both."""
    return f.value, max(f.high - f.value, f.value - f.low), how


def _mass(vehicle: Vehicle) -> Figure | None:
    w = vehicle.weights
    if isinstance(w.total, Quantity):
        return w.total.value, w.total.tol, f"total, {w.state}"
    return _from_prior(mass_prior(vehicle))


def _aft_from_share(vehicle: Vehicle) -> Figure | None:
    share = vehicle.weights.front_share
    if isinstance(share, Quantity):
        known: Figure | None = (share.value, share.tol, "stated front share")
    else:
        known = _from_prior(front_share_prior(vehicle))
    if known is None:
        return None
    mean, half, how = known
    length = vehicle.sizes.wheelbase
    # Farthest aft with the least share on the longest wheelbase; the other end lies nearer.
    far = (1.0 - mean + half) * length.high
    middle = (1.0 - mean) * length.value
    return middle, far - middle, how


def _side(vehicle: Vehicle) -> Figure:
    side = vehicle.balance.side
    if isinstance(side, Quantity):
        return side.value, side.tol, "measured"
    prior = side_prior(vehicle)
    return prior.mean, prior.half_width, f"prior: {prior.source}"


def _height(vehicle: Vehicle) -> Figure | None:
    height = vehicle.balance.height
    if isinstance(height, Quantity):
        return height.value, height.tol, "measured"
    return _from_prior(height_prior(vehicle))


def _from_prior(prior: Prior | None) -> Figure | None:
    return (prior.mean, prior.half_width, f"prior: {prior.source}") if prior else None


def point_set_numbers(vehicle: Vehicle, points: PointSet) -> PointSetNumbers:
    """A point set in V, in corner order."""
    by_corner = {p.corner.value: p for p in points.points}
    source = vehicle.sources.get(points.source or vehicle.source)
    a, b, c, d = (_point(by_corner[k]) for k in CORNER_ORDER)
    told = str(source or "not given")
    return PointSetNumbers(points.id, points.label, told, (a, b, c, d), _looked_up(source))


def _looked_up(source: Source | None) -> bool:
    guesses = (SourceKind.MEMORY, SourceKind.ESTIMATE)
    return source is None or (source.seen and source.kind not in guesses)


def _point(p: LiftingPoint) -> PointNumbers:
    return PointNumbers(
        corner=p.corner.value,
        place=(-p.aft.value, p.side.value),
        place_tol=(p.aft.tol, p.side.tol),
        up=p.up.value,
        up_tol=p.up.tol,
        zone=Zone(p.along.value, p.across.value),
        contact=p.contact.value,
        flange_thickness=most(p.flange_thickness),
        flange_depth=most(p.flange_depth),
        limit=least(p.limit),
    )


def _item(name: str, mass: Quantity, aft: Quantity, side: Quantity, up: Quantity) -> Item:
    place, tol = (-aft.value, side.value, up.value), (aft.tol, side.tol, up.tol)
    return Item(name, mass.value, mass.tol, place, tol)


item_from = _item


def _part(c: Component) -> tuple[str, Item, bool]:
    return c.id, _item(c.id, c.mass, c.aft, c.side, c.up), c.on


def _answers(intake: Intake) -> tuple[tuple[str, str], ...]:
    given = intake.model_dump(exclude={"asked_by", "asked_on"})
    return tuple((question, str(answer)) for question, answer in given.items())


def _tyres(vehicle: Vehicle) -> tuple[TyreNumbers, ...] | None:
    s = vehicle.sizes
    if not _given(s.track_front, s.track_rear, s.tyre_width, s.tyre_diameter):
        return None
    width, diameter = value(s.tyre_width) or 0.0, value(s.tyre_diameter) or 0.0
    halves = ((value(s.track_front) or 0.0) / 2, (value(s.track_rear) or 0.0) / 2)
    x = (0.0, -s.wheelbase.value)
    across = [(_tol(s.tyre_width) + _tol(track)) / 2 for track in (s.track_front, s.track_rear)]
    room = [
        (along, across[i], _tol(s.tyre_diameter)) for i, along in enumerate((0.0, s.wheelbase.tol))
    ]
    return tuple(
        TyreNumbers((x[i], sign * halves[i]), width, diameter, room[i])
        for i in (0, 1)
        for sign in (1, -1)
    )


def _zones(vehicle: Vehicle) -> tuple[ZoneNumbers, ...] | None:
    if vehicle.zones is None:
        return None
    return tuple(
        ZoneNumbers(
            z.id, z.kind.value, _zone_outline(z.outline), z.underside.low,
            z.touch, z.pass_under, z.high_voltage or z.kind.value == "battery",
        )
        for z in vehicle.zones
    )  # fmt: skip


def _zone_outline(outline: Iterable[tuple[Quantity, Quantity]]) -> Polygon:
    """A zone as large as its tolerances may make it."""
    corners = tuple(outline)
    most_off = max((hypot(aft.tol, side.tol) for aft, side in corners), default=0.0)
    plain = _plan_outline(corners)
    return grown(plain, most_off) if most_off > 0.0 else plain


def _plan_outline(outline: Iterable[tuple[Quantity, Quantity]]) -> Polygon:
    return tuple((-aft.value, side.value) for aft, side in outline)


def _doors(vehicle: Vehicle) -> tuple[DoorNumbers, ...] | None:
    if vehicle.doors is None:
        return None
    doors = []
    for d in vehicle.doors:
        left = 1 if d.side == "left" else -1
        front = d.hinged_at == "front"
        # A leaf hinged at the front lies rearward (pi) when closed and swings outward.
        doors.append(
            DoorNumbers(
                d.id, (-d.hinge_aft.value, d.hinge_side.value), pi if front else 0.0,
                -left if front else left, d.length.high, d.opens.value,
            )
        )  # fmt: skip
    return tuple(doors)


def _lids(vehicle: Vehicle) -> tuple[LidNumbers, ...] | None:
    if vehicle.lids is None:
        return None
    return tuple(
        LidNumbers(x.id, x.kind, -x.open_aft.value, x.open_height.high) for x in vehicle.lids
    )


def _outline(vehicle: Vehicle) -> tuple[float, float, float] | None:
    s = vehicle.sizes
    length, width, front = value(s.length), most(s.width), value(s.overhang_front)
    if length is None or width is None or front is None:
        return None
    unsure = _tol(s.overhang_front)
    return front + unsure, front - length - _tol(s.length) - unsure, width / 2


def _roof(vehicle: Vehicle) -> float | None:
    roof, load = most(vehicle.sizes.height), most(vehicle.roof_load_height)
    return roof if roof is None or load is None else max(roof, load)


def _droop(vehicle: Vehicle) -> float | None:
    front, rear = vehicle.suspension.droop_front, vehicle.suspension.droop_rear
    if isinstance(front, Quantity) and isinstance(rear, Quantity):
        return max(front.high, rear.high)
    return None


# --- bay ---------------------------------------------------------------------------------------


def bay_numbers(name: str, bay: Bay) -> BayNumbers:
    """Numbers of a bay and its lift in L."""
    arms = bay.arms.in_order()
    about, plate = bay.surroundings, bay.plate
    return BayNumbers(
        id=name,
        label=bay.label,
        invented=bay.invented,
        lift_kind=bay.lift_kind,
        arms=tuple(_arm(a, front, left) for a, (front, left) in zip(arms, _ENDS, strict=True)),  # type: ignore[arg-type]
        restraint=_restraint(bay),
        tooth_offset_known=bay.restraint.kind != "toothed"
        or _given(bay.restraint.offset, bay.restraint.pitch),
        pitch=value(bay.restraint.pitch),
        profiles=tuple(_profile(a) for a in arms),
        parked=tuple(value(a.parked_swing) for a in arms),
        columns=tuple(_column(c) for c in bay.columns),  # type: ignore[arg-type]
        column_faces=_clear_between(bay.columns),
        interface=bay.seat.interface,
        seat_low=bay.seat.lowest.high,
        seat_high=bay.seat.highest.low,
        greatest_stack=least(bay.seat.greatest_stack),
        rated=plate.rated.low,
        arm_limits=tuple(_arm_limit(a, bay) for a in arms),
        split_text=plate.split_high,
        cg_window=_cg_window(bay),
        wheelbase_limits=(most(plate.wheelbase_low), least(plate.wheelbase_high)),
        width_high=least(plate.width_high),
        drive_through=least(plate.drive_through),
        ceiling=_or_none(about.ceiling),
        stop_bar=_stop_bar(bay),
        free=tuple(
            _or_none(f)
            for f in (about.free_ahead, about.free_behind, about.free_left, about.free_right)
        ),
        mark=(about.mark, about.mark_x.value) if isinstance(about.mark_x, Quantity) else None,
        floor_level=about.floor_level,
        floor_certificate=about.floor_certificate,
        approach=bay.approach,
        interval_months=_interval(bay),
        carriage_difference=most(bay.carriage_difference),
        carriage_span=abs(arms[0].pivot_y.value - arms[1].pivot_y.value),
        approved=bay.adapters_approved,
        raise_speed=value(bay.raise_speed),
    )  # fmt: skip


_ENDS = ((True, True), (True, False), (False, True), (False, False))


def _arm(a: SwingArm, front: bool, left: bool) -> Arm:
    # Swing zero points straight inward; swing grows toward the arm's own end of the lift.
    inward = -pi / 2 if left else pi / 2
    turn = 1 if front == left else -1
    return Arm(
        (a.pivot_x.value, a.pivot_y.value), inward, turn,
        a.swing_low.high, a.swing_high.low, a.reach_low.high, a.reach_high.low,
    )  # fmt: skip


def _restraint(bay: Bay) -> Teeth | Free | None:
    kind, pitch = bay.restraint.kind, bay.restraint.pitch
    if kind == "stepless":
        return Free()
    if kind == "missing":
        return None
    if not isinstance(pitch, Quantity):
        return Free()
    if pitch.value <= 0.0:
        raise InputError("restraint.pitch", pitch.text, "a tooth pitch is greater than zero")
    offset = bay.restraint.offset
    # Decision: with an unknown offset the arm is treated as stepless and half a pitch of swing is
    # carried as an error by the judge (see placing._reach).
    return Teeth(pitch.value, offset.value) if isinstance(offset, Quantity) else Free()


def _profile(a: SwingArm) -> ArmProfile | None:
    if a.profile is None:
        return None
    stations, widest = [], 0.0
    for s in sorted(a.profile, key=lambda s: s.from_tip.value):
        widest = max(widest, s.half_width.high)
        stations.append((s.from_tip.value, widest, s.top.high, s.bottom.low))
    return tuple(stations)


def _column(c: Column) -> Polygon:
    # What place, size and turn may be off, all round: a column is never smaller than this.
    half, side = most(c.along) or 0.0, most(c.across) or 0.0
    askew = hypot(half, side) / 2 * c.turn.tol
    half, side = half / 2 + c.x.tol + askew, side / 2 + c.y.tol + askew
    cos_t, sin_t = cos(c.turn.value), sin(c.turn.value)
    corners = ((half, side), (-half, side), (-half, -side), (half, -side))
    return tuple(
        (c.x.value + x * cos_t - y * sin_t, c.y.value + x * sin_t + y * cos_t) for x, y in corners
    )


def _clear_between(columns: tuple[Column, Column]) -> float:
    left, right = sorted((_column(c) for c in columns), key=lambda p: -max(y for _, y in p))
    return min(y for _, y in left) - max(y for _, y in right)


def _arm_limit(a: SwingArm, bay: Bay) -> float | None:
    return least(a.limit) if isinstance(a.limit, Quantity) else least(bay.plate.per_arm)


def _cg_window(bay: Bay) -> tuple[float, float] | None:
    low, high = most(bay.plate.cg_low), least(bay.plate.cg_high)
    return None if low is None or high is None else (low, high)


def _or_none(f: Maybe) -> float | str | None:
    return "none" if isinstance(f, Absent) else least(f)


def _stop_bar(bay: Bay) -> tuple[float, float | None] | str | None:
    bar = bay.surroundings.stop_bar
    if isinstance(bar, Absent):
        return "none"
    return (bar.low, value(bay.surroundings.stop_bar_x)) if isinstance(bar, Quantity) else None


def _interval(bay: Bay) -> float | None:
    interval = bay.inspection.interval
    return interval.value / (30.4375 * 86400.0) if interval else None


# --- shelf -------------------------------------------------------------------------------------


def shelf(adapters: Mapping[str, Adapter], bay: str, standing: Standing) -> Shelf:
    """All adapter types as one bay may use them, with their counts in service."""
    return Shelf({name: _adapter(name, a, bay, standing) for name, a in adapters.items()})


def _adapter(name: str, a: Adapter, bay: str, standing: Standing) -> AdapterNumbers:
    inspected = standing.inspected_on(name, bay)
    return AdapterNumbers(
        id=name,
        label=a.label,
        role=a.role,
        below=a.below,
        above=a.above,
        height=a.height.value,
        travel=least(a.travel) or 0.0,
        thread=value(a.thread),
        contacts=tuple(c.value for c in a.contacts),
        cradle=a.cradle,
        width=value(a.width),
        slot=least(a.slot),
        slot_depth=least(a.slot_depth),
        rating=a.rating.low,
        clean_rubber=a.clean_rubber,
        raised_edges=a.raised_edges,
        edges_near_battery=a.edges_near_battery,
        maker_rated=a.maker_rated,
        count=max(0, a.usable_count(bay) - standing.pieces_out(name, bay)),
        out_of_service=sum(x.count for x in a.lots if not x.in_service),
        inspected_months=Age(inspected, standing.today).months if inspected else None,
        interval_months=float(a.interval_months) if a.interval_months else None,
    )
