"""SVG primitives for drawings: lines after ISO 128, dimensions after ISO 129, one style sheet.

Lengths here are millimetres on paper. Themes: "print" writes every colour out; "screen" asks CSS
variables (--us-ink, --us-paper, ...) and follows the reader's light or dark setting unless the
page sets them; "bare" holds no style, for pages that carry `variables` and `rules` themselves.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from typing import Final, Literal

Theme = Literal["print", "screen", "bare"]
XY = tuple[float, float]

FONT: Final = "DejaVu Sans Condensed"
FONT_STACK: Final = f"'{FONT}', 'DejaVu Sans', Verdana, sans-serif"
TEXT: Final = 2.9  # mm, a little over 8 pt
# Advances of the font against its size, by kind of letter; all others about 0.55.
_ADVANCE: Final = {
    **dict.fromkeys("ijlI.,:;'|! ", 0.28),
    **dict.fromkeys("frt()-/·", 0.37),
    **dict.fromkeys("mwMW%", 0.85),
    **dict.fromkeys("ABCDEFGHKLNOPQRSTUVXYZÄÖÜ…–", 0.64),
    **dict.fromkeys("0123456789", 0.573),
}

_OWN: Final = "(own)"  # stands for the drawing's name until it is written
HATCH, CROSS, DOTS = (f"url(#{_OWN}-{kind})" for kind in ("hatch", "cross", "dots"))

# name -> (light, dark)
COLOURS: Final[dict[str, tuple[str, str]]] = {
    "ink": ("#15202b", "#e6ebf0"),
    "paper": ("#ffffff", "#10161d"),
    "soft": ("#f1f3f5", "#1b242e"),
    "steel": ("#cfd6dd", "#3d4a57"),
    "line": ("#5b6875", "#9fadba"),
    "holds": ("#0b6b58", "#62d3b8"),
    "watch": ("#8a5200", "#f2b65c"),
    "unknown": ("#54468f", "#b9abf7"),
    "stops": ("#a01428", "#ff8d97"),
}


def num(value: float) -> str:
    """A coordinate with at most two decimals and no negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


@dataclass(frozen=True, slots=True)
class Scale:
    """Maps metres (x to the right, y up) to paper: `per_metre` mm a metre, origin at (x0, y0)."""

    per_metre: float
    x0: float
    y0: float

    def at(self, x: float, y: float) -> XY:
        """Paper place of a point."""
        return (self.x0 + x * self.per_metre, self.y0 - y * self.per_metre)

    def all(self, points: Iterable[XY]) -> tuple[XY, ...]:
        """Paper places of several points."""
        return tuple(self.at(x, y) for x, y in points)


# --- elements -------------------------------------------------------------------------------------


def attributes(**named: object) -> str:
    """Attributes as text; `cls` is class, underscores become dashes, None is left out."""
    parts = []
    for name, value in named.items():
        if value is None or value == "":
            continue
        key = "class" if name == "cls" else name.replace("_", "-")
        text = num(value) if isinstance(value, float) else escape(str(value), quote=True)
        parts.append(f' {key}="{text}"')
    return "".join(parts)


def group(children: Iterable[str], *, title: str = "", **named: object) -> str:
    """A group; a title becomes its tooltip and its name for readers of the screen aloud."""
    head = f"<title>{escape(title)}</title>" if title else ""
    return f"<g{attributes(**named)}>{head}{''.join(children)}</g>"


def line(a: XY, b: XY, cls: str = "us-thin", **named: object) -> str:
    """A straight line."""
    return f"<line{attributes(x1=a[0], y1=a[1], x2=b[0], y2=b[1], cls=cls, **named)}/>"


def polygon(points: Iterable[XY], cls: str = "us-outline", **named: object) -> str:
    """A closed outline."""
    places = " ".join(f"{num(x)},{num(y)}" for x, y in points)
    return f"<polygon{attributes(points=places, cls=cls, **named)}/>"


def polyline(points: Iterable[XY], cls: str = "us-thin", **named: object) -> str:
    """An open line through points."""
    places = " ".join(f"{num(x)},{num(y)}" for x, y in points)
    return f"<polyline{attributes(points=places, cls=cls, **named)}/>"


def circle(centre: XY, radius: float, cls: str = "us-outline", **named: object) -> str:
    """A circle."""
    return f"<circle{attributes(cx=centre[0], cy=centre[1], r=radius, cls=cls, **named)}/>"


def box(a: XY, b: XY, cls: str = "us-outline", *, round_by: float = 0.0, **named: object) -> str:
    """An upright rectangle between two corners."""
    x, y = min(a[0], b[0]), min(a[1], b[1])
    size = attributes(x=x, y=y, width=abs(a[0] - b[0]), height=abs(a[1] - b[1]))
    return f"<rect{size}{attributes(rx=round_by or None, cls=cls, **named)}/>"


