"""The bay from above, driving in to the right, left side up."""

from __future__ import annotations

import math
from typing import Final

from underset.card import svg
from underset.card.sheet import (
    ALL_HOLD,
    NO_WINDOW,
    CornerStatus,
    Frame,
    Options,
    Sheet,
    Subject,
    arm_title,
    axle_centres,
    cg_mark,
    extent,
    sheet_for,
    triangle_up,
    written,
)
from underset.card.writer import STATUS_KEY
from underset.setting import CORNERS, Polygon, Scene, Setting, Status

_HATCHING: Final = {
    Status.WATCH: svg.HATCH,
    Status.NOT_KNOWN: svg.DOTS,
    Status.STOPS: svg.CROSS,
}
_SAME: Final = 0.0005  # m
_BAR: Final = {"metric": (1.0, "1 m"), "inch": (0.9144, "3 ft")}


def plan_svg(
    scene: Scene,
    setting: Setting | None = None,
    *,
    statuses: CornerStatus = ALL_HOLD,
    options: Options | None = None,
) -> str:
    """The plan as SVG, with ids `vehicle`, `arm-LF`, `pad-LF`, `cg`, `window-band`, ..."""
    subject = Subject(scene, setting, statuses, options or Options())
    s = sheet_for(subject, plan_frame(scene, subject.options))
    layers = (
        *floor(s),
        vehicle(s),
        _other_windows(s),
        window_band(s),
        *columns(s),
        *(arm(s, i) for i in range(4)),
        _support(s),
        *(pad(s, i) for i in range(4)),
        _stands(s),
        cg_mark(s, (0, 1), s.id("cg")),
        *(_pad_label(s, i) for i in range(4)),
        *(_dimensions(s) if subject.options.dimensions else ()),
    )
    return written(s, "plan", s.words["titles.plan_view"], layers)


def plan_frame(scene: Scene, options: Options) -> Frame:
    """What of the floor is shown: vehicle, columns, arms and the floor mark."""
    shapes: list[Polygon] = [*scene.columns, *scene.tyres, *(p for a in scene.arms for p in a)]
    shapes += [scene.body or (), scene.pads, scene.pivots]
    if scene.mark:
        shapes.append(((scene.mark[1], 0.0),))
    low, high = extent(shapes)
    above, below = (2.0, 11.5) if options.dimensions else (2.0, 5.5)
    above = 8.0 if options.dimensions and not _sides_alike(scene) else above
    return Frame(low, high, above, below)


# --- floor ----------------------------------------------------------------------------------------


def floor(s: Sheet) -> tuple[str, ...]:
    """Column line, drive line, driving direction, scale bar, floor mark."""
    top, bottom = s.scale.at(0.0, s.high[1]), s.scale.at(0.0, s.low[1])
    left, right = s.scale.at(s.low[0], 0.0), s.scale.at(s.high[0], 0.0)
    column_line = svg.line((top[0], top[1] - 1.5), (bottom[0], bottom[1] + 1.5), "us-centre")
    drive_line = svg.line((left[0] - 2, left[1]), (right[0] + 2, right[1]), "us-centre")
    return (column_line, drive_line, _floor_mark(s), drive_in(s), _scale_bar(s))


def drive_in(s: Sheet) -> str:
    """Which way a vehicle drives in."""
    y = s.scale.at(0.0, s.low[1])[1] + 4.4
    arrow = (svg.line((2.0, y), (7.0, y), "us-outline"), svg.arrowhead((9.0, y), 0.0))
    words = svg.text((10.0, y + 1.0), s.words["draw.drive_in"])
    return svg.group((*arrow, words), id=s.id("drive-in"))


