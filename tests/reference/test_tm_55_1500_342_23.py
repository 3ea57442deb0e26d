"""Moments and their signs.

United States Army, TM 55-1500-342-23, Army Aviation Maintenance Engineering Manual: Weight and
Balance, 2-7 and the page after. Read at
aviationmaintenance.tpub.com/TM-55-1500-342-23/css/TM-55-1500-342-23_15.htm and ..._16.htm.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import READ, claim
from underset.statics import Item, Place, total

SOURCE = "TM 55-1500-342-23"


def at(x: float) -> Place:
    return (x, 0.0, 0.0)


def test_see_saw() -> None:
    board = total([Item("a", 200.0, 0.0, at(-50.0)), Item("b", 100.0, 0.0, at(100.0))])
    claim(
        "tm55-see-saw",
        "200 lb at 50 in and 100 lb at 100 in on the other side: moments in lb in, and the balance",
        source=SOURCE,
        where="2-7",
        seen=READ,
        printed=(10_000.0, 10_000.0, 0.0),
        ours=(200.0 * 50.0, 100.0 * 100.0, board.cg[0]),
        tolerance=1e-9,
        reason="exact arithmetic",
    )


@pytest.mark.parametrize(
    ("weight", "station", "sign"),
    [(10.0, 5.0, 1.0), (10.0, -5.0, -1.0), (-10.0, 5.0, -1.0), (-10.0, -5.0, 1.0)],
)
def test_sign_of_a_moment(weight: float, station: float, sign: float) -> None:
    """Taken off is minus, ahead of the datum is minus, like signs give plus."""
    heavy = Item("vehicle", 1000.0, 0.0, at(0.0))
    moved = total([heavy, Item("part", weight, 0.0, at(station))])
    claim(
        f"tm55-sign-{weight:g}-{station:g}",
        f"{weight:+g} at {station:+g}: sign of its moment",
        source=SOURCE,
        where="page 16 of the reading",
        seen=READ,
        printed=sign,
        ours=moved.cg[0] * moved.mass / 50.0,
        tolerance=1e-9,
        reason="a sign",
    )