def text(at: XY, words: str, cls: str = "us-text", *, turn: float = 0.0, **named: object) -> str:
    """Words at a place; `turn` in degrees, clockwise on paper."""
    place = attributes(x=at[0], y=at[1])
    turned = f' transform="rotate({num(turn)} {num(at[0])} {num(at[1])})"' if turn else ""
    return f"<text{place}{attributes(cls=cls, **named)}{turned}>{escape(words)}</text>"


def text_width(words: str, size: float = TEXT) -> float:
    """Width of words on paper, near enough to keep them apart."""
    return size * sum(_ADVANCE.get(letter, 0.55) for letter in words)


def shortened(words: str, room: float) -> str:
    """Words cut to a width on paper."""
    kept = words
    while len(kept) > 1 and text_width(kept if kept == words else f"{kept}…") > room:
        kept = kept[:-1]
    return words if kept == words else kept.rstrip() + "…"


# --- dimensions (ISO 129-1: thin lines, filled arrowheads, figures above the line) ----------------

_ARROW, _HALF = 2.4, 0.42
_SHORT = 2 * _ARROW + 0.8
_LIFT, _BEYOND = 0.8, 5.4


def arrowhead(tip: XY, direction: float) -> str:
    """A filled arrowhead whose tip points along `direction` (radians on paper, y down)."""
    c, s = math.cos(direction), math.sin(direction)
    back = (tip[0] - _ARROW * c, tip[1] - _ARROW * s)
    left = (back[0] - _HALF * s, back[1] + _HALF * c)
    right = (back[0] + _HALF * s, back[1] - _HALF * c)
    return polygon((tip, left, right), "us-arrow")


def dimension(a: XY, b: XY, words: str, *, at: float, upright: bool = False, key: str = "") -> str:
    """A dimension from b out to a: along x at y = `at`, or upright at x = `at`.

    Figures that find no room between the arrows stand beyond a.
    """
    outer, inner = ((at, a[1]), (at, b[1])) if upright else ((a[0], at), (b[0], at))
    gap = math.dist(outer, inner)
    parts = [_extension(a, outer), _extension(b, inner), *_arrows(inner, outer, gap)]
    parts.append(_figure(inner, outer, words, upright))
    side = "" if not upright else " upward" if outer[1] < inner[1] else " downward"
    return group(parts, cls=f"dimension{side}", data_key=key)


def _extension(start: XY, end: XY) -> str:
    length = math.dist(start, end)
    if length < 0.8:
        return ""
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    return line((start[0] + 0.6 * ux, start[1] + 0.6 * uy), (end[0] + 1.2 * ux, end[1] + 1.2 * uy))


def _arrows(inner: XY, outer: XY, gap: float) -> list[str]:
    along = math.atan2(outer[1] - inner[1], outer[0] - inner[0])
    ux, uy = math.cos(along), math.sin(along)
    if gap >= _SHORT:
        return [line(inner, outer), arrowhead(inner, along + math.pi), arrowhead(outer, along)]
    before = (inner[0] - 4 * ux, inner[1] - 4 * uy)
    after = (outer[0] + 4 * ux, outer[1] + 4 * uy)
    return [line(before, after), arrowhead(inner, along), arrowhead(outer, along + math.pi)]


def _figure(inner: XY, outer: XY, words: str, upright: bool) -> str:
    """The figure in the middle above its line, or beyond the outer end when it has no room."""
    wide = text_width(words)
    axis = 1 if upright else 0
    way = 1.0 if outer[axis] >= inner[axis] else -1.0
    roomy = abs(outer[axis] - inner[axis]) >= wide + 2
    centre = (inner[axis] + outer[axis]) / 2 if roomy else outer[axis] + way * (wide / 2 + _BEYOND)
    if upright:
        return text((outer[0] - _LIFT, centre), words, "us-text us-mid", turn=-90)
    return text((centre, outer[1] - (_LIFT if roomy else -1.0)), words, "us-text us-mid")


# --- the whole picture ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Picture:
    """A finished drawing before it is written: size in mm, name, words for a reader, elements."""

    name: str
    width: float
    height: float
    title: str
    description: str
    body: tuple[str, ...]
    data: tuple[tuple[str, str], ...] = ()


def write(picture: Picture, theme: Theme = "print", prefix: str = "") -> str:
    """The drawing as one SVG text; its patterns' ids carry its name, so several share a page."""
    w, h = num(picture.width), num(picture.height)
    name = f"{prefix}{picture.name}"
    data = "".join(f' data-{k}="{escape(v, quote=True)}"' for k, v in picture.data)
    style = "" if theme == "bare" else f"<style>{style_sheet(theme, picture.name)}</style>"
    body = f"{style}<defs>{_patterns()}</defs>{''.join(picture.body)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}"'
        f' width="{w}mm" height="{h}mm"'
        f' class="us-drawing us-{picture.name}" role="img"'
        f' aria-labelledby="{name}-title {name}-desc"{data}>'
        f'<title id="{name}-title">{escape(picture.title)}</title>'
        f'<desc id="{name}-desc">{escape(picture.description)}</desc>'
        f"{body.replace(_OWN, name)}</svg>"
    )


