"""Elevations of the bay at first touch: from its right side, and from its entrance."""

from __future__ import annotations

from underset.card import svg
from underset.card.plan_view import plan_frame
from underset.card.sheet import (
    ALL_HOLD,
    CornerStatus,
    Frame,
    Options,
    Sheet,
    Subject,
    axle_centres,
    cg_mark,
    extent,
    sheet_for,
    triangle_up,
    written,
)
from underset.setting import CORNERS, Scene, Setting

_HEADROOM = 0.12  # m shown above the roof
_NO_ROOF = 1.5  # m shown where the roof's height is not known


def side_svg(
    scene: Scene,
    setting: Setting | None = None,
    *,
    statuses: CornerStatus = ALL_HOLD,
    options: Options | None = None,
) -> str:
    """The bay from its right side, driving in to the right; ids as in the plan after `side-`."""
    subject = Subject(scene, setting, statuses, options or Options(height=56.0))
    s = sheet_for(subject, side_frame(scene, subject.options))
    near = near_side(scene)
    layers = (
        ground(s, "side-"),
        _columns_aside(s),
        envelope(s),
        *(_arm_aside(s, i) for i in near),
        *(_stack(s, i, s.scene.pads[i][0], "side-") for i in near),
        cg_mark(s, (0, 2), s.id("cg", "side-")),
        _overhead(s, "side-") if subject.options.overhead else "",
        *(_side_dimensions(s, near) if subject.options.dimensions else ()),
    )
    return written(s, "side", s.words["titles.side_view"], layers)


def side_frame(scene: Scene, options: Options) -> Frame:
    """As long as the plan, from the floor to a little above the roof."""
    plan = plan_frame(scene, options)
    top = max(scene.roof or _NO_ROOF, scene.seat + 0.4) + _HEADROOM
    above, below = 4.2 if options.overhead else 1.0, 12.8 if options.dimensions else 3.0
    return Frame((plan.low[0], 0.0), (plan.high[0], top), above, below)


def near_side(scene: Scene) -> tuple[int, ...]:
    """Corners on the bay's right side."""
    return tuple(i for i in range(4) if scene.pads[i][1] <= 0) or (0, 1, 2, 3)


def ground(s: Sheet, view: str) -> str:
    """The floor, hatched below."""
    a, b = s.scale.at(s.low[0], 0.0), s.scale.at(s.high[0], 0.0)
    left, right = a[0] - 4, b[0] + 4
    floor = svg.line((left, a[1]), (right, a[1]), "us-outline")
    earth = svg.box((left, a[1]), (right, a[1] + 1.5), "us-cut-hatch")
    return svg.group((floor, earth), id=s.id("floor", view))


def _columns_aside(s: Sheet) -> str:
    if not s.scene.columns:
        return ""
    (x_low, _), (x_high, _) = extent(s.scene.columns)
    shape = svg.box(s.scale.at(x_low, 0.0), s.scale.at(x_high, s.high[1]), "us-thin")
    line = svg.line(s.scale.at(0.0, 0.0), s.scale.at(0.0, s.high[1]), "us-centre")
    return svg.group((shape, line), id=s.id("columns", "side-"))


def envelope(s: Sheet) -> str:
    """Sill to roof over the length; no shape is claimed that is not known."""
    front, rear = axle_centres(s.scene)
    parts = []
    if s.scene.body is not None:
        (x_low, _), (x_high, _) = extent((s.scene.body,))
        parts += _shell(s, x_low, x_high)
    radius = s.scene.wheel_radius
    if radius is not None:
        for (x, _), name in ((front, "front-wheel"), (rear, "rear-wheel")):
            centre = s.scale.at(x, radius)
            tyre = svg.circle(centre, radius * s.scale.per_metre, "us-wheel")
            parts.append(
                svg.group((tyre, svg.circle(centre, 0.5, "us-solid")), id=s.id(name, "side-"))
            )
    return svg.group(parts, id=s.id("vehicle", "side-"), title=s.words["draw.vehicle"])


