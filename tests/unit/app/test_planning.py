"""What is asked for by a name that is not on file is refused by that name, not planned."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from underset.app import Wish, doubts, make_plan, open_workshop
from underset.errors import NotFoundError

DAY = date(2026, 11, 20)


def test_a_point_set_that_is_not_on_file() -> None:
    """Once it was planned with no points at all, and told that no setting exists."""
    wish = Wish("harbour-hatch", None, ("north",), point_set="sill-boses", remedies=False)
    with pytest.raises(NotFoundError, match="sill-bosses"):
        make_plan(open_workshop(None), wish, DAY)


def test_a_plan_on_answers_of_an_earlier_day_tells_so() -> None:
    """Found by faulty records: an intake of two years ago passed unseen."""
    shop = open_workshop(None)
    hatch = shop.vehicles["harbour-hatch"]
    asked = hatch.intake.model_copy(update={"asked_on": date(2024, 11, 20)})
    old = {**shop.vehicles, "harbour-hatch": hatch.model_copy(update={"intake": asked})}
    wish = Wish("harbour-hatch", None, ("south",), remedies=False)
    told = {}
    for name, one in (("new", shop), ("old", replace(shop, vehicles=old))):
        planned = make_plan(one, wish, DAY)
        told[name] = [(c.place, c.field) for c in doubts.of_plan(one, planned)]
    assert ("vehicles/harbour-hatch.toml", "intake.asked_on") in told["old"]
    assert "intake.asked_on" not in [field for _, field in told["new"]]
