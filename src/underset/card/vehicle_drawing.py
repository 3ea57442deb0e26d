"""A vehicle as its record describes it, one dimension for each figure: forms and sheets use it.

Decision: first-angle projection (ISO 128): seen from the left above, in plan below, front to the
left. Every dimension carries `data-key`, the name of its figure, so that a page may light it up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from underset.card import svg

CORNERS: Final = ("lf", "rf", "lr", "rr")
_WIDTH: Final = 176.0  # mm of paper
_ROOM: Final = 150.0  # mm for the longest vehicle
_TOP, _GAP, _FOOT = 12.0, 34.0, 26.0


@dataclass(frozen=True, slots=True)
class SketchPoint:
    """A lifting point, m: aft, side (left positive), up, half-lengths of its zone."""

    aft: float
    side: float
    up: float
    along: float
    across: float


@dataclass(frozen=True, slots=True)
class SketchZone:
    """Part of the underbody: corners as (aft, side) in m, what it is, height of its underside."""

    corners: tuple[tuple[float, float], ...]
    label: str
    underside: float | None = None


@dataclass(frozen=True, slots=True)
class SketchDoor:
    """A door leaf in plan: hinge, and the leaf's far end, shut and open; m."""

    hinge: tuple[float, float]
    shut: tuple[float, float]
    open: tuple[float, float]


@dataclass(frozen=True, slots=True)
class VehicleSketch:
    """All that is drawn, m. `sizes` holds every size by name; `labels` what stands at a dimension.

    A figure without a label has no dimension; one that is not known is labelled by whoever asks.
    """

    sizes: Mapping[str, float]
    points: tuple[SketchPoint, ...]
    labels: Mapping[str, str]
    words: Mapping[str, str]
    zones: tuple[SketchZone, ...] = ()
    doors: tuple[SketchDoor, ...] = ()
    stands: tuple[SketchZone, ...] = ()
    unknown: frozenset[str] = field(default_factory=frozenset)


def vehicle_svg(sketch: VehicleSketch, theme: svg.Theme = "bare") -> str:
    """Side view and plan on one sheet."""
    paper = _paper(sketch)
    body = (*_side(sketch, paper), *_plan(sketch, paper), *_words(sketch, paper))
    picture = svg.Picture(
        name="vehicle",
        width=_WIDTH,
        height=paper.bottom,
        title=sketch.words["title"],
        description=sketch.words["told"],
        body=tuple(body),
    )
    return svg.write(picture, theme)


@dataclass(frozen=True, slots=True)
class _Paper:
    """mm a metre, paper x of the front axle, paper y of the floor and of the middle line."""

    k: float
    x0: float
    floor: float
    middle: float
    bottom: float

    def above(self, aft: float, up: float) -> svg.XY:
        return (self.x0 + aft * self.k, self.floor - up * self.k)

    def plan(self, aft: float, side: float) -> svg.XY:
        return (self.x0 + aft * self.k, self.middle + side * self.k)


def _paper(s: VehicleSketch) -> _Paper:
    k = _ROOM / max(s.sizes["length"], 1.0)
    k = min(k, 70.0 / max(s.sizes["height"], 0.5), 70.0 / max(s.sizes["width_mirrors"], 0.5))
    used = s.sizes["length"] * k
    x0 = (_WIDTH - used) / 2 + s.sizes["overhang_front"] * k
    floor = _TOP + s.sizes["height"] * k
    half = max(s.sizes["width_mirrors"], s.sizes["width"]) / 2 * k
    middle = floor + _GAP + half
    return _Paper(k, x0, floor, middle, middle + half + _FOOT)


def _dimension(
    s: VehicleSketch, key: str, ends: tuple[svg.XY, svg.XY], at: float, upright: bool = False
) -> str:
    if key not in s.labels:
        return ""
    return svg.dimension(*ends, s.labels[key], at=at, upright=upright, key=key)


# --- side view ------------------------------------------------------------------------------------


