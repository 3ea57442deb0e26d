"""What every drawing shares: subject, scale, figures, words, and marks that several views need."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf
from typing import Final

from underset.card import svg
from underset.card.figures import Figures
from underset.card.svg import Scale
from underset.card.words import Words, words_in
from underset.setting import CORNERS, ArmSetting, Point, Polygon, Scene, Setting, Status

NICE_SCALES: Final = (
    10,
    12,
    15,
    20,
    25,
    30,
    35,
    40,
    45,
    50,
    55,
    60,
    65,
    70,
    75,
    80,
    90,
    100,
    125,
    150,
    200,
)
CornerStatus = tuple[Status, Status, Status, Status]
ALL_HOLD: Final[CornerStatus] = (Status.HOLDS,) * 4
NO_WINDOW: Final = (inf, -inf)  # of a setting that nobody proved
SIDE_MARGIN: Final = 9.5  # mm on paper, left and right of every view


@dataclass(frozen=True, slots=True)
class Options:
    """How a drawing is written.

    `width` and `height` bound it in mm; the scale is the largest nice one that fits, or 1:`ratio`
    when that is given. `prefix` stands before every id, for pages that hold several drawings;
    `overhead` writes ceiling, stop bar and rise above an elevation; `windows` are further spans of
    the front axle's centre, m in L, shown on the plan as bands.
    """

    units: str = "metric"
    language: str = "en"
    theme: svg.Theme = "print"
    prefix: str = ""
    width: float = 118.0
    height: float = 90.0
    ratio: float | None = None
    dimensions: bool = True
    overhead: bool = True
    windows: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Subject:
    """What is drawn and how."""

    scene: Scene
    setting: Setting | None
    statuses: CornerStatus
    options: Options


@dataclass(frozen=True, slots=True)
class Frame:
    """The part of a view's plane that is shown, m, and the paper kept free round it, mm."""

    low: Point
    high: Point
    above: float
    below: float

    def height_at(self, per_metre: float) -> float:
        """Paper height at a scale."""
        return self.above + self.below + (self.high[1] - self.low[1]) * per_metre


@dataclass(frozen=True, slots=True)
class Sheet:
    """One view ready to be drawn on."""

    subject: Subject
    frame: Frame
    scale: Scale
    figures: Figures
    words: Words

    @property
    def scene(self) -> Scene:
        """Shapes in L."""
        return self.subject.scene

    @property
    def low(self) -> Point:
        """Least x and y shown, m."""
        return self.frame.low

    @property
    def high(self) -> Point:
        """Greatest x and y shown, m."""
        return self.frame.high

    def id(self, name: str, view: str = "") -> str:
        """An element's id in this drawing."""
        return f"{self.subject.options.prefix}{view}{name}"

    def arm(self, i: int) -> ArmSetting | None:
        """How the arm at corner i stands, when a setting is shown."""
        setting = self.subject.setting
        return setting.arms[i] if setting else None


def sheet_for(subject: Subject, frame: Frame) -> Sheet:
    """A view at the given ratio, or at the largest nice scale that fits its paper."""
    o = subject.options
    k = 1000.0 / o.ratio if o.ratio else nice_scale(frame, o.width, o.height)
    x0 = o.width / 2 - (frame.low[0] + frame.high[0]) / 2 * k
    scale = Scale(k, x0, frame.above + frame.high[1] * k)
    return Sheet(subject, frame, scale, Figures(o.units, o.language), words_in(o.language))


def nice_scale(frame: Frame, width: float, height: float) -> float:
    """Paper mm a metre: the largest of the nice scales at which the frame fits the paper."""
    for ratio in NICE_SCALES:
        if fits(frame, 1000.0 / ratio, width) and frame.height_at(1000.0 / ratio) <= height:
            return 1000.0 / ratio
    return 1000.0 / NICE_SCALES[-1]