def _shell(s: Sheet, low: float, high: float) -> list[str]:
    """Rectangle of the envelope; an unknown roof is told in words."""
    scene = s.scene
    bottom = scene.sill if scene.sill is not None else (scene.wheel_radius or 0.3)
    top = scene.roof if scene.roof is not None else _NO_ROOF
    parts = [svg.box(s.scale.at(low, bottom), s.scale.at(high, top), "us-body", round_by=1.5)]
    if scene.roof is None:
        x, y = s.scale.at((low + high) / 2, top)
        parts.append(svg.text((x, y + 4.2), s.words["draw.roof_unknown"], "us-text us-mid"))
    return parts


def _arm_aside(s: Sheet, i: int) -> str:
    """An arm as a bar just under its seat; its depth is not to scale."""
    return _bar(s, i, s.scene.pivots[i][0], s.scene.pads[i][0], "side-")


def _bar(s: Sheet, i: int, pivot: float, pad: float, view: str) -> str:
    a, b = s.scale.at(pivot, s.scene.seat), s.scale.at(pad, s.scene.seat)
    out = 1.6 if b[0] > a[0] else -1.6
    bar = svg.box(a, (b[0] + out, b[1] + 1.3), "us-steel")
    pin = svg.circle((a[0], a[1] + 0.65), 0.9, "us-bright")
    corner = CORNERS[i]
    return svg.group((bar, pin), id=s.id(f"arm-{corner}", view), cls="arm", data_corner=corner)


def _stack(s: Sheet, i: int, at: float, view: str) -> str:
    arm, r, corner = s.arm(i), max(s.scene.pad_radii[i], 0.03), CORNERS[i]
    pieces = arm.stack if arm else ()
    shapes = tuple(
        svg.box(s.scale.at(at - r, p.bottom), s.scale.at(at + r, p.top), "us-bright")
        for p in pieces
    )
    return svg.group(shapes, id=s.id(f"pad-{corner}", view), cls="pad", data_corner=corner)


def _overhead(s: Sheet, view: str) -> str:
    """What hangs above, in words at the top edge: heights above the floor, not to scale."""
    scene, notes = s.scene, []
    if scene.ceiling is not None:
        notes.append(f"{s.words['draw.ceiling']} {s.figures.length(scene.ceiling, 'down')}")
    if scene.stop_bar is not None:
        notes.append(f"{s.words['draw.stop_bar']} {s.figures.length(scene.stop_bar[1], 'down')}")
    if scene.rise_limit is not None:
        notes.append(f"{s.words['draw.rise']} {s.figures.length(scene.rise_limit, 'down')}")
    at = (s.subject.options.width / 2, s.scale.at(0, s.high[1])[1] - 1.0)
    words = "  ·  ".join(notes)
    return svg.text(at, words, "us-text us-mid", id=s.id("overhead", view)) if words else ""


# --- dimensions of the side view ------------------------------------------------------------------


def _side_dimensions(s: Sheet, near: tuple[int, ...]) -> tuple[str, ...]:
    left, seat = s.scale.at(s.low[0], 0.0), s.scale.at(s.low[0], s.scene.seat)
    words = s.figures.length(s.scene.seat, unit=False)
    parts = [_spot_dimension(s)]
    parts.append(svg.dimension(seat, left, words, at=left[0] - 5.4, upright=True, key="seat"))
    tops = [(a.stack[-1].top, i) for i in near if (a := s.arm(i)) is not None and a.stack]
    if tops:
        top, i = max(tops)
        floor, level = s.scale.at(s.high[0], 0.0), s.scale.at(s.high[0], top)
        words = s.figures.length(top, unit=False)
        key = f"point-up-{CORNERS[i]}"
        parts.append(svg.dimension(level, floor, words, at=floor[0] + 7.4, upright=True, key=key))
    return tuple(parts)


def _spot_dimension(s: Sheet) -> str:
    """From the floor mark, or the column line when there is none, to the front axle."""
    front, _ = axle_centres(s.scene)
    name, mark = s.scene.mark or (s.words["spot.column_line"], 0.0)
    floor, axle = s.scale.at(mark, 0.0), s.scale.at(front[0], 0.0)
    label = _mark_label(s, (floor[0], floor[1] + 6.3), name, leftward=front[0] >= mark)
    words = s.figures.length(abs(front[0] - mark))
    line = svg.dimension(axle, floor, words, at=floor[1] + 11.0, key="spot")
    return triangle_up((floor[0], floor[1] + 0.2)) + label + line


