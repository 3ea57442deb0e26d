"""Which lift: gains are differences of coverage, a better geometry never takes fewer vehicles."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from underset.app import open_workshop, studying
from underset.errors import InputError, NotFoundError
from underset.planner import search
from underset.studies import Choosing, choose, least_cost, lifts_table
from underset.studies.coverage_table import Telling
from underset.studies.lifts import CHANGES, Sensitivity

DAY = date(2026, 11, 20)
KEPT = ("lock-runabout", "crew-pickup", "market-suv")


@pytest.fixture(scope="module")
def asked() -> Choosing:
    shop = open_workshop(None)
    few = replace(shop, vehicles={k: shop.vehicle(k) for k in KEPT}, jobs={})
    offered = {name: shop.bay(name) for name in ("south", "yard")}
    return replace(studying.choosing(few, offered, "yard", DAY), sensitivity=False)


def test_the_best_candidate_adds_what_it_takes_alone(asked: Choosing) -> None:
    found = choose(asked)
    yard = found[0]
    assert yard.id == "yard"  # the pickup is the one vehicle the other bays refuse
    whole = sum(asked.visits.values())
    assert yard.gain == pytest.approx(asked.visits["crew-pickup"] / whole)
    assert yard.takes == ("crew-pickup",)
    for c in found:
        before = sum(asked.visits.get(v, 0.0) for v in asked.served) / whole
        assert c.shop == pytest.approx(before + c.gain)
        assert c.shop_with_shelf >= c.shop - 1e-12


def test_sensitivity_asks_every_figure(asked: Choosing) -> None:
    one = replace(asked, candidates=asked.candidates[:1], sensitivity=True)
    rows = choose(one)[0].sensitivity
    assert [r.figure for r in rows] == list(CHANGES)
    assert next(r for r in rows if r.figure == "capacity").gain >= 0.0


def test_a_longer_arm_reaches_what_a_short_one_cannot() -> None:
    shop = open_workshop(None)
    few = replace(shop, vehicles={"parcel-van": shop.vehicle("parcel-van")}, jobs={})
    asked = studying.choosing(few, {"north": shop.bay("north")}, None, DAY)
    case = asked.candidates[0].cases[0]
    assert ("north", "arm_reach") in search([case]).refused
    longer = CHANGES["arm reach"][1](case)
    assert ("north", "arm_reach") not in search([longer]).refused


def test_json_has_no_figure_that_is_not_one(asked: Choosing) -> None:
    text = lifts_table.as_json(choose(asked))
    assert "NaN" not in text
    assert '"lifts"' in text


def test_a_change_is_told_in_the_units_of_the_shop() -> None:
    longer, lower, more = (
        Sensitivity("arm reach", CHANGES[f][0], 0.0)
        for f in ("arm reach", "lowest seat", "capacity")
    )
    metric, inch, german = Telling(), Telling(units="inch"), Telling(units="inch", language="de")
    assert [lifts_table.changed(s, metric) for s in (longer, lower)] == ["+100 mm", "−20 mm"]
    assert [lifts_table.changed(s, inch) for s in (longer, lower)] == ["+3.94 in", "−0.79 in"]
    assert lifts_table.changed(longer, german) == "+3,94 in"
    assert lifts_table.changed(more, inch) == "+25 %"


def test_a_bay_to_replace_must_be_there() -> None:
    shop = open_workshop(None)
    with pytest.raises(NotFoundError):
        studying.choosing(shop, dict(shop.bays), "cellar", DAY)


def test_a_folder_without_bays_is_refused(tmp_path: object) -> None:
    with pytest.raises(InputError, match="bay files"):
        studying.read_bays(tmp_path)  # type: ignore[arg-type]


def test_what_to_buy_serves_what_the_planner_then_finds() -> None:
    shop = open_workshop(None)
    few = replace(shop, vehicles={k: shop.vehicle(k) for k in ("island-minibus", "lock-runabout")})
    case = studying.buying(replace(few, jobs={}), DAY)
    kit = least_cost(case, 1.0)
    assert kit.proof.has_answer
    assert [(b.offer, b.packs) for b in kit.buys] == [("heavy-spacer-100", 4)]