def _scale_bar(s: Sheet) -> str:
    """A bar of known length: true however the drawing is enlarged."""
    length, words = _BAR[s.subject.options.units]
    wide = length * s.scale.per_metre
    x = s.subject.options.width - wide - 2.0
    y = s.scale.at(0.0, s.low[1])[1] + 4.4
    ends = (svg.line((e, y - 0.9), (e, y + 0.9), "us-outline") for e in (x, x + wide))
    unit = "mm" if s.figures.metric else "in"
    label = svg.text((x - 1.0, y + 1.0), f"{unit};  {words}", "us-text us-end")
    return svg.group(
        (svg.line((x, y), (x + wide, y), "us-outline"), *ends, label), id=s.id("scale-bar")
    )


def _floor_mark(s: Sheet) -> str:
    if s.scene.mark is None:
        return ""
    label, x = s.scene.mark
    low, high = s.scale.at(x, s.low[1]), s.scale.at(x, s.high[1])
    parts = (svg.line(low, high, "us-hidden"), triangle_up((low[0], low[1] + 0.2)))
    return svg.group(parts, id=s.id("floor-mark"), title=label)


def window_band(s: Sheet) -> str:
    """Where the front axle centre may stop; the part with the teeth as printed is hatched."""
    setting = s.subject.setting
    if setting is None or setting.window == NO_WINDOW:
        return ""
    parts, across = [], axle_centres(s.scene)[0][1]
    for (low, high), cls, half in (
        (setting.window, "us-band", 2.6),
        (setting.fixed_window, "us-band-narrow", 1.7),
    ):
        wide = max(0.0, 0.9 - (high - low) * s.scale.per_metre) / 2  # thin bands stay visible
        a, b = s.scale.at(low, across), s.scale.at(high, across)
        parts.append(svg.box((a[0] - wide, a[1] - half), (b[0] + wide, b[1] + half), cls))
    title = f"{s.words['spot.window']}: {s.figures.span(*setting.window)}"
    return svg.group(parts, id=s.id("window-band"), title=title)


def _other_windows(s: Sheet) -> str:
    """Every window of the options on the drive line; the one the vehicle stands in lies over it."""
    if not s.subject.options.windows:
        return ""
    parts = []
    for low, high in s.subject.options.windows:
        a, b = s.scale.at(low, 0.0), s.scale.at(high, 0.0)
        parts.append(svg.box((a[0], a[1] - 2.6), (max(b[0], a[0] + 0.9), b[1] + 2.6), "us-band"))
    return svg.group(parts, id=s.id("windows"), title=s.words["spot.window"])


# --- vehicle --------------------------------------------------------------------------------------


def vehicle(s: Sheet) -> str:
    """Outline, tyres, zones, axles and lifting points, as one group that can be moved."""
    scene, at = s.scene, s.scale
    parts = [svg.polygon(at.all(scene.body), "us-body")] if scene.body else []
    parts += [svg.polygon(at.all(t), "us-tyre") for t in scene.tyres]
    parts += [_zone(s, i) for i in range(len(scene.zones))]
    for (a, b), name in zip(scene.axles, ("front-axle", "rear-axle"), strict=True):
        parts.append(svg.line(at.at(*a), at.at(*b), "us-centre", id=s.id(name)))
    parts.append(_nose(s))
    parts += [_point(s, i, "point") for i in range(4)]
    return svg.group(parts, id=s.id("vehicle"), title=s.words["draw.vehicle"])


def _zone(s: Sheet, i: int) -> str:
    zone = s.scene.zones[i]
    kind = s.words.named("zone", zone.kind)
    height = "" if zone.underside is None else f", {s.figures.length(zone.underside)}"
    shape = svg.polygon(s.scale.all(zone.outline), "us-hidden")
    (x_low, y_low), (x_high, y_high) = extent((zone.outline,))
    parts = [shape]
    roomy = (y_high - y_low) * s.scale.per_metre > 12.0
    if roomy and (x_high - x_low) * s.scale.per_metre > svg.text_width(kind) + 4:
        x, y = s.scale.at((x_low + x_high) / 2, y_high)
        parts.append(svg.text((x, y + 3.4), kind, "us-text us-mid"))
    title = f"{zone.label or kind}{height}"
    return svg.group(parts, cls="zone", data_kind=zone.kind, title=title)


