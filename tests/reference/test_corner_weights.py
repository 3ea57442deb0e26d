"""Corner weights of a car and the diagonal that can be set.

"The hows and whys of cornerweights", suspension shop article,
groundcontrolstore.com/pages/the-hows-and-whys-of-cornerweights: left side 1,364 lb with 52.8 % in
front, right side 1,191 lb with 49.0 % in front; target LF 694, RF 606, LR 670, RR 585 with
diagonals 1,279 and 1,276. Definitions:
grassrootsmotorsports.com/articles/understanding-corner-weights. The article counts the diagonal
through the right front; ours is the one through the left front.

Erratum: the target moves the front axle's total from 1,304 to 1,300 lb, which no spring setting
can do.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import DERIVED, SECOND_HAND, claim
from underset.statics import (
    cross_transfer,
    cross_weight,
    from_corners,
    front_share,
    left_share,
    residuals,
    warp_of,
    warp_pattern,
)

SOURCE = "The hows and whys of cornerweights"
BEFORE = (720.0, 584.0, 644.0, 607.0)
TARGET = (694.0, 606.0, 670.0, 585.0)
SQUARE = ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0))


def test_corners_from_the_article() -> None:
    left, right = 1364.0, 1191.0
    corners = (0.528 * left, 0.490 * right, 0.472 * left, 0.510 * right)
    claim(
        "corners-inputs",
        "52.8 % of 1,364 and 49.0 % of 1,191 lb in front: LF, RF, LR, RR in lb",
        source=SOURCE,
        where="first setting",
        seen=SECOND_HAND,
        printed=BEFORE,
        ours=corners,
        tolerance=0.5,
        reason="rounded to whole pounds",
    )


def test_cross_weight() -> None:
    claim(
        "corners-cross",
        "LF 720, RF 584, LR 644, RR 607: diagonal LF + RR and the other one in percent",
        source=SOURCE,
        where="first setting",
        seen=DERIVED,
        printed=(51.94, 48.06),
        ours=(100.0 * cross_weight(BEFORE), 100.0 - 100.0 * cross_weight(BEFORE)),
        tolerance=0.005,
        reason="rounded to 0.01 %",
    )
    claim(
        "corners-target",
        "LF 694, RF 606, LR 670, RR 585: both diagonals in lb and the right front one in percent",
        source=SOURCE,
        where="target",
        seen=SECOND_HAND,
        printed=(1279.0, 1276.0, 49.9),
        ours=(TARGET[0] + TARGET[3], TARGET[1] + TARGET[2], 100.0 - 100.0 * cross_weight(TARGET)),
        tolerance=0.05,
        reason="printed to 0.1 %",
    )


def test_equal_diagonals() -> None:
    d = cross_transfer(BEFORE)
    balanced = (BEFORE[0] - d, BEFORE[1] + d, BEFORE[2] + d, BEFORE[3] - d)
    claim(
        "corners-balanced",
        "Transfer that makes both diagonals equal, and the four weights then, in lb",
        source=SOURCE,
        where="first setting",
        seen=DERIVED,
        printed=(24.75, 695.25, 608.75, 668.75, 582.25),
        ours=(d, *balanced),
        tolerance=0.005,
        reason="exact arithmetic",
    )
    assert cross_weight(balanced) == pytest.approx(0.5)
    assert front_share(balanced) == pytest.approx(front_share(BEFORE))
    assert left_share(balanced) == pytest.approx(left_share(BEFORE))
    assert warp_of(SQUARE, balanced) == pytest.approx(0.0)
    assert warp_of(SQUARE, BEFORE) == pytest.approx(d)


def test_sides_and_ends() -> None:
    weighed = from_corners(BEFORE, (1.5, 1.5), 2.6)
    claim(
        "corners-sides",
        "LF 720, RF 584, LR 644, RR 607: total in lb, left side in percent, front axle in percent",
        source="Understanding corner weights, a race-car magazine",
        where="definitions",
        seen=SECOND_HAND,
        printed=(2555.0, 100.0 * 1364.0 / 2555.0, 100.0 * 1304.0 / 2555.0),
        ours=(weighed.mass.value, 100.0 * left_share(BEFORE), 100.0 * weighed.front_share.value),
        tolerance=1e-9,
        reason="exact arithmetic on the definitions",
    )


def test_target_that_changes_an_axle_is_refused() -> None:
    """What warp can change is one pattern; the rest of the target's change is left over."""
    change = [after - before for after, before in zip(TARGET, BEFORE, strict=True)]
    alpha = warp_of(SQUARE, change)
    left = [c - alpha * n for c, n in zip(change, warp_pattern(SQUARE), strict=True)]
    front = change[0] + change[1]
    claim(
        "corners-misprint",
        "The article's target against its start: change of the front axle in lb, "
        "which must be none",
        source=SOURCE,
        where="target",
        seen=SECOND_HAND,
        printed=-4.0,
        ours=front,
        tolerance=1e-9,
        reason="exact arithmetic on the printed figures",
    )
    assert max(abs(x) for x in left) >= 1.0
    about_y = residuals(SQUARE, change, 0.0, (0.0, 0.0))[2]
    assert abs(about_y) == pytest.approx(8.0)
