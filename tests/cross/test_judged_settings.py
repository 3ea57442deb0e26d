"""Settings nobody would choose: what the judge lets pass stands before the plain second judge."""

from __future__ import annotations

import pytest

from benchmarks.soundness.settings import swept

# Workshops of seed 11 in which the judge lets many drawn settings pass, and refuses as many.
WORKSHOPS = (23, 120, 297)


@pytest.mark.parametrize("number", WORKSHOPS)
def test_no_setting_that_passes_is_refused_by_the_second_judge(number: int) -> None:
    counts, false = swept(11, number)
    assert false == []
    assert counts["usable"] >= 20
    assert counts["stops"] + counts["not known"] >= 20
