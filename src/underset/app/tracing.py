"""Lifting points from places marked on a picture of the underbody: pure arithmetic on pixels.

The picture's plane is the complex plane. With F and R the marks on the axle centres and P that on
a point, z = (P − F)/(R − F) is the point's place in wheelbases: real part aft, imaginary part
across. Every mark may be off by p pixels in any direction, so z is off by at most
p (1 + |1 − z| + |z|) / |R − F| (first-order change of z in P, F and R). The wheelbase's own
tolerance scales aft and side; and a picture is never quite true, which adds a share of the
distance from the front axle's centre. Tolerances add up in full: they may all go the same way.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, isfinite
from typing import Final

from underset.errors import InputError, said
from underset.units import Quantity, parse_quantity

CORNERS: Final = ("lf", "rf", "lr", "rr")
NEEDED: Final = ("front", "rear", "left", *CORNERS)
MARKS: Final = (*NEEDED, "check_a", "check_b")
# How far a picture of a kind is trusted when nothing was checked; common practice, no source.
TRUST: Final[dict[str, float]] = {"drawing": 0.005, "scan": 0.01, "photo": 0.03}
LEAST_TRUST: Final = 0.002  # a check over one distance says nothing finer than this; shop policy
GREATEST_SHARE: Final = 0.08  # a picture further off than this is no plan of the vehicle
LEAST_SPAN: Final = 100.0  # pixels between the axles
LARGEST_PIXEL: Final = 100_000.0
_SIDEWAYS: Final = 0.02  # least distance from the middle, in wheelbases, that tells left from right


@dataclass(frozen=True, slots=True)
class Marks:
    """Places on the picture in pixels (x to the right, y down), true to `click` pixels."""

    places: Mapping[str, complex]
    click: float


@dataclass(frozen=True, slots=True)
class Ruler:
    """What is known of the picture: wheelbase, kind of picture, perhaps a distance to check."""

    wheelbase: Quantity
    kind: str
    check: Quantity | None = None


@dataclass(frozen=True, slots=True)
class TracedPoint:
    """One lifting point, m, and the tolerance of both figures."""

    corner: str
    aft: float
    side: float
    tol_aft: float
    tol_side: float

    @property
    def texts(self) -> tuple[str, str]:
        """Aft and side as a person writes them: whole mm, the tolerance rounded up."""
        return _text(self.aft, self.tol_aft), _text(self.side, self.tol_side)


@dataclass(frozen=True, slots=True)
class Trace:
    """What a picture gives: four points, how it is seen, and what the tolerances are made of.

    `click`, `scale` and `picture` are the greatest parts of the tolerances, m; `share` is how far
    the picture was trusted and `checked` the check distance found in it, m.
    """

    points: tuple[TracedPoint, ...]
    from_below: bool
    click: float
    scale: float
    picture: float
    share: float
    checked: float | None = None


def traced(marks: Marks, ruler: Ruler) -> Trace:
    """The lifting points of a marked picture. Raises InputError for marks that make no vehicle."""
    _marked(marks, ruler)
    front, rear = marks.places["front"], marks.places["rear"]
    span = rear - front
    if abs(span) < LEAST_SPAN:
        raise InputError(
            "rear", said("{pixels:.0f} pixels from the front axle", pixels=abs(span)),
            said("at least {least:g} pixels between the axles", least=LEAST_SPAN),
            "Zoom in, or take a larger one.",
        )  # fmt: skip
    left = ((marks.places["left"] - front) / span).imag
    if abs(left) < _SIDEWAYS:
        raise InputError("left", "a place on the middle line", "a place clearly on its left side")
    sign = 1.0 if left > 0 else -1.0
    share, found = _trust(marks, ruler, abs(span))
    parts = {c: _point(marks, ruler, c, sign, share) for c in CORNERS}
    _ordered([p for p, _ in parts.values()])
    click, scale, picture = (max(p[i] for _, p in parts.values()) for i in range(3))
    points = tuple(p for p, _ in parts.values())
    return Trace(points, sign < 0, click, scale, picture, share, found)


def _marked(marks: Marks, ruler: Ruler) -> None:
    needed = NEEDED if ruler.check is None else MARKS
    missing = [n for n in needed if n not in marks.places]
    if missing:
        raise InputError(
            missing[0], "not marked", said("marks needed: {needed}", needed=", ".join(needed))
        )
    for name, place in marks.places.items():
        if not (isfinite(place.real) and isfinite(place.imag)) or abs(place) > LARGEST_PIXEL:
            raise InputError(
                name,
                f"{place.real:g}, {place.imag:g}",
                said("pixels from 0 to {most:g}", most=LARGEST_PIXEL),
            )
    if not 0.0 < marks.click <= 50.0:
        raise InputError("click", marks.click, "more than 0 and at most 50 pixels")
    if ruler.kind not in TRUST:
        raise InputError("kind", ruler.kind, said("one of {known}", known=", ".join(TRUST)))
    for name, known in (("wheelbase", ruler.wheelbase), ("check", ruler.check)):
        if known is not None and known.value <= 0.0:
            raise InputError(name, known.text, "this figure is greater than zero")


def _point(
    marks: Marks, ruler: Ruler, corner: str, sign: float, share: float
) -> tuple[TracedPoint, tuple[float, float, float]]:
    front, span = marks.places["front"], marks.places["rear"] - marks.places["front"]
    z, wheelbase = (marks.places[corner] - front) / span, ruler.wheelbase
    click = wheelbase.high * marks.click * (1 + abs(1 - z) + abs(z)) / abs(span)
    picture = share * abs(z) * wheelbase.high
    scale = (abs(z.real) * wheelbase.tol, abs(z.imag) * wheelbase.tol)
    point = TracedPoint(
        corner, z.real * wheelbase.value, sign * z.imag * wheelbase.value,
        click + picture + scale[0], click + picture + scale[1],
    )  # fmt: skip
    return point, (click, max(scale), picture)


def _trust(marks: Marks, ruler: Ruler, span: float) -> tuple[float, float | None]:
    """Share of a distance by which the picture may be off, and the check distance found."""
    if ruler.check is None:
        return TRUST[ruler.kind], None
    pixels = abs(marks.places["check_b"] - marks.places["check_a"])
    if pixels < LEAST_SPAN / 4:
        raise InputError(
            "check_b", said("{pixels:.0f} pixels", pixels=pixels), "a longer distance to check with"
        )
    found = pixels * ruler.wheelbase.value / span
    off = abs(found / ruler.check.value - 1.0)
    # What the marks, the wheelbase and the known distance leave open is not proven away.
    blur = 2 * marks.click / pixels + 2 * marks.click / span
    loose = ruler.check.tol / ruler.check.value + ruler.wheelbase.tol / ruler.wheelbase.value
    if off - blur - loose > GREATEST_SHARE:
        raise InputError(
            "check",
            said("{found:.0f} mm in the picture, {known} known",
                 found=found * 1000, known=ruler.check.text),
            said("within {share:.0%} of each other", share=GREATEST_SHARE),
            "The picture is warped or one of the marks or distances is wrong.",
        )  # fmt: skip
    return max(off + blur + loose, LEAST_TRUST), found


def _ordered(points: list[TracedPoint]) -> None:
    """Left points lie left of the right ones, front ones ahead of the rear ones."""
    lf, rf, lr, rr = points
    for left, right in ((lf, rf), (lr, rr)):
        if left.side <= right.side:
            raise InputError(
                left.corner, said("{side:.0f} mm left of the middle", side=left.side * 1000),
                said("left of the point {corner}", corner=right.corner.upper()),
                "Left and right are those of the driver. Mark the points or the left side again.",
            )  # fmt: skip
    for front, rear in ((lf, lr), (rf, rr)):
        if front.aft >= rear.aft:
            raise InputError(
                front.corner, said("{aft:.0f} mm behind the front axle", aft=front.aft * 1000),
                said("ahead of the point {corner}", corner=rear.corner.upper()),
                "Mark the points or the axles again.",
            )  # fmt: skip


def _text(value: float, tol: float) -> str:
    shown = round(value * 1000)
    # What rounding takes away is within the tolerance too.
    return f"{shown} ± {ceil(tol * 1000 + abs(value * 1000 - shown) - 1e-9)} mm"


def read_marks(sent: Mapping[str, str]) -> Marks:
    """Marks as a page sends them: `front_x`, `front_y`, ...; a mark without figures is left out."""
    places = {}
    for name in MARKS:
        x, y = sent.get(f"{name}_x", "").strip(), sent.get(f"{name}_y", "").strip()
        if x or y:
            places[name] = complex(_number(f"{name}_x", x), _number(f"{name}_y", y))
    return Marks(places, _number("click", sent.get("click", "").strip()))


def read_ruler(sent: Mapping[str, str]) -> Ruler:
    """Wheelbase, kind of picture and check distance as a page sends them."""
    wheelbase = parse_quantity(sent.get("wheelbase", ""), "length", field="wheelbase")
    check = sent.get("check", "").strip()
    known = parse_quantity(check, "length", field="check") if check else None
    return Ruler(wheelbase, sent.get("kind", ""), known)


def _number(name: str, text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise InputError(name, text, "a number of pixels") from None


def fields_of(trace: Trace) -> dict[str, str]:
    """The points as fields of the vehicle form."""
    texts = {p.corner: p.texts for p in trace.points}
    return {
        f"{corner}_{word}": text
        for corner, pair in texts.items()
        for word, text in zip(("aft", "side"), pair, strict=True)
    }


__all__ = [
    "CORNERS", "MARKS", "NEEDED", "TRUST", "Marks", "Ruler", "Trace", "TracedPoint", "fields_of",
    "read_marks", "read_ruler", "traced",
]  # fmt: skip
