"""Weight and balance of aircraft: the same statics as a vehicle's mass ledger.

Federal Aviation Administration, FAA-H-8083-1 (Aircraft Weight and Balance Handbook) and
FAA-H-8083-25 (Pilot's Handbook of Aeronautical Knowledge), chapter on weight and balance. The
handbooks themselves were not at hand; their text was read on pages that carry it, named with each
figure. Units are pounds and inches. Stations count backward from the datum.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import DERIVED, EXACT, MEMORY, SECOND_HAND, claim
from underset.statics import Item, added, needed_shift, shift, total

PHAK = "FAA-H-8083-25, weight and balance"
HANDBOOK = "FAA-H-8083-1, weight and balance"


def ledger(*rows: tuple[float, float]) -> tuple[float, float]:
    """Total weight and CG station of (weight, station) rows, by the mass ledger."""
    items = [
        Item(f"row {i}", weight, 0.0, (station, 0.0, 0.0))
        for i, (weight, station) in enumerate(rows)
    ]
    whole = total(items)
    return whole.mass, whole.cg[0]


def test_loaded_aircraft() -> None:
    weight, cg = ledger((2100.0, 78.3), (340.0, 85.0), (350.0, 121.0), (450.0, 75.0), (80.0, 150.0))
    claim(
        "faa-loaded",
        "2,100 lb empty, seats 340 and 350, fuel 450, baggage 80: total in lb and CG in in",
        source=PHAK,
        where="determining loaded weight and CG (flight-study.com, flightliteracy.com)",
        seen=SECOND_HAND,
        printed=(3320.0, 84.8),
        ours=(weight, cg),
        tolerance=0.05,
        reason="printed to 0.1 in; stations 78.3, 85, 121, 75, 150 in are from memory",
    )
    assert weight * cg == pytest.approx(281_430.0)
    assert cg == pytest.approx(84.77, abs=0.005)


def test_weight_shifted_aft() -> None:
    cg = shift(8000.0, 616_000.0 / 8000.0, 100.0, 30.0, 150.0)
    claim(
        "faa-shift",
        "8,000 lb with a moment of 616,000 lb in; 100 lb moved from 30 to 150 in: moment and CG",
        source=PHAK,
        where="weight shifting (flightlearnings.com, part five)",
        seen=SECOND_HAND,
        printed=(628_000.0, 78.5),
        ours=(8000.0 * cg, cg),
        tolerance=1e-6,
        reason="exact arithmetic",
    )
    moved = ledger((7900.0, (616_000.0 - 100.0 * 30.0) / 7900.0), (100.0, 150.0))
    assert moved == pytest.approx((8000.0, 78.5))


def test_how_much_to_shift() -> None:
    claim(
        "faa-needed-shift",
        "7,800 lb at 81.5, limit 80.5, from 150 to 30 in: lb to move",
        source=PHAK,
        where="weight shifting (jetcareers.com/forums/threads/weight-shifting.151008)",
        seen=SECOND_HAND,
        printed=65.0,
        ours=needed_shift(7800.0, 80.5 - 81.5, 150.0, 30.0),
        tolerance=EXACT,
        reason="exact arithmetic",
    )


def test_tail_wheel_on_scales() -> None:
    """Nose wheel 78 in ahead of the main wheels, which are the datum."""
    weight, cg = ledger((340.0, -78.0), (2006.0 - 340.0, 0.0))
    claim(
        "faa-nose-wheel",
        "Nose 340 lb at -78 in, total 2,006 lb: CG from the main wheels in in",
        source=HANDBOOK,
        where="electronic calculator (flight-study.com, 2021/11)",
        seen=SECOND_HAND,
        printed=-13.2,
        ours=cg,
        tolerance=0.05,
        reason="printed to 0.1 in",
    )
    assert cg == pytest.approx(-13.22, abs=0.005)
    assert weight == 2006.0
    claim(
        "faa-nose-wheel-datum",
        "The same from a datum 128 in ahead of the main wheels, in in",
        source=HANDBOOK,
        where="electronic calculator",
        seen=MEMORY,
        printed=114.8,
        ours=128.0 + cg,
        tolerance=0.05,
        reason="printed to 0.1 in",
    )


def test_lever_brought_to_balance_elsewhere() -> None:
    lever = ((100.0, 0.0), (200.0, 80.0), (200.0, 100.0))
    weight, cg = ledger(*lever)
    distance = (72.0 - 50.0) * weight / 200.0
    claim(
        "faa-lever",
        "Lever of 100, 200 and 200 lb: balance at 72 in; B moved by 55 in to balance at 50 in",
        source=HANDBOOK,
        where="figure 2-11 (flightliteracy.com/shifting-the-balance-point-or-cg)",
        seen=MEMORY,
        printed=(72.0, 55.0, 50.0),
        ours=(cg, distance, shift(weight, cg, 200.0, 80.0, 80.0 - distance)),
        tolerance=EXACT,
        reason="exact arithmetic; 72 and 50 were read, weights and stations are from memory",
    )
    assert needed_shift(weight, -22.0, 80.0, 25.0) == pytest.approx(200.0)


def test_board_with_three_weights() -> None:
    weight, cg = ledger((100.0, 50.0), (100.0, 90.0), (200.0, 150.0))
    claim(
        "faa-board",
        "Board with 100, 100 and 200 lb at 50, 90 and 150 in: moment and CG",
        source=HANDBOOK,
        where="theory chapter",
        seen=MEMORY,
        printed=(44_000.0, 110.0),
        ours=(weight * cg, cg),
        tolerance=1e-6,
        reason="exact arithmetic",
    )


@pytest.mark.parametrize(
    ("id", "mass", "cg", "change", "place", "printed", "exact"),
    [
        ("faa-removal", 6100.0, 80.0, -100.0, 150.0, 78.8, 78.83),
        ("faa-addition", 6860.0, 80.0, 140.0, 150.0, 81.4, 81.4),
    ],
)
def test_weight_added_or_taken_off(
    id: str, mass: float, cg: float, change: float, place: float, printed: float, exact: float
) -> None:
    left, new = added(mass, cg, change, place)
    claim(
        id,
        f"{mass:,.0f} lb at {cg}, {change:+g} lb at {place:g} in: new CG in in",
        source=PHAK,
        where="weight addition or removal",
        seen=MEMORY,
        printed=printed,
        ours=new,
        tolerance=0.05,
        reason="printed to 0.1 in",
    )
    assert new == pytest.approx(exact, abs=0.005)
    assert ledger((mass, cg), (change, place)) == pytest.approx((left, new))


def test_a_rule_of_proportion_holds_for_the_ledger() -> None:
    """Removing over the new total, or over the old total with the distance from the new CG."""
    left, new = added(6100.0, 80.0, -100.0, 150.0)
    claim(
        "faa-removal-both-forms",
        "CG change over the new total and over the old total, in in",
        source=HANDBOOK,
        where="weight change formula",
        seen=DERIVED,
        printed=new - 80.0,
        ours=-100.0 * (150.0 - new) / 6100.0,
        tolerance=1e-9,
        reason="two forms of one formula",
    )
    assert left == 6000.0
