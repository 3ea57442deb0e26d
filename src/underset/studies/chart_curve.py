"""Cost against share of visits as a picture: a stair, its points, and what the best steps buy."""

from __future__ import annotations

from itertools import pairwise
from math import isfinite

from underset.card import svg
from underset.studies.chart_frame import LEFT, Axis, drawn, foot, nice_axis, word, wrapped
from underset.studies.coverage_table import Telling
from underset.studies.kit import Curve, Kit, Proof

WIDTH, PLOT = 170.0, (20.0, 16.0, 164.0, 92.0)
LISTED = 6


def curve_picture(
    curve: Curve,
    telling: Telling,
    theme: svg.Theme = "screen",
    *,
    currency: str = "",
    invented: bool = False,
) -> str:
    """The trade-off as SVG; hollow points are not proved to be the best for their money."""
    points = [k for k in curve.points if isfinite(k.cost)]
    left, top, right, bottom = PLOT
    x = nice_axis(max((k.cost for k in points), default=1.0), left, right)
    y = Axis(0.0, 1.0, bottom, top, (0.0, 0.25, 0.5, 0.75, 1.0))
    listed = _listed(points)
    body = [svg.text((LEFT, 7), word(telling, "curve"), "us-text us-big")]
    body += _grid(x, y, telling, currency)
    body += [_stair(points, x, y), *_dots(points, listed, x, y)]
    notes, low = _notes(listed, telling, currency, bottom + 16)
    body += notes
    said = word(telling, "all_points" if curve.complete else "some_points")
    open_points = [k for k in points if k.proof is not Proof.OPTIMAL]
    said += f"; {word(telling, 'not_proved')}" if open_points else ""
    body += [svg.text((LEFT, low + 2), said), *foot(telling, low + 7, invented=invented)]
    last = points[-1] if points else None
    told = _worth(last, telling, currency) if last else ""
    return drawn("curve", (WIDTH, low + 14), (word(telling, "curve"), told), body, theme)


def _listed(points: list[Kit]) -> list[Kit]:
    """The points that gain most for their money on the way up, the first and the last."""
    if len(points) <= LISTED:
        return points
    gains = [(b.share - a.share) / max(b.cost - a.cost, 1e-9) for a, b in pairwise(points)]
    best = sorted(range(len(gains)), key=lambda i: -gains[i])[: LISTED - 2]
    keep = sorted({0, len(points) - 1, *(i + 1 for i in best)})
    return [points[i] for i in keep]


def _grid(x: Axis, y: Axis, telling: Telling, currency: str) -> list[str]:
    parts = []
    for tick in y.ticks:
        at = y.at(tick)
        parts.append(svg.line((x.start, at), (x.stop, at)))
        parts.append(svg.text((x.start - 2, at + 1), f"{tick:.0%}", "us-text us-end"))
    for tick in x.ticks:
        parts.append(svg.line((x.at(tick), y.start), (x.at(tick), y.start + 1.2)))
        parts.append(svg.text((x.at(tick), y.start + 5), f"{tick:,.10g}", "us-text us-mid"))
    cost = f"{word(telling, 'cost_axis')} {currency}".strip()
    parts.append(svg.text((x.stop, y.start + 9.5), cost, "us-text us-end"))
    parts.append(svg.text((LEFT, y.stop - 3.5), word(telling, "share_axis")))
    return parts


def _stair(points: list[Kit], x: Axis, y: Axis) -> str:
    """Between two points the money buys what the cheaper one does."""
    places: list[svg.XY] = []
    for k in points:
        if places:
            places.append((x.at(k.cost), places[-1][1]))
        places.append((x.at(k.cost), y.at(k.share)))
    if places:
        places.append((x.stop, places[-1][1]))
    return svg.polyline(places, "us-curve")


def _dots(points: list[Kit], listed: list[Kit], x: Axis, y: Axis) -> list[str]:
    parts = []
    for k in points:
        at = (x.at(k.cost), y.at(k.share))
        cls = "us-point" if k.proof is Proof.OPTIMAL else "us-hollow"
        dot = svg.circle(at, 1.5 if k in listed else 0.9, cls)
        number = []
        if k in listed:
            place = (at[0] + 1.6, at[1] - 2.0)
            number = [svg.text(place, str(listed.index(k) + 1), "us-text us-strong")]
        parts.append(svg.group([dot, *number], title=f"{k.cost:,.10g}: {k.share:.1%}"))
    return parts


def _worth(kit: Kit, telling: Telling, currency: str) -> str:
    buys = [word(telling, "each", b.packs, telling.label(b.offer)) for b in kit.buys]
    cost = f"{kit.cost:,.10g} {currency}".strip()
    return f"{cost}: {telling.part(kit.share)}; {', '.join(buys) or word(telling, 'nothing')}"


def _notes(listed: list[Kit], telling: Telling, currency: str, y: float) -> tuple[list[str], float]:
    parts = []
    for i, kit in enumerate(listed):
        parts.append(svg.text((LEFT, y), str(i + 1), "us-text us-strong"))
        for words in wrapped(_worth(kit, telling, currency), WIDTH - 3 * LEFT - 3):
            parts.append(svg.text((LEFT + 5, y), words))
            y += 4.2
    return parts, y
