"""Figures of the notation: frames, pose, arm angles and stack heights, in the card's own drawing.

The bay and the vehicle in them are invented.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from underset.card import svg
from underset.card.plan_view import arm, columns, drive_in, plan_frame, vehicle
from underset.card.sheet import ALL_HOLD, Frame, Options, Sheet, Subject, sheet_for, written
from underset.card.side_view import envelope, ground
from underset.card.svg import XY
from underset.setting import Point, Polygon, Scene

_PIVOTS: Final = ((0.18, 1.30), (0.18, -1.30), (-0.18, 1.30), (-0.18, -1.30))
_SPOT, _SIDEWAYS, _YAW = 1.15, 0.16, math.radians(8.0)
_WHEELBASE, _HALF_TRACK, _WHEEL = 2.60, 0.76, 0.31
_POINTS: Final = ((-0.60, 0.72), (-0.60, -0.72), (-2.08, 0.72), (-2.08, -0.72))


def notation_figures(language: str = "en", theme: svg.Theme = "print") -> dict[str, str]:
    """All figures by name, as SVG."""
    return {name: draw(language, theme) for name, draw in _FIGURES.items()}


# --- frames ---------------------------------------------------------------------------------------


def _frame_lift(language: str, theme: svg.Theme) -> str:
    s = _plan_sheet(_scene(0.0, 0.0), language, theme)
    layers = (*columns(s), *(arm(s, i) for i in range(4)), drive_in(s), *_axes(s, (0, 0), 0.0, "L"))
    return _figure(s, "frame_lift", layers)


def _frame_vehicle(language: str, theme: svg.Theme) -> str:
    """From the left, so that forward is to the left and aft to the right."""
    scene = _scene(0.0, 0.0)
    options = Options(language=language, theme=theme, height=80.0)
    frame = Frame((-1.2, 0.0), (3.5, 1.7), 4.0, 12.0)
    s = sheet_for(Subject(_mirrored(scene), None, ALL_HOLD, options), frame)
    aft, up = -_POINTS[2][0], 0.21
    point, under, origin = s.scale.at(aft, up), s.scale.at(aft, 0.0), s.scale.at(0.0, 0.0)
    layers = (
        ground(s, "side-"),
        envelope(s),
        *_axis(origin, s.scale.at(-0.85, 0.0), "x", "V", lift=2.6),
        *_axis(origin, s.scale.at(0.0, 1.05), "z", "V"),
        *_toward_reader(origin, "y", "V"),
        svg.circle(point, 1.0, "us-solid"),
        svg.text((point[0] - 2, point[1] - 1.6), s.words["draw.point"], "us-text us-end"),
        svg.dimension(under, origin, "aft = −x", at=origin[1] + 8.0),
        svg.dimension(point, under, "up", at=s.scale.at(3.25, 0.0)[0], upright=True),
    )
    return _figure(s, "frame_vehicle", layers)


def _pose(language: str, theme: svg.Theme) -> str:
    s = _plan_sheet(_scene(_SIDEWAYS, _YAW), language, theme)
    at, zero = s.scale.at(_SPOT, _SIDEWAYS), s.scale.at(0.0, 0.0)
    ahead = s.scale.at(_SPOT + 1.2, _SIDEWAYS)
    layers = (
        vehicle(s),
        *columns(s),
        *_axes(s, (0.0, 0.0), 0.0, "L", 0.6),
        *_axes(s, (_SPOT, _SIDEWAYS), _YAW, "V", 0.5),
        svg.line(at, ahead, "us-centre"),
        svg.line(at, s.scale.at(*_along(1.2)), "us-centre"),
        *_arc(at, 1.05 * s.scale.per_metre, 0.0, _YAW, "ψ"),
        svg.dimension(at, zero, "s", at=s.scale.at(0.0, s.low[1])[1] + 7.0),
        svg.dimension(at, zero, "t", at=s.scale.at(s.low[0], 0.0)[0] - 3.0, upright=True),
    )
    return _figure(s, "pose", layers)


def _along(distance: float) -> Point:
    """A place on the vehicle's x axis ahead of its front axle."""
    return (_SPOT + distance * math.cos(_YAW), _SIDEWAYS + distance * math.sin(_YAW))


# --- arm ------------------------------------------------------------------------------------------

_PITCH, _FIRST, _TEETH = math.radians(6.0), math.radians(-12.0), 18
_TOOTH, _REACH = 9, 1.0