def _side(s: VehicleSketch, p: _Paper) -> list[str]:
    z, k = s.sizes, p.k
    front, rear = -z["overhang_front"], z["length"] - z["overhang_front"]
    sill, roof, belt = z["sill_height"], z["height"], z["sill_height"] + 0.45 * z["height"]
    wheel = z["tyre_diameter"] / 2
    outline = [
        p.above(*c)
        for c in ((front, sill), (front, belt), (front + 0.22 * z["length"], belt),
                  (front + 0.36 * z["length"], roof), (rear - 0.06 * z["length"], roof),
                  (rear, belt), (rear, sill))
    ]  # fmt: skip
    parts = [
        svg.line((6.0, p.floor), (_WIDTH - 6.0, p.floor), "us-outline"),
        svg.polygon(outline, "us-body"),
        *(
            svg.circle(p.above(a, wheel), wheel * k, "us-wheel", data_key=f"{end}_axle")
            for a, end in ((0.0, "front"), (z["wheelbase"], "rear"))
        ),
        *(_side_zone(zone, p) for zone in s.zones),
    ]
    for i in (0, 2):
        x, y = p.above(s.points[i].aft, s.points[i].up)
        parts.append(svg.polygon(((x, y), (x - 1.6, y + 2.8), (x + 1.6, y + 2.8)), "us-solid"))
    return parts + _side_dimensions(s, p, front, rear)


def _side_zone(zone: SketchZone, p: _Paper) -> str:
    if zone.underside is None:
        return ""
    aft = [c[0] for c in zone.corners]
    a, b = p.above(min(aft), zone.underside), p.above(max(aft), zone.underside)
    return svg.line(a, b, "us-hidden")


def _side_dimensions(s: VehicleSketch, p: _Paper, front: float, rear: float) -> list[str]:
    z, up = s.sizes, p.above
    base, wheel = p.floor, z["tyre_diameter"]
    cg, mid = 0.45 * z["wheelbase"], 0.55 * z["wheelbase"]
    found = [
        _dimension(s, "wheelbase", (up(z["wheelbase"], 0), up(0, 0)), base + 7),
        _dimension(s, "overhang_front", (up(front, 0), up(0, 0)), base + 7),
        _dimension(s, "length", (up(rear, 0), up(front, 0)), base + 14),
        _dimension(s, "height", (up(rear, z["height"]), up(rear, 0)), up(rear, 0)[0] + 8, True),
        _dimension(s, "sill_height", (up(mid, z["sill_height"]), up(mid, 0)), up(mid, 0)[0], True),
        _dimension(s, "tyre_diameter", (up(0, wheel), up(0, 0)), up(0, 0)[0] - 5.0, True),
        _dimension(s, "cg_height", (up(cg, z["cg_height"]), up(cg, 0)), up(cg, 0)[0], True),
    ]
    for end, aft in (("front", 0.0), ("rear", z["wheelbase"])):
        name = f"droop_{end}"
        ends = (up(aft, wheel / 2), up(aft, wheel / 2 - z[name]))
        found.append(_dimension(s, name, ends, up(aft, 0)[0] + 4.0, True))
    for i, corner in ((0, "lf"), (2, "lr")):
        point = s.points[i]
        x = up(point.aft, 0)[0] + (5.0 if i == 0 else -5.0)
        ends = (up(point.aft, point.up), up(point.aft, 0))
        found.append(_dimension(s, f"{corner}_up", ends, x, True))
    return found


# --- plan -----------------------------------------------------------------------------------------


def _plan(s: VehicleSketch, p: _Paper) -> list[str]:
    z = s.sizes
    front, rear, half = -z["overhang_front"], z["length"] - z["overhang_front"], z["width"] / 2
    body = [p.plan(*c) for c in ((front, -half), (rear, -half), (rear, half), (front, half))]
    parts = [
        svg.polygon(body, "us-body"),
        svg.line(p.plan(front - 0.1, 0), p.plan(rear + 0.1, 0), "us-centre"),
        *_wheels(s, p),
        *(_plan_zone(zone, p) for zone in s.zones),
        *(_plan_zone(zone, p, "us-phantom") for zone in s.stands),
        *(_door(d, p) for d in s.doors),
        *(_point(s, p, i) for i in range(4)),
    ]
    return parts + _plan_dimensions(s, p, front, rear)


def _wheels(s: VehicleSketch, p: _Paper) -> list[str]:
    z, found = s.sizes, []
    d, w = z["tyre_diameter"] / 2, z["tyre_width"] / 2
    for end, aft, track in (("f", 0.0, z["track_front"]), ("r", z["wheelbase"], z["track_rear"])):
        for hand, side in (("l", track / 2), ("r", -track / 2)):
            a, b = p.plan(aft - d, side - w), p.plan(aft + d, side + w)
            found.append(svg.box(a, b, "us-tyre", data_key=f"{hand}{end}_load"))
        found.append(svg.line(p.plan(aft, -track / 2), p.plan(aft, track / 2), "us-centre"))
    return found


