"""Load split between front and rear pads of frame-engaging lifts.

Deutsche Gesetzliche Unfallversicherung (DGUV), Information 208-015 "Fahrzeughebebühnen", edition
10/2019. Section 3: front to rear pad load between 3:2 and 2:3 up to 3,500 kg of capacity, between
3:1 and 1:3 above, also after parts have been taken off. Section 5: lifting elements count as in
step while they differ by less than 50 mm or the carrier tilts by less than 1 degree. Read at
arbeitssicherheit.de/schriften/dokument/0%253A5004870%252C4.html (section 3) and ...C6.html
(section 5). The worked states below are arithmetic on that rule.
"""

from __future__ import annotations

from math import asin, degrees, radians, sin

import pytest

from tests.reference.claims import DERIVED, EXACT, READ, claim
from underset.statics import (
    Preload,
    StandLimits,
    carriage_shift,
    cg_window,
    even_loads,
    front_share,
    preload_range,
    removable,
    split_limits,
    stand_demands,
)

SOURCE = "DGUV Information 208-015 (10/2019)"
NARROW, WIDE = 1.5, 3.0  # 3:2 up to 3,500 kg of capacity, 3:1 above


def row(spacing: float, width: float = 1000.0) -> tuple[tuple[float, float], ...]:
    """Four pads of a rectangle, front pads at x 0, places counted backward as x < 0."""
    half = width / 2.0
    return ((0.0, half), (0.0, -half), (-spacing, half), (-spacing, -half))


def keeps(ratio: float, share: float) -> bool:
    least, greatest = split_limits(ratio)
    return least - 1e-12 <= share <= greatest + 1e-12


def split(spacing: float, behind: float) -> float:
    return front_share(even_loads(row(spacing), 1000.0, (-behind, 0.0)))


def test_cg_window_up_to_3500_kg() -> None:
    claim(
        "dguv-window-narrow",
        "Pads 1,600 mm apart on a lift up to 3,500 kg: CG 640 to 960 mm behind the front pads",
        source=SOURCE,
        where="section 3",
        seen=DERIVED,
        printed=(640.0, 960.0),
        ours=cg_window(NARROW, 1600.0),
        tolerance=EXACT,
        reason="exact arithmetic on the rule",
    )
    assert [keeps(NARROW, split(1600.0, x)) for x in (639.0, 640.0, 960.0, 961.0)] == [
        False,
        True,
        True,
        False,
    ]


def test_cg_window_above_3500_kg() -> None:
    claim(
        "dguv-window-wide",
        "Pads 2,000 mm apart on a lift above 3,500 kg: CG 500 to 1,500 mm behind the front pads",
        source=SOURCE,
        where="section 3",
        seen=DERIVED,
        printed=(500.0, 1500.0),
        ours=cg_window(WIDE, 2000.0),
        tolerance=EXACT,
        reason="exact arithmetic on the rule",
    )
    assert [keeps(WIDE, split(2000.0, x)) for x in (499.0, 500.0, 1500.0, 1501.0)] == [
        False,
        True,
        True,
        False,
    ]


@pytest.mark.parametrize(
    ("rule", "ratio", "verdict"),
    [
        (NARROW, 1.49, True),
        (NARROW, 1.50, True),
        (NARROW, 1.51, False),
        (NARROW, 1 / 1.5, True),
        (NARROW, 1 / 1.51, False),
        (WIDE, 2.9, True),
        (WIDE, 3.0, True),
        (WIDE, 3.1, False),
    ],
)
def test_split_at_the_limit(rule: float, ratio: float, verdict: bool) -> None:
    loads = (ratio, ratio, 1.0, 1.0)
    claim(
        f"dguv-split-{rule:g}-{ratio:.3g}",
        f"A split of {ratio:.3g}:1 on a lift allowed {rule:g}:1 "
        f"{'keeps' if verdict else 'breaks'} the rule",
        source=SOURCE,
        where="section 3",
        seen=READ,
        printed=1.0 if verdict else 0.0,
        ours=1.0 if keeps(rule, front_share(loads)) else 0.0,
        tolerance=EXACT,
        reason="a verdict",
    )


