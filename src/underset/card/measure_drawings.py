"""Drawings of a lift and of adapters that only show what is measured: no real thing, no scale."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin
from typing import Final

from underset.card import svg

_WIDTH: Final = 176.0
_MIDDLE: Final = (88.0, 46.0)  # of the lift's plan on paper
_FLOOR: Final = 146.0
_DRAWN: Final = {
    "left_front": (-1.0, 1.0), "right_front": (-1.0, -1.0),
    "left_rear": (1.0, 1.0), "right_rear": (1.0, -1.0),
}  # fmt: skip


def lift_svg(labels: Mapping[str, str], words: Mapping[str, str]) -> str:
    """Plan of a lift, vehicles driving in to the left, and its side; labels by figure."""
    body = (*_lift_plan(labels, words), *_lift_side(labels))
    picture = svg.Picture(
        name="lift", width=_WIDTH, height=156.0, title=words["title"], description=words["told"],
        body=body,
    )  # fmt: skip
    return svg.write(picture, "print")


def _dim(
    labels: Mapping[str, str], key: str, ends: tuple[svg.XY, svg.XY], at: float, upright: bool
) -> str:
    return svg.dimension(*ends, labels.get(key, ""), at=at, upright=upright, key=key)


def _lift_plan(labels: Mapping[str, str], words: Mapping[str, str]) -> list[str]:
    cx, cy = _MIDDLE
    parts = [
        svg.line((14.0, cy), (162.0, cy), "us-centre"),
        svg.line((cx, 6.0), (cx, 90.0), "us-centre"),
        svg.line((30.0, cy - 3.0), (20.0, cy - 3.0), "us-outline"),
        svg.arrowhead((18.0, cy - 3.0), radians(180.0)),
        svg.text((19.0, cy - 5.0), words["drive_in"]),
    ]
    for side, name in ((1.0, "left"), (-1.0, "right")):
        y = cy + side * 34.0
        parts.append(svg.box((cx - 6, y - 4), (cx + 6, y + 4), "us-steel"))
        parts.append(svg.text((cx - 8, y + 1.0), words[f"column.{name}"], "us-text us-end"))
    parts += [_arm(name, ahead, left, words) for name, (ahead, left) in _DRAWN.items()]
    pivot, seat = _pivot(-1.0, 1.0), _seat(-1.0, 1.0)
    low, y = cy + 38.0, cy + 34.0
    parts += [
        _dim(labels, "pivot_x", (pivot, (cx, pivot[1])), low + 8.0, False),
        _dim(labels, "pivot_y", (pivot, (pivot[0], cy)), cx - 60.0, True),
        svg.text(((pivot[0] + seat[0]) / 2 - 9.0, (pivot[1] + seat[1]) / 2), labels["reach_low"]),
        svg.text((pivot[0] - 6.0, pivot[1] - 9.0), labels["swing_low"]),
        _dim(labels, "along", ((cx + 6, y), (cx - 6, y)), low + 3.0, False),
        _dim(labels, "across", ((cx, y + 4), (cx, y - 4)), cx + 26.0, True),
        _dim(labels, "y", ((cx, y), (cx, cy)), cx + 54.0, True),
        _dim(labels, "drive_through", ((cx, y - 4), (cx, cy - 30.0)), cx + 60.0, True),
        _dim(labels, "free_left", ((cx, cy + 44.0), (cx, cy)), 152.0, True),
        _dim(labels, "free_ahead", ((22.0, cy), (cx, cy)), 8.0, False),
        _dim(labels, "free_behind", ((156.0, cy), (cx, cy)), 8.0, False),
    ]
    return parts


def _pivot(ahead: float, left: float) -> svg.XY:
    return (_MIDDLE[0] + ahead * 8.0, _MIDDLE[1] + left * 28.0)


def _seat(ahead: float, left: float) -> svg.XY:
    x, y = _pivot(ahead, left)
    return (x + ahead * 26.0 * sin(radians(62.0)), y - left * 26.0 * cos(radians(62.0)))


def _arm(name: str, ahead: float, left: float, words: Mapping[str, str]) -> str:
    pivot, seat = _pivot(ahead, left), _seat(ahead, left)
    inward = (pivot[0], pivot[1] - left * 16.0)
    place = (seat[0] + ahead * 4.0, seat[1] + 1.0)
    cls = "us-text us-end" if ahead < 0 else "us-text"
    parts = (
        svg.line(pivot, seat, "us-outline"), svg.circle(pivot, 1.4, "us-bright"),
        svg.circle(seat, 2.2, "us-bright"), svg.line(pivot, inward, "us-centre"),
        svg.text(place, words[f"arm.{name}"], cls),
    )  # fmt: skip
    return svg.group(parts, cls="arm")


def _lift_side(labels: Mapping[str, str]) -> list[str]:
    cx, floor = _MIDDLE[0], _FLOOR
    low, high = floor - 5.0, floor - 34.0
    return [
        svg.line((30.0, floor), (146.0, floor), "us-outline"),
        svg.box((cx - 5, floor), (cx + 5, floor - 40.0), "us-steel"),
        svg.line((cx - 34, low), (cx, low), "us-outline"),
        svg.line((cx - 34, high), (cx, high), "us-hidden"),
        svg.line((cx - 30, floor - 44.0), (cx + 30, floor - 44.0), "us-phantom"),
        svg.line((30.0, floor - 48.0), (146.0, floor - 48.0), "us-outline"),
        _dim(labels, "seat_lowest", ((cx - 34, low), (cx - 34, floor)), cx - 44.0, True),
        _dim(labels, "seat_highest", ((cx - 34, high), (cx - 34, floor)), cx - 38.0, True),
        _dim(labels, "stop_bar", ((cx + 30, floor - 44.0), (cx + 30, floor)), cx + 36.0, True),
        _dim(labels, "ceiling", ((140.0, floor - 48.0), (140.0, floor)), 142.0, True),
    ]


def shelf_svg(labels: Mapping[str, str], words: Mapping[str, str]) -> str:
    """A spacer, a head with its screw, and a block with its groove, seen from the side."""
    floor = 44.0
    parts = [
        svg.line((10.0, floor), (166.0, floor), "us-outline"),
        svg.box((24, floor), (44, floor - 24), "us-steel"),
        svg.box((29, floor), (39, floor + 5), "us-bright"),
        svg.text((34, 54.0), "spacer", "us-text us-mid"),
        _dim(labels, "height", ((24.0, floor - 24), (24.0, floor)), 17.0, True),
        svg.box((78, floor), (90, floor - 14), "us-steel"),
        svg.box((81, floor - 14), (87, floor - 22), "us-bright"),
        svg.box((72, floor - 22), (96, floor - 27), "us-steel"),
        svg.text((84, 54.0), "head", "us-text us-mid"),
        _dim(labels, "travel", ((90.0, floor - 22), (90.0, floor - 14)), 104.0, True),
        _dim(labels, "width", ((96.0, floor - 27), (72.0, floor - 27)), floor - 31.0, False),
        svg.polygon(
            ((128, floor), (156, floor), (156, floor - 16), (145, floor - 16), (145, floor - 8),
             (139, floor - 8), (139, floor - 16), (128, floor - 16)), "us-steel",
        ),
        svg.text((142, 54.0), "block", "us-text us-mid"),
        _dim(labels, "slot", ((145.0, floor - 16), (139.0, floor - 16)), floor - 20.0, False),
        _dim(labels, "slot_depth", ((145.0, floor - 16), (145.0, floor - 8)), 163.0, True),
    ]  # fmt: skip
    picture = svg.Picture(
        name="shelf", width=_WIDTH, height=58.0, title=words["title"], description=words["told"],
        body=tuple(parts),
    )  # fmt: skip
    return svg.write(picture, "print")