def _mark_label(s: Sheet, at: svg.XY, name: str, leftward: bool) -> str:
    """The mark's name beside its pointer, away from the axle if that side has room."""
    room = {True: at[0] - 3.0, False: s.subject.options.width - at[0] - 3.0}
    if svg.text_width(name) > room[leftward]:
        leftward = room[True] > room[False]
    shown = svg.shortened(name, room[leftward])
    x = at[0] - 2.2 if leftward else at[0] + 2.2
    return svg.text((x, at[1]), shown, "us-text us-end" if leftward else "us-text")


# --- from the entrance ----------------------------------------------------------------------------


def front_svg(
    scene: Scene,
    setting: Setting | None = None,
    *,
    statuses: CornerStatus = ALL_HOLD,
    options: Options | None = None,
) -> str:
    """The bay from its entrance, left side left; ids as in the plan after `front-`."""
    subject = Subject(scene, setting, statuses, options or Options(height=70.0))
    s = sheet_for(subject, _front_frame(scene, subject.options))
    near = _entrance_side(scene)
    layers = (
        ground(s, "front-"),
        _columns_ahead(s),
        _body_ahead(s),
        *(_bar(s, i, -scene.pivots[i][1], -scene.pads[i][1], "front-") for i in near),
        *(_stack(s, i, -scene.pads[i][1], "front-") for i in near),
        cg_mark(s, (1, 2), s.id("cg", "front-"), mirror=-1.0),
        _overhead(s, "front-"),
        *(_front_dimensions(s, near) if subject.options.dimensions else ()),
    )
    return written(s, "front", s.words["titles.front_view"], layers)


def _front_frame(scene: Scene, options: Options) -> Frame:
    (_, low), (_, high) = extent([*scene.columns, scene.body or (), scene.pads, scene.pivots])
    top = max(scene.roof or _NO_ROOF, scene.seat + 0.4) + _HEADROOM
    return Frame((-high, 0.0), (-low, top), 4.2, 9.4 if options.dimensions else 3.0)


def _entrance_side(scene: Scene) -> tuple[int, ...]:
    """Corners nearer to the entrance on each side."""
    return tuple(i for i in range(4) if scene.pads[i][0] <= scene.pads[(i + 2) % 4][0])


def _columns_ahead(s: Sheet) -> str:
    shapes = []
    for outline in s.scene.columns:
        (_, low), (_, high) = extent((outline,))
        shapes.append(svg.box(s.scale.at(-high, 0.0), s.scale.at(-low, s.high[1]), "us-thin"))
    line = svg.line(s.scale.at(0.0, 0.0), s.scale.at(0.0, s.high[1]), "us-centre")
    return svg.group((*shapes, line), id=s.id("columns", "front-"))


def _body_ahead(s: Sheet) -> str:
    parts = []
    if s.scene.body is not None:
        (_, low), (_, high) = extent((s.scene.body,))
        parts += _shell(s, -high, -low)
    radius = s.scene.wheel_radius
    if radius is not None:
        rear = min(s.scene.axles, key=lambda axle: axle[0][0])
        for tyre in s.scene.tyres:
            (x_low, low), (x_high, high) = extent((tyre,))
            if x_low <= rear[0][0] <= x_high:
                shape = svg.box(s.scale.at(-high, 0.0), s.scale.at(-low, 2 * radius), "us-wheel")
                parts.append(shape)
    return svg.group(parts, id=s.id("vehicle", "front-"), title=s.words["draw.vehicle"])


def _front_dimensions(s: Sheet, near: tuple[int, ...]) -> tuple[str, ...]:
    """Pads of the near side from the drive line."""
    middle = s.scale.at(0.0, 0.0)
    parts = []
    for i in near:
        floor = s.scale.at(-s.scene.pads[i][1], 0.0)
        words = s.figures.length(abs(s.scene.pads[i][1]))
        parts.append(
            svg.dimension(floor, middle, words, at=floor[1] + 7.4, key=f"pad-y-{CORNERS[i]}")
        )
    return tuple(parts)
