"""One stack, piece by piece, heights to one scale."""

from __future__ import annotations

from underset.card import svg
from underset.card.svg import Scale
from underset.setting import ArmSetting, Piece, Point

_GREATEST_SCALE = 260.0  # mm a metre: a low stack is not blown up beyond about 1:4
_HALF = {"spacer": 0.20, "block": 0.27, "head": 0.34}


def stack_svg(arm: ArmSetting, *, theme: svg.Theme = "print", size: Point = (14.0, 23.0)) -> str:
    """The stack on its seat; widths show the role of a piece, heights are to scale."""
    width, height = size
    seat = height - 2.6
    parts = [svg.box((0.8, seat), (width - 0.8, seat + 2.0), "us-steel")]
    if arm.stack:
        low, high = arm.stack[0].bottom, arm.stack[-1].top
        k = min((seat - 1.2) / max(high - low, 1e-6), _GREATEST_SCALE)
        scale = Scale(k, width / 2, seat + low * k)
        for piece in arm.stack:
            parts += _piece(scale, piece, width)
    words = ", ".join(p.label for p in arm.stack)
    picture = svg.Picture(f"stack-{arm.corner}", width, height, arm.corner, words, tuple(parts))
    return svg.write(picture, theme)


def _piece(scale: Scale, piece: Piece, width: float) -> tuple[str, ...]:
    """A spacer is a plain drum; a head shows its foot, the drawn-out screw, and its plate."""
    x, y_low = scale.at(0.0, piece.bottom)
    y_high = scale.at(0.0, piece.top)[1]
    half = _HALF.get(piece.role, 0.3) * width
    if piece.role != "head":
        return (svg.box((x - half, y_low), (x + half, y_high), "us-bright"),)
    plate = y_high + min(1.6, (y_low - y_high) / 3)
    foot = plate + min(piece.screw * scale.per_metre, y_low - plate)
    body, shaft = 0.2 * width, 0.11 * width
    return (
        svg.box((x - body, y_low), (x + body, foot), "us-bright"),
        svg.box((x - shaft, foot), (x + shaft, plate), "us-bright"),
        *_thread(x, shaft, plate, foot),
        svg.box((x - half, plate), (x + half, y_high), "us-steel", round_by=0.4),
    )


def _thread(x: float, shaft: float, top: float, bottom: float) -> tuple[str, ...]:
    turns = int(max(0.0, bottom - top - 0.5) / 0.9)
    rows = (bottom - 0.3 - 0.9 * i for i in range(turns))
    return tuple(svg.line((x - shaft, y), (x + shaft, y - 0.5)) for y in rows)
