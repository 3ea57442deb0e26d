"""Which lift, as a picture: what each takes alone and with its shelf, and which figure matters."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from underset.card import svg
from underset.studies.chart_frame import LEFT, drawn, foot, word, wrapped
from underset.studies.coverage_table import Telling
from underset.studies.lifts import LiftChoice
from underset.studies.lifts_table import changed, figure, gained

WIDTH, NAMES, SHARES, TALL = 250.0, 38.0, 68.0, 16.0
TOP = 36.0


def lifts_picture(
    found: Sequence[LiftChoice],
    telling: Telling,
    theme: svg.Theme = "screen",
    *,
    currency: str = "",
    invented: bool = False,
) -> str:
    """Candidates best first; bars for shares, a number and a bar for every figure that gains."""
    title = word(telling, "lifts")
    body = [svg.text((LEFT, 7), title, "us-text us-big"), *_heads(found, telling)]
    y = TOP
    for i, choice in enumerate(found):
        if i % 2 == 0:
            body.append(svg.box((LEFT - 1, y), (WIDTH - LEFT + 1, y + TALL), "us-row"))
        body += _shares(choice, telling, currency, y)
        body += _figures(choice, telling, y)
        y += TALL
    for words in wrapped(word(telling, "lifts_note"), WIDTH - 2 * LEFT):
        y += 4.4
        body.append(svg.text((LEFT, y), words))
    body += foot(telling, y + 5, invented=invented)
    best = found[0] if found else None
    said = f"{telling.label(best.id)}: {telling.part(best.shop)}" if best else ""
    return drawn("lifts", (WIDTH, y + 12), (title, said), body, theme)


def _heads(found: Sequence[LiftChoice], telling: Telling) -> list[str]:
    x = LEFT + NAMES
    parts = [svg.text((x, TOP - 3), word(telling, "shares_head"), "us-text us-strong")]
    shown = next((c.sensitivity for c in found if c.sensitivity), ())
    if shown:
        at = (x + SHARES, TOP - 22)
        parts.append(svg.text(at, word(telling, "figures_head"), "us-text us-strong"))
    for i, s in enumerate(shown):
        left = _column(i, len(shown))
        room = _column(1, len(shown)) - _column(0, len(shown)) - 2
        for k, words in enumerate(wrapped(figure(s, telling), room)[-3:]):
            parts.append(svg.text((left, TOP - 16 + 4 * k), words))
        parts.append(svg.text((left, TOP - 3), changed(s, telling), "us-text us-strong"))
    return parts


def _column(i: int, count: int) -> float:
    start = LEFT + NAMES + SHARES
    return start + i * (WIDTH - LEFT - start) / max(1, count)


def _shares(choice: LiftChoice, telling: Telling, currency: str, y: float) -> list[str]:
    name = svg.shortened(telling.label(choice.id), NAMES - 2)
    parts = [svg.text((LEFT, y + TALL / 2 + 1), name, "us-text us-strong")]
    rows = [("alone", choice.alone, "us-bar"), ("shop_now", choice.shop, "us-solid")]
    if isfinite(choice.shelf_cost) and choice.shop_with_shelf > choice.shop + 1e-9:
        rows.append(("shop_shelf", choice.shop_with_shelf, "us-hollow"))
    step = TALL / (len(rows) + 0.5)
    for k, (key, share, cls) in enumerate(rows):
        at = y + step * (k + 0.6)
        said = f"{word(telling, key)} {telling.part(share)}"
        if key == "shop_shelf":
            said += f", {choice.shelf_cost:,.0f} {currency}".rstrip()
        left, wide = LEFT + NAMES, 20.0
        bar = svg.box((left, at - 1.2), (left + wide * share, at + 1.2), cls)
        frame = svg.box((left, at - 1.2), (left + wide, at + 1.2), "us-thin")
        parts += [bar, frame, svg.text((left + wide + 2, at + 1), said)]
    return parts


def _figures(choice: LiftChoice, telling: Telling, y: float) -> list[str]:
    parts, count = [], len(choice.sensitivity)
    room = _column(1, count) - _column(0, count) - 4 if count else 0.0
    for i, s in enumerate(choice.sensitivity):
        x, middle = _column(i, count), y + TALL / 2
        strong = s.gain > 0.0005
        cls = "us-text us-strong" if strong else "us-text"
        parts.append(svg.text((x, middle - 0.5), gained(s, telling) if strong else "0", cls))
        if strong:
            wide = room * min(1.0, s.gain)
            parts.append(svg.box((x, middle + 1.5), (x + wide, middle + 3.7), "us-solid"))
            parts.append(svg.box((x, middle + 1.5), (x + room, middle + 3.7), "us-thin"))
    return parts