def _arm_angles(language: str, theme: svg.Theme) -> str:
    """The left front arm, from above: swing grows from straight inward toward the arm's own end."""
    options = Options(language=language, theme=theme, height=110.0)
    frame = Frame((-0.35, 0.05), (1.45, 1.95), 5.0, 5.0)
    s = sheet_for(Subject(_scene(0.0, 0.0), None, ALL_HOLD, options), frame)
    pivot = _PIVOTS[0]
    swing = _FIRST + _TOOTH * _PITCH
    pad = _toward(pivot, swing, _REACH)
    p, tip = s.scale.at(*pivot), s.scale.at(*pad)
    inward = s.scale.at(*_toward(pivot, 0.0, 1.15))
    ticks = (_tooth(s, pivot, _FIRST + k * _PITCH, k == _TOOTH) for k in range(_TEETH))
    middle = s.scale.at(*_toward(pivot, swing, 0.62))
    layers = (
        svg.polygon(s.scale.all(_strip(pivot, pad)), "us-steel"),
        svg.line(p, tip, "us-centre"),
        svg.line(p, inward, "us-centre"),
        svg.circle(p, 1.4, "us-bright"),
        svg.circle(tip, 0.06 * s.scale.per_metre, "us-holds"),
        *ticks,
        *_arc(p, 0.52 * s.scale.per_metre, -math.pi / 2, -math.pi / 2 + swing, "φ"),
        svg.text((middle[0] + 3, middle[1] + 4), "r", "us-text us-big"),
        svg.text((inward[0] - 2, inward[1]), s.words["draw.inward"], "us-text us-end"),
        svg.text(s.scale.at(0.62, 1.30), s.words["draw.own_end"]),
        svg.text(s.scale.at(*_toward(pivot, _FIRST + 12.5 * _PITCH, 0.29)), "p", "us-text us-mid"),
        *_axis(s.scale.at(0.90, 1.55), s.scale.at(1.25, 1.55), "x", "L"),
        *_axis(s.scale.at(0.90, 1.55), s.scale.at(0.90, 1.88), "y", "L"),
    )
    return _figure(s, "arm_angles", layers)


def _toward(pivot: Point, swing: float, reach: float) -> Point:
    return (pivot[0] + reach * math.sin(swing), pivot[1] - reach * math.cos(swing))


def _tooth(s: Sheet, pivot: Point, swing: float, engaged: bool) -> str:
    a, b = _toward(pivot, swing, 0.15), _toward(pivot, swing, 0.24 if engaged else 0.20)
    return svg.line(s.scale.at(*a), s.scale.at(*b), "us-outline" if engaged else "us-thin")


def _strip(pivot: Point, pad: Point) -> Polygon:
    """A tapered arm from pivot to pad."""
    length = math.dist(pivot, pad)
    ux, uy = (pad[0] - pivot[0]) / length, (pad[1] - pivot[1]) / length
    ends = ((pivot, 0.075), (pad, 0.045), (pad, -0.045), (pivot, -0.075))
    return tuple((p[0] - w * uy, p[1] + w * ux) for p, w in ends)


# --- stack ----------------------------------------------------------------------------------------


def _stack_heights(language: str, theme: svg.Theme) -> str:
    """Seat, spacer, head with its screw drawn out, lifting point."""
    options = Options(language=language, theme=theme, width=118.0, height=90.0)
    frame = Frame((-0.19, 0.0), (0.17, 0.30), 4.0, 4.0)
    s = sheet_for(Subject(_scene(0.0, 0.0), None, ALL_HOLD, options), frame)
    z, spacer, fixed, up = 0.10, 0.175, 0.225, 0.265
    right, left = s.scale.at(0.10, 0.0)[0], s.scale.at(-0.10, 0.0)[0]
    at = s.scale.at
    layers = (
        ground(s, "side-"),
        svg.box(at(-0.17, z - 0.04), at(0.05, z), "us-steel"),
        svg.box(at(-0.035, z), at(0.035, spacer), "us-bright"),
        svg.box(at(-0.035, spacer), at(0.035, fixed - 0.012), "us-bright"),
        svg.box(at(-0.016, fixed - 0.012), at(0.016, up - 0.012), "us-bright"),
        svg.box(at(-0.06, up - 0.012), at(0.06, up), "us-steel"),
        svg.line(at(-0.17, up), at(0.15, up), "us-phantom"),
        svg.text(at(-0.165, up + 0.008), s.words["draw.point"]),
        svg.text(at(-0.165, z - 0.025), s.words["draw.seat"]),
        svg.text(at(-0.165, 0.008), s.words["draw.floor"]),
        svg.text((left, at(0, 0.14)[1]), s.words["draw.spacer"], "us-text us-mid"),
        svg.text((left, at(0, 0.20)[1]), s.words["draw.head"], "us-text us-mid"),
        svg.text((left, at(0, 0.235)[1]), s.words["draw.screw"], "us-text us-mid"),
        svg.dimension(at(0.05, z), at(0.05, 0.0), "z", at=right, upright=True),
        svg.dimension(at(0.06, up), at(0.05, z), "h", at=right, upright=True),
        svg.dimension(at(0.06, up), at(0.05, 0.0), "up = z + h", at=right + 14, upright=True),
    )
    return _figure(s, "stack_heights", layers)


# --- parts ----------------------------------------------------------------------------------------


def _figure(s: Sheet, name: str, layers: tuple[str, ...]) -> str:
    told = s.words[f"draw.{name}.told"]
    return written(s, name.replace("_", "-"), s.words[f"draw.{name}"], layers, told)


def _plan_sheet(scene: Scene, language: str, theme: svg.Theme) -> Sheet:
    options = Options(language=language, theme=theme, height=92.0)
    return sheet_for(Subject(scene, None, ALL_HOLD, options), plan_frame(scene, options))