def _nose(s: Sheet) -> str:
    """A word and a triangle at the vehicle's front, so that heading is never guessed."""
    if s.scene.body is None:
        return ""
    front, rear = axle_centres(s.scene)
    length = math.dist(front, rear)
    ux, uy = (front[0] - rear[0]) / length, (front[1] - rear[1]) / length
    ahead = max((p[0] - front[0]) * ux + (p[1] - front[1]) * uy for p in s.scene.body)
    x, y = s.scale.at(front[0] + ahead * ux, front[1] + ahead * uy)

    def back(by: float, aside: float) -> svg.XY:
        return (x - by * ux + aside * uy, y + by * uy + aside * ux)

    shape = (back(1.2, 0.0), back(4.4, -2.0), back(4.4, 2.0))
    cls = "us-text us-end" if ux > 0 else "us-text"
    words = svg.text(back(1.2, -3.2 if ux > 0 else 3.2), s.words["draw.front"], cls)
    return svg.polygon(shape, "us-solid", id=s.id("nose")) + words


def _point(s: Sheet, i: int, name: str) -> str:
    """A lifting point: a plain cross; its contact kind is written, not coded."""
    x, y = s.scale.at(*s.scene.points[i])
    cross = (
        svg.line((x - 1, y), (x + 1, y), "us-outline"),
        svg.line((x, y - 1), (x, y + 1), "us-outline"),
    )
    return svg.group(cross, id=s.id(f"{name}-{CORNERS[i]}"), cls=name, data_corner=CORNERS[i])


# --- lift -----------------------------------------------------------------------------------------


def columns(s: Sheet) -> tuple[str, ...]:
    """Both columns, hatched as cut."""
    return tuple(
        svg.polygon(s.scale.all(c), "us-cut", id=s.id(f"column-{side}"))
        + svg.polygon(s.scale.all(c), "us-cut-hatch")
        for c, side in zip(s.scene.columns, ("left", "right"), strict=False)
    )


def arm(s: Sheet, i: int) -> str:
    """One arm from pivot to pad."""
    corner = CORNERS[i]
    parts = [svg.polygon(s.scale.all(p), "us-steel") for p in reversed(s.scene.arms[i])]
    pivot, pad = s.scale.at(*s.scene.pivots[i]), s.scale.at(*s.scene.pads[i])
    parts += [svg.line(pivot, pad, "us-centre"), svg.circle(pivot, 1.1, "us-bright")]
    return svg.group(
        parts, id=s.id(f"arm-{corner}"), cls="arm", data_corner=corner, title=arm_title(s, i)
    )


def pad(s: Sheet, i: int) -> str:
    """One pad with its status as hatching and colour, and the lifting point over it."""
    status, corner = s.subject.statuses[i], CORNERS[i]
    name = STATUS_KEY[status]
    centre = s.scale.at(*s.scene.pads[i])
    radius = max(1.2, s.scene.pad_radii[i] * s.scale.per_metre)
    parts = [svg.circle(centre, radius, f"us-{name}")]
    if status in _HATCHING:
        parts.append(svg.circle(centre, radius, "", fill=_HATCHING[status]))
    parts.append(_point(s, i, "point-mark"))
    title = f"{corner}: {s.words[f'status.{status.value}']}"
    return svg.group(
        parts, id=s.id(f"pad-{corner}"), cls=f"pad pad-{name}", data_corner=corner, title=title
    )