def test_taking_off_a_part_breaks_the_split() -> None:
    pads, at, place = row(1500.0), (-650.0, 0.0), (700.0, 0.0)
    before = even_loads(pads, 1500.0, at)
    change = removable(pads, 1500.0, at, place, split_limits(NARROW))
    after_at = ((1500.0 * -650.0 - 250.0 * 700.0) / 1250.0, 0.0)
    after = even_loads(pads, 1250.0, after_at)
    assert after_at[0] == pytest.approx(-920.0)
    assert keeps(NARROW, front_share(before))
    assert not keeps(NARROW, front_share(after))
    claim(
        "dguv-parts-off-loads",
        "1,500 kg, pads 1,500 mm apart, CG 650 mm behind the front pads: front and rear pads "
        "before, and after 250 kg come off 700 mm ahead of the front pads",
        source=SOURCE,
        where="section 3, parts off",
        seen=DERIVED,
        printed=(850.0, 650.0, 483.3, 766.7),
        ours=(*ends(before), *ends(after)),
        tolerance=0.05,
        reason="figures rounded to 0.1 kg",
    )
    assert change.to_split is not None
    assert change.to_empty is not None
    claim(
        "dguv-parts-off-limits",
        "The same: mass that may come off there until the split breaks, and until the front pads "
        "carry nothing",
        source=SOURCE,
        where="section 3, parts off",
        seen=DERIVED,
        printed=(234.4, 579.5),
        ours=(change.to_split, change.to_empty),
        tolerance=0.1,
        reason="figures rounded to 0.1 kg",
    )
    assert change.pad in (0, 1)


def test_taking_off_more_and_more() -> None:
    pads, at, place = row(1.0), (-0.45, 0.0), (0.30, 0.0)
    found: list[float] = []
    for mass in (0.0, 250.0, 350.0):
        left = 2000.0 - mass
        loads = even_loads(pads, left, ((2000.0 * at[0] - mass * place[0]) / left, 0.0))
        found += ends(loads)
    claim(
        "dguv-parts-off-more",
        "2,000 kg, CG 45 % of the way to the rear pads: front and rear load with 0, 250 and 350 kg "
        "taken off 0.30 of the pad spacing ahead of the front pads",
        source=SOURCE,
        where="section 3, parts off",
        seen=DERIVED,
        printed=(1100.0, 900.0, 775.0, 975.0, 645.0, 1005.0),
        ours=found,
        tolerance=1e-6,
        reason="exact arithmetic",
    )
    shares = [found[i] / (found[i] + found[i + 1]) for i in (0, 2, 4)]
    assert [keeps(NARROW, share) for share in shares] == [True, True, False]
    assert [keeps(WIDE, share) for share in shares] == [True, True, True]


def test_a_stand_mends_the_split_and_the_range_is_exact() -> None:
    """A broken split holds again with a stand behind; at its least push it is just 2:3."""
    pads, at, stand = row(1.0), (-0.645_902, 0.0), (-1.2, 0.0)
    demands = stand_demands(pads, 1525.0, at, StandLimits(front_share=split_limits(NARROW)))
    found = preload_range(demands, stand)
    assert isinstance(found, Preload)
    left = 1525.0 - found.low
    after = even_loads(pads, left, ((1525.0 * at[0] - found.low * stand[0]) / left, 0.0))
    claim(
        "dguv-stand",
        "The least push of a stand behind the rear pads that brings a front share of 35.4 % back "
        "to the limit of 2:3",
        source=SOURCE,
        where="section 3",
        seen=DERIVED,
        printed=0.4,
        ours=front_share(after),
        tolerance=EXACT,
        reason="exact arithmetic on the rule",
    )


def test_limits_of_carriages_out_of_step_meet_at_one_span() -> None:
    claim(
        "dguv-out-of-step",
        "50 mm of height difference and 1 degree of tilt are the same at this span, in mm",
        source=SOURCE,
        where="section 5",
        seen=DERIVED,
        printed=2864.0,
        ours=50.0 / sin(radians(1.0)),
        tolerance=1.0,
        reason="rounded to 1 mm",
    )
    angle, sideways = carriage_shift(0.050, 50.0e-3 / sin(radians(1.0)), 0.6)
    assert degrees(angle) == pytest.approx(1.0)
    assert sideways == pytest.approx(0.6 * angle, rel=2e-4)
    assert asin(0.05 / 2.0) == pytest.approx(carriage_shift(0.05, 2.0, 0.6)[0])


def ends(loads: tuple[float, ...]) -> tuple[float, float]:
    return loads[0] + loads[1], loads[2] + loads[3]