def _axes(s: Sheet, origin: Point, turn: float, frame: str, size: float = 0.8) -> tuple[str, ...]:
    zero = s.scale.at(*origin)
    x = s.scale.at(origin[0] + size * math.cos(turn), origin[1] + size * math.sin(turn))
    y = s.scale.at(origin[0] - size * math.sin(turn), origin[1] + size * math.cos(turn))
    return (
        *_axis(zero, x, "x", frame),
        *_axis(zero, y, "y", frame),
        *_toward_reader(zero, "z", frame),
    )


def _axis(origin: XY, tip: XY, name: str, frame: str, lift: float = 0.0) -> tuple[str, ...]:
    """An arrow with its letter just beyond the tip."""
    along = math.atan2(tip[1] - origin[1], tip[0] - origin[0])
    label = (tip[0] + 2.6 * math.cos(along), tip[1] + 2.6 * math.sin(along) + 1.0)
    return (
        svg.line(origin, tip, "us-outline"),
        svg.arrowhead(tip, along),
        svg.text((label[0], label[1] - lift), f"{name}{frame}", "us-text us-mid us-strong"),
    )


def _toward_reader(at: XY, name: str, frame: str) -> tuple[str, ...]:
    """An axis that points out of the paper: a ring with a dot."""
    ring = (svg.circle(at, 1.5, "us-bright"), svg.circle(at, 0.5, "us-solid"))
    return (*ring, svg.text((at[0] - 4.2, at[1] + 3.8), f"{name}{frame}", "us-text us-strong"))


def _arc(centre: XY, radius: float, start: float, end: float, name: str) -> tuple[str, ...]:
    """An angle from `start` to `end`, counter-clockwise seen on paper, with its letter."""
    steps = [start + (end - start) * i / 16 for i in range(17)]
    line = [(centre[0] + radius * math.cos(a), centre[1] - radius * math.sin(a)) for a in steps]
    middle = (start + end) / 2
    label = (
        centre[0] + (radius + 3.2) * math.cos(middle),
        centre[1] - (radius + 3.2) * math.sin(middle) + 1.2,
    )
    head = svg.arrowhead(line[-1], math.atan2(line[-1][1] - line[-2][1], line[-1][0] - line[-2][0]))
    return (svg.polyline(line), head, svg.text(label, name, "us-text us-mid us-big"))


def _mirrored(scene: Scene) -> Scene:
    """The vehicle seen from its left: forward to the left, front axle at zero."""
    assert scene.body is not None
    return replace(
        scene,
        body=tuple((_SPOT - x, y) for x, y in scene.body),
        axles=(
            ((0.0, _HALF_TRACK), (0.0, -_HALF_TRACK)),
            ((_WHEELBASE, _HALF_TRACK), (_WHEELBASE, -_HALF_TRACK)),
        ),
    )


def _scene(sideways: float, yaw: float) -> Scene:
    """An invented bay with an invented vehicle at a pose."""

    def place(point: Point) -> Point:
        c, n = math.cos(yaw), math.sin(yaw)
        x, y = point
        return (_SPOT + c * x - n * y, sideways + n * x + c * y)

    def around(x: float, y: float, half: Point) -> Polygon:
        corners = ((1, 1), (-1, 1), (-1, -1), (1, -1))
        return tuple(place((x + sx * half[0], y + sy * half[1])) for sx, sy in corners)

    def axle(x: float) -> tuple[Point, Point]:
        return (place((x, _HALF_TRACK)), place((x, -_HALF_TRACK)))

    lf, rf, lr, rr = (place(p) for p in _POINTS)
    points = (lf, rf, lr, rr)
    sides = (_HALF_TRACK, -_HALF_TRACK)
    return Scene(
        heading="nose-in",
        columns=tuple(
            ((-0.16, y), (0.16, y), (0.16, y + d), (-0.16, y + d))
            for y, d in ((1.45, 0.3), (-1.75, 0.3))
        ),
        pivots=_PIVOTS,
        arms=tuple((_strip(p, q),) for p, q in zip(_PIVOTS, points, strict=True)),
        pads=points,
        pad_radii=(0.06,) * 4,
        points=points,
        body=around(-1.28, 0.0, (2.08, 0.88)),
        tyres=tuple(around(x, y, (_WHEEL, 0.10)) for x in (0.0, -_WHEELBASE) for y in sides),
        zones=(),
        axles=(axle(0.0), axle(-_WHEELBASE)),
        wheel_radius=_WHEEL,
        roof=1.48,
        sill=0.24,
        ceiling=None,
        stop_bar=None,
        cg=None,
        cg_low=None,
        cg_high=None,
        support=(),
        stands=(),
        mark=None,
        seat=0.11,
        rise_limit=None,
    )


_FIGURES: Final[dict[str, Callable[[str, svg.Theme], str]]] = {
    "frame-lift": _frame_lift,
    "frame-vehicle": _frame_vehicle,
    "pose": _pose,
    "arm-angles": _arm_angles,
    "stack-heights": _stack_heights,
}