def _plan_zone(zone: SketchZone, p: _Paper, cls: str = "us-hidden") -> str:
    places = [p.plan(*c) for c in zone.corners]
    shape = svg.polygon(places, cls)
    xs, ys = [c[0] for c in places], [c[1] for c in places]
    roomy = max(xs) - min(xs) > svg.text_width(zone.label) + 2 and max(ys) - min(ys) > 4.5
    middle = ((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2 + 1.0)
    words = svg.text(middle, zone.label, "us-text us-mid") if roomy else ""
    return svg.group((shape, words), cls="zone", title=zone.label)


def _door(door: SketchDoor, p: _Paper) -> str:
    hinge = p.plan(*door.hinge)
    lines = (
        svg.line(hinge, p.plan(*door.open), "us-phantom"),
        svg.line(hinge, p.plan(*door.shut), "us-outline"),
        svg.circle(hinge, 0.8, "us-solid"),
    )
    return svg.group(lines, cls="door")


def _point(s: VehicleSketch, p: _Paper, i: int) -> str:
    point, corner = s.points[i], CORNERS[i]
    x, y = p.plan(point.aft, point.side)
    a = p.plan(point.aft - point.along, point.side - point.across)
    b = p.plan(point.aft + point.along, point.side + point.across)
    known = not {f"{corner}_aft", f"{corner}_side"} & s.unknown
    marks = (
        svg.box(a, b, "us-outline" if known else "us-hidden", data_key=f"{corner}_zone"),
        svg.line((x - 2, y), (x + 2, y), "us-outline"),
        svg.line((x, y - 2), (x, y + 2), "us-outline"),
        svg.text(
            (x + 2.6, y + (4.6 if point.side > 0 else -2.4)), corner.upper(), "us-text us-big"
        ),
    )
    return svg.group(marks, cls="point", data_corner=corner)


def _plan_dimensions(s: VehicleSketch, p: _Paper, front: float, rear: float) -> list[str]:
    z, at = s.sizes, p.plan
    left = max(z["width"], z["width_mirrors"]) / 2
    low, high = at(0, left)[1], at(0, -left)[1]
    end = at(rear, 0)[0]
    found = []
    for name, aft, x in (
        ("width", rear, end + 6),
        ("width_mirrors", rear, end + 12),
        ("track_front", 0.0, at(front, 0)[0] - 5),
        ("track_rear", z["wheelbase"], at(z["wheelbase"], 0)[0] + z["tyre_diameter"] / 2 * p.k + 4),
    ):
        ends = (at(aft, z[name] / 2), at(aft, -z[name] / 2))
        found.append(_dimension(s, name, ends, x, True))
    tyre = z["track_rear"] / 2
    ends = (
        at(z["wheelbase"], -tyre - z["tyre_width"] / 2),
        at(z["wheelbase"], -tyre + z["tyre_width"] / 2),
    )
    found.append(_dimension(s, "tyre_width", ends, at(z["wheelbase"], 0)[0] - 9, True))
    found.append(_cg_side(s, p))
    for i, corner in enumerate(CORNERS):
        point, step = s.points[i], 6.0 if corner.endswith("f") else 12.0
        edge = low + step if corner.startswith("l") else high - step + 2.0
        ends = (at(point.aft, point.side), at(0, point.side))
        found.append(_dimension(s, f"{corner}_aft", ends, edge))
        x = at(point.aft, 0)[0] + (9.0 if corner.endswith("f") else -9.0)
        found.append(_dimension(s, f"{corner}_side", (ends[0], at(point.aft, 0)), x, True))
    return found


def _cg_side(s: VehicleSketch, p: _Paper) -> str:
    aft = 0.45 * s.sizes["wheelbase"]
    ends = (p.plan(aft, s.sizes["cg_side"]), p.plan(aft, 0))
    return _dimension(s, "cg_side", ends, ends[0][0], True)


def _words(s: VehicleSketch, p: _Paper) -> list[str]:
    """Which end is the front and which side is left, in words."""
    z = s.sizes
    nose, half = p.plan(-z["overhang_front"], 0), z["width"] / 2
    left = p.plan(0.62 * z["wheelbase"], half)
    tip = (nose[0] + 1.0, nose[1])
    arrow = svg.polygon((tip, (tip[0] + 4, tip[1] - 2), (tip[0] + 4, tip[1] + 2)), "us-solid")
    return [
        arrow,
        svg.text((tip[0] + 5.0, tip[1] - 1.4), s.words["front"]),
        svg.text((left[0], left[1] - 1.6), s.words["left"], "us-text us-mid"),
    ]
