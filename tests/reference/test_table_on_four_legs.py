"""A table on four legs by the product rule.

physics.stackexchange.com/questions/276007, "Estimate the reaction force on each leg of a 4-legged
table": R = P (x/a)(y/b) and so on, for a rectangle. It keeps force and both moments, never turns
negative, and differs from equal springs by a piece of warp: statics alone does not choose between
them.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import DERIVED, claim
from underset.statics import even_loads, residuals, warp_of, warp_pattern

PADS = ((3.0, 2.0), (3.0, -2.0), (-3.0, 2.0), (-3.0, -2.0))
AT = (2.0, 1.0)


def product_rule(weight: float, at: tuple[float, float]) -> tuple[float, ...]:
    front, left = (at[0] + 3.0) / 6.0, (at[1] + 2.0) / 4.0
    return tuple(
        weight * share
        for share in (
            front * left,
            front * (1.0 - left),
            (1.0 - front) * left,
            (1.0 - front) * (1.0 - left),
        )
    )


def test_product_rule_is_springs_plus_warp() -> None:
    rule, springs = product_rule(100.0, AT), even_loads(PADS, 100.0, AT)
    alpha = warp_of(PADS, rule)
    claim(
        "table-product-rule",
        "100 at (2, 1) on 6 by 4 by the product rule: LF, RF, LR, RR",
        source="Question on a four-legged table",
        where="answer with the product rule",
        seen=DERIVED,
        printed=(62.5, 20.83, 12.5, 4.17),
        ours=[s + alpha * n for s, n in zip(springs, warp_pattern(PADS), strict=True)],
        tolerance=0.005,
        reason="rounded to 0.01",
    )
    assert residuals(PADS, rule, 100.0, AT) == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)
    assert alpha == pytest.approx(62.5 - 325.0 / 6.0)
