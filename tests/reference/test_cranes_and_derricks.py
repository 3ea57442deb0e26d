"""Outriggers of a crane when one would have to pull.

H. I. Shapiro, J. P. Shapiro, L. K. Shapiro, Cranes and Derricks, p. 278 (after equation 5.22): a
negative support of size a is set to nothing, a is added to the diagonal one and taken from each of
the other two; totals and moments stay. Seen at scribd.com/document/739240328/Cranes-Derricks-307.
Applied here to the four-piers case of 100 at (2, 1) on a pattern of 6 by 4. A rectangle only.
"""

from __future__ import annotations

from math import nan

import pytest

from tests.reference.claims import DERIVED, SECOND_HAND, claim
from underset.statics import contact_loads, even_loads, residuals

PADS = ((3.0, 2.0), (3.0, -2.0), (-3.0, 2.0), (-3.0, -2.0))
SOURCE = "Cranes and Derricks, p. 278"
DIAGONAL = (3, 2, 1, 0)


def by_rule(loads: tuple[float, ...]) -> tuple[float, ...]:
    worst = min(range(4), key=lambda i: loads[i])
    pull = -loads[worst]
    return tuple(
        0.0 if i == worst else load + pull if i == DIAGONAL[worst] else load - pull
        for i, load in enumerate(loads)
    )


def test_no_pull() -> None:
    loads = contact_loads(PADS, 100.0, (2.0, 1.0))
    assert loads is not None
    claim(
        "cranes-no-pull",
        "100 at (2, 1) on 6 by 4, supports that cannot pull: LF, RF, LR, RR",
        source=SOURCE,
        where="after equation 5.22",
        seen=DERIVED,
        printed=(58.33, 25.00, 16.67, 0.0),
        ours=loads,
        tolerance=0.01,
        reason="figures rounded to 0.01",
    )
    assert residuals(PADS, loads, 100.0, (2.0, 1.0)) == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)


@pytest.mark.parametrize("at", [(2.0, 1.0), (-2.2, 0.9), (1.6, -1.3), (-1.5, -1.5), (2.9, 0.5)])
def test_the_rule_of_the_book(at: tuple[float, float]) -> None:
    ours = contact_loads(PADS, 100.0, at)
    claim(
        f"cranes-rule-{at[0]:g}-{at[1]:g}",
        f"100 at {at} on 6 by 4: the book's redistribution and the exact contact solution",
        source=SOURCE,
        where="after equation 5.22",
        seen=SECOND_HAND,
        printed=by_rule(even_loads(PADS, 100.0, at)),
        ours=ours if ours is not None else (nan,) * 4,
        tolerance=1e-9,
        reason="the same statics; one negative support",
    )


def test_two_pulls_mean_it_tips() -> None:
    at = (3.5, 0.0)
    assert sum(load < 0.0 for load in even_loads(PADS, 100.0, at)) == 2
    assert contact_loads(PADS, 100.0, at) is None
