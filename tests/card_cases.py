"""Invented plans for the card's tests: found, refused, incomplete, and a job of twelve steps.

Geometry and loads follow one another by hand arithmetic, so that drawings look like a bay; nothing
here is the planner's work.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from underset.setting.result import (
    ArmSetting,
    Check,
    Choice,
    Evaluation,
    HoldPoint,
    Missing,
    Outcome,
    PadLoad,
    Piece,
    Plan,
    Point,
    Polygon,
    Refusal,
    Remedy,
    Residuals,
    Scene,
    Setting,
    StandLoad,
    StateResult,
    Status,
    Wedge,
)

G = 9.80665
SHOP = "shop policy"
SPLIT = "DGUV Information 208-015 (10/2019), section 3"
PUSH = "CCOHS push and pull force table (after Eastman Kodak 1986), standing, whole body"
SLIP = "Burlet-Vienney et al., Safety 2022, 8(3), 58, abstract"
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Car:
    """An invented vehicle: lengths m, mass kg, points as (aft, side)."""

    name: str = "Harbour hatch"
    mass: float = 1240.0
    wheelbase: float = 2.60
    track: float = 1.50
    length: float = 4.05
    width: float = 1.76
    front: float = 0.82
    roof: float | None = 1.49
    wheel: float = 0.31
    cg_aft: float = 1.04
    cg_up: float = 0.55
    points: tuple[Point, Point] = ((0.60, 0.72), (2.08, 0.72))
    up: float = 0.205
    contact: str = "pinch weld"
    zones: tuple[Wedge, ...] = ()


HATCH = Car()
VAN = Car(
    name="Quay van, long, electric",
    mass=2610.0,
    wheelbase=3.30,
    track=1.62,
    length=5.55,
    width=1.97,
    front=0.92,
    roof=2.38,
    wheel=0.34,
    cg_aft=1.62,
    cg_up=0.78,
    points=((0.80, 0.74), (2.55, 0.78)),
    up=0.245,
    contact="peg hole",
)


# --- one setting ----------------------------------------------------------------------------------

PIVOTS: tuple[Point, Point, Point, Point] = (
    (0.18, 1.30),
    (0.18, -1.30),
    (-0.18, 1.30),
    (-0.18, -1.30),
)
ARMS = ("left_front", "right_front", "left_rear", "right_rear")


def places(car: Car, spot: float, tail_in: bool = False) -> tuple[Point, ...]:
    """Lifting points in L by corner."""
    turn = -1.0 if tail_in else 1.0
    (fa, fs), (ra, rs) = car.points
    return tuple(
        (spot - turn * aft, turn * side) for aft, side in ((fa, fs), (fa, -fs), (ra, rs), (ra, -rs))
    )


def pivot_of(point: Point) -> int:
    return (0 if point[0] >= 0 else 2) + (0 if point[1] > 0 else 1)


def stack(car: Car, seat: float, spacer: bool) -> tuple[Piece, ...]:
    low = seat
    pieces = []
    if spacer:
        pieces.append(Piece("spacer-75", "spacer 75", "spacer", low, low + 0.075, 0.0, None, None))
        low += 0.075
    screw = car.up - low - 0.048
    pieces.append(
        Piece(
            "screw-pad-60",
            "screw pad 60",
            "head",
            low,
            low + 0.048 + screw,
            screw,
            0.06,
            screw / 0.004,
        )
    )
    return tuple(pieces)


def arm(car: Car, corner: str, point: Point, seat: float) -> ArmSetting:
    i = pivot_of(point)
    pivot = PIVOTS[i]
    pad = (point[0] + 0.004, point[1] - 0.003)
    dx, dy = pad[0] - pivot[0], pad[1] - pivot[1]
    pieces = stack(car, seat, car.up > 0.22)
    return ArmSetting(
        corner=corner,
        arm=ARMS[i],
        tooth=round(math.degrees(math.atan2(abs(dx), abs(dy))) / 4.0),
        swing=math.atan2(abs(dx), abs(dy)),
        reach=math.hypot(dx, dy),
        pad=pad,
        point=point,
        along=0.004,
        across=-0.003,
        stack=pieces,
        screw=pieces[-1].screw,
        turns=pieces[-1].turns,
        contact=car.contact,
    )


def setting(car: Car, spot: float, seat: float = 0.110, tail_in: bool = False) -> Setting:
    arms = tuple(
        arm(car, corner, point, seat)
        for corner, point in zip(("LF", "RF", "LR", "RR"), places(car, spot, tail_in), strict=True)
    )
    return Setting(
        vehicle=car.name.lower().replace(",", "").replace(" ", "-"),
        bay="bay-1",
        job="drive-unit-out",
        heading="tail-in" if tail_in else "nose-in",
        point_set="maker, four points",
        spot=spot,
        sideways=0.0,
        yaw=0.0,
        window=(spot - 0.0214, spot + 0.0387),
        fixed_window=(spot - 0.012, spot + 0.0146),
        seat=seat,
        arms=arms,
    )  # type: ignore[arg-type]


# --- loads ----------------------------------------------------------------------------------------


def loads(car: Car, mass: float, aft: float, spread: float = 0.09) -> tuple[PadLoad, ...]:
    """Pad loads of a symmetric vehicle by moments, with a range about them."""
    (fa, _), (ra, _) = car.points
    front = mass * G * (ra - aft) / (ra - fa)
    ends = (front / 2, front / 2, (mass * G - front) / 2, (mass * G - front) / 2)
    return tuple(PadLoad(n, n * (1 - spread), n * (1 + spread)) for n in ends)


def state(
    car: Car, spot: float, name: str, label: str, mass: float, aft: float, checks: tuple[Check, ...]
) -> StateResult:
    cg = (spot - aft, 0.004, car.cg_up)
    near = (0.03, 0.012, 0.04)
    return StateResult(
        name=name,
        label=label,
        mass=mass,
        mass_low=mass - 12,
        mass_high=mass + 12,
        cg=cg,
        cg_low=tuple(c - n for c, n in zip(cg, near, strict=True)),
        cg_high=tuple(c + n for c, n in zip(cg, near, strict=True)),
        cg_vehicle=(-aft, 0.004, car.cg_up),
        pads=loads(car, mass, aft),
        supports=(),
        residuals=Residuals(1.8e-12, -4.5e-13, 0.0),
        checks=checks,
    )  # type: ignore[arg-type]


# --- checks ---------------------------------------------------------------------------------------


def placing_checks() -> tuple[Check, ...]:
    """What is judged once, before anything moves."""
    return (
        Check(
            "arm_tooth",
            Status.HOLDS,
            where="LF",
            sources=("HSE SIM 03/2010/2, arm locks on two-post lifts",),
        ),
        Check(
            "arm_reach",
            Status.HOLDS,
            0.082,
            0.0,
            0.082,
            0.41,
            "m",
            where="LF",
            sources=("the lift's plate and instructions",),
        ),
        Check(
            "point_on_pad",
            Status.WATCH,
            0.51,
            0.47,
            -0.04,
            -0.085,
            "1",
            where="LR",
            inputs=(("along", 0.028, "m"), ("across", -0.011, "m"), ("half pad width", 0.06, "m")),
            sources=(SLIP,),
        ),
        Check(
            "parking_along",
            Status.WATCH,
            0.0214,
            0.025,
            -0.0036,
            -0.168,
            "m",
            inputs=(("spot", 1.1, "m"), ("window low", 1.0786, "m"), ("window high", 1.1387, "m")),
            sources=(SHOP,),
        ),
        Check("screw_range", Status.HOLDS, 0.013, 0.003, 0.01, 0.77, "m", sources=(SHOP,)),
        Check(
            "arm_tyre", Status.HOLDS, 0.061, 0.025, 0.036, 0.59, "m", where="RF", sources=(SHOP,)
        ),
        Check("overhead", Status.HOLDS, 0.34, 0.10, 0.24, 0.71, "m", sources=(SHOP,)),
        Check("source_age", Status.HOLDS, 7.0, 12.0, 5.0, 0.42, "months", sources=(PRACTICE,)),
    )


def load_checks(car: Car, mass: float, aft: float) -> tuple[Check, ...]:
    """What is judged in every state; the front share decides."""
    (fa, _), (ra, _) = car.points
    front = (ra - aft) / (ra - fa)
    worst = max(front, 1 - front) + 0.02
    limit = 0.75
    split = Status.HOLDS if worst <= limit else Status.STOPS
    least = min(front, 1 - front) / 2 * 0.91
    calm = Status.HOLDS if least >= 0.1 else Status.WATCH
    return (
        Check(
            "pad_split",
            split,
            worst,
            limit,
            limit - worst,
            1 - worst / limit,
            "1",
            nominal=max(front, 1 - front),
            inputs=(
                ("front pads", front * mass * G, "N"),
                ("rear pads", (1 - front) * mass * G, "N"),
                ("rated capacity", 4000.0, "kg"),
            ),
            sources=(SPLIT,),
        ),
        Check(
            "least_pad",
            calm,
            least,
            0.05,
            least - 0.05,
            1 - 0.05 / least,
            "1",
            where="LR",
            inputs=(("mass", mass, "kg"),),
            sources=(
                SHOP,
                "Equal springs under a rigid body (Euler 1773), doi 10.4236/am.2015.63055",
            ),
        ),
        Check(
            "arm_load",
            Status.HOLDS,
            front * mass * G / 2 * 1.09,
            9806.65,
            9806.65 - front * mass * G / 2 * 1.09,
            1 - front * mass * G / 2 * 1.09 / 9806.65,
            "N",
            where="LF",
            sources=(PRACTICE,),
        ),
        Check(
            "push_unload",
            Status.HOLDS,
            1040.0,
            450.0,
            590.0,
            0.57,
            "N",
            where="LR",
            sources=(PUSH,),
        ),
        Check(
            "cg_edge",
            Status.HOLDS,
            0.41,
            0.10,
            0.31,
            0.76,
            "m",
            sources=(SHOP, "Equilibrium of a rigid body, statics handbooks"),
        ),
    )


# --- scene ----------------------------------------------------------------------------------------


def box(x0: float, x1: float, y0: float, y1: float) -> Polygon:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def scene(car: Car, s: Setting, *, mark: tuple[str, float] | None = ("yellow bar", 0.60)) -> Scene:
    turn = -1.0 if s.heading == "tail-in" else 1.0
    front, rear = s.spot, s.spot - turn * car.wheelbase
    half, ahead = car.track / 2, s.spot + turn * car.front
    behind = ahead - turn * car.length
    cg = (s.spot - turn * car.cg_aft, 0.004, car.cg_up)
    pads = tuple(a.pad for a in s.arms)
    lf, rf, lr, rr = pads
    return Scene(
        heading=s.heading,
        columns=(box(-0.17, 0.17, 1.45, 1.78), box(-0.17, 0.17, -1.78, -1.45)),
        pivots=tuple(PIVOTS[pivot_of(a.point)] for a in s.arms),
        arms=tuple(sections(PIVOTS[pivot_of(a.point)], a.pad) for a in s.arms),
        pads=pads,
        pad_radii=(0.06,) * 4,
        points=tuple(a.point for a in s.arms),
        body=box(min(ahead, behind), max(ahead, behind), -car.width / 2, car.width / 2),
        tyres=tuple(
            box(x - car.wheel, x + car.wheel, y - 0.1, y + 0.1)
            for x in (front, rear)
            for y in (half, -half)
        ),
        zones=tuple(zone(z, s.spot, turn) for z in car.zones),
        axles=(
            ((front, turn * half), (front, -turn * half)),
            ((rear, turn * half), (rear, -turn * half)),
        ),
        wheel_radius=car.wheel,
        roof=car.roof,
        sill=0.24,
        ceiling=3.55,
        stop_bar=(0.0, 3.40),
        cg=cg,
        cg_low=(cg[0] - 0.05, cg[1] - 0.02, cg[2] - 0.06),
        cg_high=(cg[0] + 0.05, cg[1] + 0.02, cg[2] + 0.06),
        support=(lf, lr, rr, rf),
        stands=(),
        mark=mark,
        seat=s.seat,
        rise_limit=1.81,
    )  # type: ignore[arg-type]


def zone(z: Wedge, spot: float, turn: float) -> Wedge:
    """A zone given as (aft, side), placed in L."""
    return replace(z, outline=tuple((spot - turn * aft, turn * side) for aft, side in z.outline))


def sections(pivot: Point, pad: Point) -> tuple[Polygon, ...]:
    """Two tapered pieces of an arm, tip first."""
    dx, dy = pad[0] - pivot[0], pad[1] - pivot[1]
    length = math.hypot(dx, dy)
    ux, uy = dx / length, dy / length

    def strip(a: float, b: float, wa: float, wb: float) -> Polygon:
        return tuple(
            (pivot[0] + d * ux - w * uy, pivot[1] + d * uy + w * ux)
            for d, w in ((a, wa), (b, wb), (b, -wb), (a, -wa))
        )

    return (strip(0.5 * length, length + 0.05, 0.045, 0.038), strip(0.0, 0.6 * length, 0.07, 0.055))


# --- hold points ----------------------------------------------------------------------------------

HOLD_POINTS = (
    HoldPoint(
        "bay-clear", "Bay clear, lift lowered, arms parked out", "Nothing and nobody in the way."
    ),
    HoldPoint(
        "spot",
        "Front axle on the spot",
        "Measure from the floor mark.",
        facts=(("spot", "500 mm"), ("window", "479 to 538 mm")),
    ),
    HoldPoint("brake", "Brake set, key out, nobody inside", "Ask aloud."),
    HoldPoint(
        "sight-LF",
        "Arm sighted from floor level",
        "Look along the arm.",
        corner="LF",
        facts=(("tooth", "7"),),
    ),
    HoldPoint(
        "sight-RF",
        "Arm sighted from floor level",
        "Look along the arm.",
        corner="RF",
        facts=(("tooth", "7"),),
    ),
    HoldPoint(
        "sight-LR",
        "Arm sighted from floor level",
        "Look along the arm.",
        corner="LR",
        facts=(("tooth", "14"),),
    ),
    HoldPoint(
        "sight-RR",
        "Arm sighted from floor level",
        "Look along the arm.",
        corner="RR",
        facts=(("tooth", "14"),),
    ),
    HoldPoint("touch", "All four pads touch together, none turns by hand", "Turn each by hand."),
    HoldPoint("restraints", "All four restraints engaged", "Pull each arm.", sign=True),
    HoldPoint(
        "clear",
        "Tyres a hand's breadth off: push both ends",
        "Lower and start again if one pad is loose.",
        sign=True,
        facts=(("tyres off", "50 mm"),),
    ),
    HoldPoint(
        "locks", "At height: look, rock, set down on the locks", "Hear all locks.", sign=True
    ),
    HoldPoint(
        "lower",
        "Before lowering: stands away, floor clear, feet clear",
        "Raise off the locks first.",
    ),
    HoldPoint("out", "Down: arms out before driving off", "All four parked."),
)


# --- the plans ------------------------------------------------------------------------------------


def found() -> Plan:
    """A front-drive hatch on a wide-split lift: usable, with two things to watch."""
    spot = 1.10
    s = setting(HATCH, spot)
    first = (*placing_checks(), *load_checks(HATCH, HATCH.mass, HATCH.cg_aft))
    best = Evaluation(
        s, (state(HATCH, spot, "up", "raised, complete", HATCH.mass, HATCH.cg_aft, first),)
    )
    choice = Choice("bay-1", "nose-in", s.point_set, best.status, 0.04, spot, s.window, 4, best)
    return Plan(
        Outcome.FOUND,
        best,
        (choice,),
        refusals()[:1],
        (),
        (),
        412,
        scene=scene(HATCH, s),
        hold_points=HOLD_POINTS,
        invented=True,
    )


STEPS = (
    ("complete", 0.0, 0.0),
    ("bonnet open, wheels off", 68.0, 1.3),
    ("bumper and front cover off", 31.0, -0.7),
    ("cooling pack out", 24.0, -0.5),
    ("exhaust front part off", 18.0, 0.9),
    ("drive shafts out", 22.0, 0.1),
    ("subframe loosened, table under it", 0.0, 0.0),
    ("drive unit out", 188.0, -0.15),
    ("subframe out", 41.0, 0.0),
    ("steering rack out", 14.0, 0.05),
    ("tank drained", 38.0, 2.3),
    ("tailgate open, four wheels in the boot", -68.0, 2.9),
)


def job() -> Plan:
    """Twelve steps on an electric van, turned round; the last ones stop holding."""
    car = replace(
        VAN,
        zones=(
            Wedge(
                "battery",
                "traction battery",
                ((0.95, 0.62), (2.40, 0.62), (2.40, -0.62), (0.95, -0.62)),
                0.20,
            ),
            Wedge(
                "running board",
                "left step",
                ((0.9, 0.98), (2.2, 0.98), (2.2, 0.84), (0.9, 0.84)),
                0.30,
            ),
        ),
    )
    spot = -1.62
    s = setting(car, spot, tail_in=True)
    states = []
    mass, moment = car.mass, car.mass * car.cg_aft
    for i, (label, off, at) in enumerate(STEPS):
        mass, moment = mass - off, moment - off * at
        checks = load_checks(car, mass, moment / mass)
        checks = (*placing_checks(), *checks) if i == 0 else checks
        states.append(state(car, spot, f"step-{i}", label, mass, moment / mass, checks))
    stand = StandLoad("rear stand", (spot + 3.1, 0.0), 3.1, 0.0, 1500.0)
    states[7] = replace(states[7], supports=(stand,))
    best = Evaluation(s, tuple(states))
    picture = replace(scene(car, s, mark=None), stands=(stand,))
    return Plan(
        Outcome.FOUND,
        best,
        (),
        (),
        (),
        (),
        2210,
        scene=picture,
        hold_points=many_hold_points(40),
        invented=True,
    )


def many_hold_points(count: int) -> tuple[HoldPoint, ...]:
    extra = tuple(
        HoldPoint(
            f"before-{i}",
            f"Before step {i}: opposite end supported, same end secured",
            "Look.",
            sign=i % 3 == 0,
        )
        for i in range(1, count - len(HOLD_POINTS) + 1)
    )
    return (*HOLD_POINTS, *extra)


def stopped() -> Plan:
    """A setting that is shown but does not hold: the split breaks when the drive unit is out."""
    plan = job()
    assert plan.best is not None
    bad = Check("pad_split", Status.STOPS, 0.79, 0.75, -0.04, -0.053, "1", sources=(SPLIT,))
    unknown = Check(
        "balance", Status.NOT_KNOWN, sources=("Equilibrium of a rigid body, statics handbooks",)
    )
    states = list(plan.best.states[:8])
    states[7] = replace(states[7], checks=(*states[7].checks, bad, unknown))
    return replace(plan, best=replace(plan.best, states=tuple(states)), hold_points=HOLD_POINTS)


def refusals() -> tuple[Refusal, ...]:
    near = Check(
        "arm_reach",
        Status.STOPS,
        -0.073,
        0.0,
        -0.073,
        -0.073,
        "m",
        where="LR",
        sources=("the lift's plate and instructions",),
    )
    tyre = Check(
        "arm_tyre", Status.STOPS, 0.011, 0.025, -0.014, -1.27, "m", where="RF", sources=(SHOP,)
    )
    return (
        Refusal("arm_reach", 96, "bay-1", near, "nose-in, maker points"),
        Refusal("arm_tyre", 212, "bay-4", tyre, "tail-in, maker points"),
        Refusal("stack_stock", 18, "", None),
    )


def refused() -> Plan:
    """No setting exists; three remedies were proved."""
    remedies = (
        Remedy(
            "adapter", "Add two spacers of 100 mm to the shelf of bay 3.", 2, Outcome.FOUND, "bay-3"
        ),
        Remedy(
            "bay",
            "Use bay 3, whose arms reach 1,600 mm.",
            1,
            Outcome.FOUND,
            "bay-3",
            details=(("spot", "412 mm"),),
        ),
        Remedy("load", "Take 180 kg out of the load bed first.", 3, Outcome.FOUND, "bay-1"),
    )
    return Plan(Outcome.NONE, None, (), refusals(), remedies, (), 326, invented=True)


def incomplete() -> Plan:
    """Nothing can be said: no lifting-point heights, no axle loads."""
    missing = (
        Missing(
            "vehicle seafront-classic",
            "point_sets.tape.LF.up",
            "the stack cannot be chosen without it",
            "measure from the floor at ride height",
        ),
        Missing(
            "vehicle seafront-classic",
            "axle loads",
            "pad loads and the split need the centre of gravity",
            "weigh each axle",
        ),
    )
    return Plan(
        Outcome.INCOMPLETE,
        None,
        (),
        (),
        (),
        missing,
        0,
        invented=True,
        notes=("Estimates by body class were not enough.",),
    )


def limit() -> Plan:
    """The search ended before it could answer."""
    return Plan(Outcome.LIMIT, None, (), refusals()[:1], (), (), 5000, invented=False)


CASES = {
    "found": found,
    "job": job,
    "stopped": stopped,
    "refused": refused,
    "incomplete": incomplete,
    "limit": limit,
}