def _pad_label(s: Sheet, i: int) -> str:
    """Corner and kind of contact in words, beside the vehicle, clear of arm and tyre."""
    pad, pivot = s.scene.pads[i], s.scene.pivots[i]
    ahead = 1.0 if pad[0] >= s.scene.pads[(i + 2) % 4][0] else -1.0
    left = pad[1] > 0
    edges = [p[1] for p in s.scene.body or ()] or [pad[1]]
    edge = max(*edges, pad[1]) if left else min(*edges, pad[1])
    x = s.scale.at(max(ahead * pad[0], ahead * pivot[0]) * ahead, 0.0)[0] + ahead * 4.0
    y = s.scale.at(0.0, edge)[1] + (-1.6 if left else 4.6)
    stands = s.arm(i)
    kind = s.words.named("contact", stands.contact) if stands else ""
    step = ahead * (svg.text_width(CORNERS[i], 3.9) + 2.4)
    cls = "us-text" if ahead > 0 else "us-text us-end"
    wide = abs(step) + svg.text_width(kind)
    # The floor mark's line ends beside the words, not behind them.
    clear = svg.box((x - ahead * 0.6, y - 3.4), (x + ahead * (wide + 0.6), y + 0.8), "us-clear")
    rows = (svg.text((x, y), CORNERS[i], f"{cls} us-big"), svg.text((x + step, y), kind, cls))
    return svg.group(
        (clear, *rows), id=s.id(f"label-{CORNERS[i]}"), cls="pad-label", data_corner=CORNERS[i]
    )


def _support(s: Sheet) -> str:
    if len(s.scene.support) < 3:
        return ""
    return svg.polygon(s.scale.all(s.scene.support), "us-hidden", id=s.id("support"))


def _stands(s: Sheet) -> str:
    marks = []
    for stand in s.scene.stands:
        x, y = s.scale.at(*stand.place)
        shape = svg.polygon(((x, y - 2), (x + 2, y + 1.6), (x - 2, y + 1.6)), "us-bright")
        kind = s.words.named("support", stand.kind)
        title = f"{kind} {stand.name}: {s.figures.force(stand.force)}"
        marks.append(svg.group((shape,), cls="stand", title=title))
        marks.append(svg.text((x + 3, y + 1), kind))
    return svg.group(marks, id=s.id("stands"))


# --- dimensions -----------------------------------------------------------------------------------


def _dimensions(s: Sheet) -> tuple[str, ...]:
    """Pads from column line and drive line: right pads below, left pads above if they differ."""
    along = [i for i in range(4) if s.scene.pads[i][1] <= 0 or not _sides_alike(s.scene)]
    return (*(_from_column_line(s, i) for i in along), *(_from_drive_line(s, i) for i in range(4)))


def _sides_alike(scene: Scene) -> bool:
    """Whether left and right pads stand at the same places along the bay, to half a millimetre."""
    left = sorted(p[0] for p in scene.pads if p[1] > 0)
    right = sorted(p[0] for p in scene.pads if p[1] <= 0)
    return len(left) == len(right) and all(
        abs(a - b) < _SAME for a, b in zip(left, right, strict=True)
    )


def _from_column_line(s: Sheet, i: int) -> str:
    pad = s.scene.pads[i]
    edge = s.scale.at(pad[0], s.high[1] if pad[1] > 0 else s.low[1])
    base = (s.scale.at(0.0, 0.0)[0], edge[1])
    words = s.figures.length(abs(pad[0]), unit=False)
    at = edge[1] - 3.4 if pad[1] > 0 else edge[1] + 9.2
    return svg.dimension(edge, base, words, at=at, key=f"pad-x-{CORNERS[i]}")


def _from_drive_line(s: Sheet, i: int) -> str:
    pad = s.scene.pads[i]
    drive = s.scale.at(s.low[0] if pad[0] < 0 else s.high[0], 0.0)
    edge = (drive[0], s.scale.at(*pad)[1])
    words = s.figures.length(abs(pad[1]), unit=False)
    x = drive[0] - 4.0 if pad[0] < 0 else drive[0] + 6.8
    return svg.dimension(edge, drive, words, at=x, upright=True, key=f"pad-y-{CORNERS[i]}")
