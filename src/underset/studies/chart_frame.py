"""What the studies' pictures share: marks that need no colour, heading, foot, scales, words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil, floor, log10
from typing import Final

from underset.card import svg
from underset.studies.chart_words import WORDS
from underset.studies.coverage_table import Telling

ROW: Final = 6.0
LEFT: Final = 4.0
HEAD: Final = 16.0
MARKS: Final = ("holds", "watch", "none", "incomplete", "limit")


def word(telling: Telling, key: str, *filled: object) -> str:
    """A word of the pictures, or one of the studies' tables."""
    own = WORDS[telling.language].get(key)
    return own.format(*filled) if own is not None else telling.word(key, *filled)


def mark(key: str, at: svg.XY) -> str:
    """The sign of a standing: tick in a disc, warning triangle, cross, question in a ring, dots."""
    x, y = at
    if key == "holds":
        tick = [(x - 0.9, y), (x - 0.2, y + 0.8), (x + 1.0, y - 0.8)]
        disc = svg.circle(at, 1.8, "us-holds-ink")
        return svg.group([disc, svg.polyline(tick, "us-tick")])
    if key == "watch":
        corners = [(x, y - 1.9), (x + 2.0, y + 1.5), (x - 2.0, y + 1.5)]
        bar = svg.line((x, y - 0.8), (x, y + 0.4), "us-tick")
        return svg.group(
            [svg.polygon(corners, "us-watch-ink"), bar, svg.circle((x, y + 1.0), 0.25, "us-dot")]
        )
    if key == "none":
        arms = ((-1.3, -1.3, 1.3, 1.3), (-1.3, 1.3, 1.3, -1.3))
        return svg.group(
            svg.line((x + a, y + b), (x + c, y + d), "us-cross") for a, b, c, d in arms
        )
    if key == "incomplete":
        ring = svg.circle(at, 1.8, "us-unknown")
        return svg.group([ring, svg.text((x, y + 1.0), "?", "us-text us-strong us-mid")])
    return svg.group(svg.circle((x + d, y), 0.45, "us-solid") for d in (-1.3, 0.0, 1.3))


def legend(telling: Telling, keys: Sequence[str], at: svg.XY, last: str = "") -> list[str]:
    """The signs with their words, in one line, and one thing more to say."""
    parts, x = [], at[0]
    for key in keys:
        said = word(telling, key)
        parts += [mark(key, (x + 2, at[1])), svg.text((x + 5, at[1] + 1), said, "us-text")]
        x += 9 + svg.text_width(said)
    return [*parts, svg.text((x + 1, at[1] + 1), last)] if last else parts


def wrapped(words: str, room: float) -> list[str]:
    """Words in lines no wider than the room."""
    lines: list[str] = [""]
    for one in words.split():
        longer = f"{lines[-1]} {one}".strip()
        if lines[-1] and svg.text_width(longer) > room:
            lines.append(one)
        else:
            lines[-1] = longer
    return lines


def foot(telling: Telling, y: float, *, invented: bool) -> list[str]:
    """What every picture ends with."""
    parts = [svg.text((LEFT, y), word(telling, "advice"), "us-text")]
    if invented:
        parts.append(svg.text((LEFT, y + 4.5), word(telling, "invented"), "us-text us-strong"))
    return parts


@dataclass(frozen=True, slots=True)
class Axis:
    """Maps a figure to paper, with round ticks."""

    low: float
    high: float
    start: float
    stop: float
    ticks: tuple[float, ...] = field(default=())

    def at(self, value: float) -> float:
        """Place on paper."""
        span = self.high - self.low or 1.0
        return self.start + (value - self.low) / span * (self.stop - self.start)


def nice_axis(high: float, start: float, stop: float) -> Axis:
    """From nothing to a round figure no less than `high`, with four to eight ticks."""
    rough = max(high, 1e-9) / 5
    power = 10.0 ** floor(log10(rough))
    step = next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= rough * 0.999)
    count = max(1, ceil(high / step - 1e-9))
    return Axis(0.0, count * step, start, stop, tuple(i * step for i in range(count + 1)))


def drawn(
    name: str, size: svg.XY, said: tuple[str, str], body: Sequence[str], theme: svg.Theme
) -> str:
    """The picture as SVG text, with the rules for the studies' own signs."""
    sheet = svg.box((0.0, 0.0), size, "us-sheet")
    parts = (_style(name, theme), sheet, *body)
    picture = svg.Picture(name, size[0], size[1], said[0], said[1], parts)
    return svg.write(picture, theme)


def _style(name: str, theme: svg.Theme) -> str:
    if theme == "bare":
        return ""
    c = {
        n: light if theme == "print" else f"var(--us-{n})" for n, (light, _) in svg.COLOURS.items()
    }
    return f"<style>{own_rules(name, c)}</style>"


NAMES: Final = ("coverage", "curve", "day", "lifts")


def screen_styles() -> str:
    """Rules of every picture for a page that names the colours itself."""
    c = {n: f"var(--us-{n})" for n in svg.COLOURS}
    return "".join(svg.rules("screen", n) + own_rules(n, c) for n in NAMES)


def own_rules(name: str, c: dict[str, str]) -> str:
    """Style rules of the signs that only the studies draw."""
    rules = {
        "us-sheet": f"fill:{c['paper']};stroke:none",
        "us-tick": f"fill:none;stroke:{c['paper']};stroke-width:.5;stroke-linecap:round",
        "us-dot": f"fill:{c['paper']};stroke:none",
        "us-cross": f"stroke:{c['stops']};stroke-width:.8;stroke-linecap:round",
        "us-bar": f"fill:{c['steel']};stroke:none",
        "us-row": f"fill:{c['soft']};stroke:none",
        "us-curve": f"fill:none;stroke:{c['holds']};stroke-width:.7",
        "us-point": f"fill:{c['holds']};stroke:{c['paper']};stroke-width:.3",
        "us-hollow": f"fill:{c['paper']};stroke:{c['holds']};stroke-width:.6",
        "us-job": f"fill:{c['soft']};stroke:{c['ink']};stroke-width:.3",
        "us-late": f"fill:{c['soft']};stroke:{c['stops']};stroke-width:.9",
        "us-use": f"fill:{c['steel']};stroke:{c['line']};stroke-width:.2",
        "us-full": f"fill:{c['watch']};fill-opacity:.4;stroke:{c['watch']};stroke-width:.4",
    }
    return "".join(f".us-{name} .{k}{{{v}}}" for k, v in rules.items())