def style_sheet(theme: Theme, name: str) -> str:
    """The style of the drawing with a name: its rules, and on screen the variables they ask."""
    return rules(theme, name) if theme == "print" else variables() + rules(theme, name)


def rules(theme: Theme, name: str) -> str:
    """Style rules of the drawing with a name ("plan", "side", ...), which hold inside it alone."""
    colour = {
        n: light if theme == "print" else f"var(--us-{n})" for n, (light, _) in COLOURS.items()
    }
    scoped = "".join(f".us-{name} .{k}{{{v}}}" for k, v in _rules(colour).items())
    return scoped.replace(_OWN, name)


def variables() -> str:
    """Default values of the CSS variables; `:where` lets the page's own values win."""
    light = "".join(f"--us-{n}:{pair[0]};" for n, pair in COLOURS.items())
    dark = "".join(f"--us-{n}:{pair[1]};" for n, pair in COLOURS.items())
    return (
        f":where(:root){{{light}}}"
        f"@media (prefers-color-scheme:dark){{:where(:root){{{dark}}}}}"
        f"@media print{{:where(:root){{{light}}}}}"
    )


def _rules(c: dict[str, str]) -> dict[str, str]:
    ink, stroke = c["ink"], f"fill:none;stroke:{c['ink']};"
    phantom = "stroke-width:.25;stroke-dasharray:5 .9 .6 .9 .6 .9"
    rules = {
        "us-outline": f"{stroke}stroke-width:.4",
        "us-thin": f"{stroke}stroke-width:.18",
        "us-centre": f"{stroke}stroke-width:.18;stroke-dasharray:5 .9 .6 .9",
        "us-hidden": f"{stroke}stroke-width:.25;stroke-dasharray:1.6 .8",
        "us-phantom": f"{stroke}{phantom}",
        "us-body": f"fill:{c['soft']};stroke:{ink};{phantom}",
        "us-tyre": f"fill:{c['line']};fill-opacity:.45;stroke:{ink};stroke-width:.25",
        "us-wheel": f"fill:{c['paper']};stroke:{ink};stroke-width:.4",
        "us-steel": f"fill:{c['steel']};stroke:{ink};stroke-width:.35",
        "us-bright": f"fill:{c['paper']};stroke:{ink};stroke-width:.35",
        "us-solid": f"fill:{ink};stroke:none",
        "us-arrow": f"fill:{ink};stroke:none",
        "us-band": f"fill:{c['holds']};fill-opacity:.22;stroke:{c['holds']};stroke-width:.25",
        "us-band-narrow": f"fill:{HATCH};stroke:{c['holds']};stroke-width:.4",
        "us-cut": f"fill:{c['paper']};stroke:{ink};stroke-width:.4",
        "us-cut-hatch": f"fill:{HATCH};stroke:none",
        "us-text": f"font-family:{FONT_STACK};font-size:{TEXT}px;fill:{ink};"
        f"paint-order:stroke;stroke:{c['paper']};stroke-width:.7px;stroke-linejoin:round",
        "us-clear": f"fill:{c['paper']};stroke:none",
        "us-strong": "font-weight:bold",
        "us-big": "font-size:3.9px;font-weight:bold",
        "us-mid": "text-anchor:middle",
        "us-end": "text-anchor:end",
        "us-hatch-line": f"stroke:{ink};stroke-width:.14",
        "us-hatch-dot": f"fill:{ink}",
    }
    for status in ("holds", "watch", "unknown", "stops"):
        rules[f"us-{status}"] = f"fill:{c['paper']};stroke:{c[status]};stroke-width:.7"
        rules[f"us-{status}-ink"] = f"fill:{c[status]};stroke:none"
    return rules


def _patterns() -> str:
    """Hatchings: of cut material, and one for each status so that colour never speaks alone."""
    slant = '<path class="us-hatch-line" d="M-.5 .5l1-1M0 1.6L1.6 0M1.1 2.1l1-1"/>'
    back = '<path class="us-hatch-line" d="M-.5 1.1l1 1M0 0L1.6 1.6M1.1 -.5l1 1"/>'
    dots = '<circle class="us-hatch-dot" cx=".8" cy=".8" r=".2"/>'
    return "".join(
        f'<pattern id="{_OWN}-{name}" width="1.6" height="1.6" patternUnits="userSpaceOnUse">'
        f"{marks}</pattern>"
        for name, marks in (("hatch", slant), ("cross", slant + back), ("dots", dots))
    )