def fits(frame: Frame, per_metre: float, width: float) -> bool:
    """Whether the frame with its side margins fits a paper width at a scale."""
    return (frame.high[0] - frame.low[0]) * per_metre + 2 * SIDE_MARGIN <= width


def extent(shapes: Iterable[Polygon]) -> tuple[Point, Point]:
    """Least and greatest coordinates over shapes."""
    points = [p for shape in shapes for p in shape]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys)), (max(xs), max(ys))


def axle_centres(scene: Scene) -> tuple[Point, Point]:
    """Middles of front and rear axle in L."""
    (fl, fr), (rl, rr) = scene.axles
    return ((fl[0] + fr[0]) / 2, (fl[1] + fr[1]) / 2), ((rl[0] + rr[0]) / 2, (rl[1] + rr[1]) / 2)


def written(
    sheet: Sheet, name: str, title: str, layers: Iterable[str], told: str | None = None
) -> str:
    """The finished view as SVG, its scale and origin told on the root."""
    o = sheet.subject.options
    data = (
        ("per-metre", svg.num(sheet.scale.per_metre)),
        ("origin-x", svg.num(sheet.scale.x0)),
        ("origin-y", svg.num(sheet.scale.y0)),
        ("units", o.units),
    )
    picture = svg.Picture(
        name=name,
        width=o.width,
        height=sheet.frame.height_at(sheet.scale.per_metre),
        title=title,
        description=description(sheet) if told is None else told,
        body=tuple(layers),
        data=data,
    )
    return svg.write(picture, o.theme, o.prefix)


def description(sheet: Sheet) -> str:
    """The drawing told in words."""
    heading = sheet.words.named("heading", sheet.scene.heading)
    ratio = f"1:{1000 / sheet.scale.per_metre:.0f}"
    parts = [sheet.words.fill("draw.told", heading=heading, ratio=ratio)]
    parts += [arm_title(sheet, i) for i in range(4)]
    return ". ".join(parts) + "."


def arm_title(s: Sheet, i: int) -> str:
    """One arm in words: corner, tooth, swing, reach."""
    arm = s.arm(i)
    if arm is None:
        return s.words[f"corner.{CORNERS[i]}"]
    tooth = s.words["corner.no_tooth"] if arm.tooth is None else str(arm.tooth)
    return (
        f"{s.words[f'corner.{CORNERS[i]}']}: {s.words['corner.tooth']} {tooth},"
        f" {s.words['corner.swing']} {s.figures.angle(arm.swing)},"
        f" {s.words['corner.reach']} {s.figures.length(arm.reach)}"
    )


def cg_mark(s: Sheet, axes: tuple[int, int], name: str, mirror: float = 1.0) -> str:
    """Centre of gravity: a quartered disc, with the box of its tolerance."""
    scene, (h, v) = s.scene, axes
    if scene.cg is None:
        return ""
    x, y = s.scale.at(mirror * scene.cg[h], scene.cg[v])
    parts = []
    if scene.cg_low and scene.cg_high:
        a = s.scale.at(mirror * scene.cg_low[h], scene.cg_low[v])
        b = s.scale.at(mirror * scene.cg_high[h], scene.cg_high[v])
        parts.append(svg.box(a, b, "us-phantom"))
    r = 1.7
    parts.append(svg.circle((x, y), r, "us-bright"))
    parts += [
        f'<path class="us-solid" d="M{svg.num(x)} {svg.num(y)}h{d}a{r} {r} 0 0 0 {-d} {-d}z"/>'
        for d in (r, -r)
    ]
    parts.append(svg.text((x + 2.6, y + 1.0), s.words["draw.cg"]))
    return svg.group(parts, id=name, cls="cg", title=s.words["draw.cg_long"])


def triangle_up(tip: svg.XY) -> str:
    """A filled pointer under a place on the floor."""
    x, y = tip
    return svg.polygon(((x, y), (x - 1.4, y + 2.4), (x + 1.4, y + 2.4)), "us-solid")
