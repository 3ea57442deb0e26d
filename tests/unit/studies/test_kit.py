"""What to buy: the rules of the question, the words of the answer, and a quiet solver."""

from __future__ import annotations

import math
import random
import subprocess
import sys

import pytest

from underset.errors import InputError
from underset.studies.kit import (
    KitCase,
    Limits,
    Offer,
    Proof,
    Stock,
    Visit,
    Way,
    greatest_share,
    least_cost,
    trade_off,
)
from underset.studies.kit_case import Buy, Lack, open_ways
from underset.studies.kit_model import build

FOUR_BLOCKS = Offer("four blocks", 80.0, (("block", 4),))
FOUR_HEADS = Offer("four tall heads", 120.0, (("tall-head", 4),))
HATCH = Visit("hatch", 60.0, (Way("east", (("block", 4),)),))
VAN = Visit(
    "van", 40.0, (Way("west", (("tall-head", 4),)), Way("east", (("tall-head", 4), ("block", 2))))
)


def test_buys_what_serves_most_for_the_money():
    kit = greatest_share(KitCase((HATCH, VAN), (FOUR_BLOCKS, FOUR_HEADS)), 100.0)
    assert kit.buys == (Buy("four blocks", "shelf", 1, 80.0),)
    assert kit.share == 0.6
    assert [s.visit for s in kit.served] == ["hatch"]
    assert kit.unserved[0].visit == "van"
    assert kit.unserved[0].bay == "west"
    assert kit.unserved[0].lacking == (("tall-head", 4),)
    assert kit.unserved[0].cost == 120.0


def test_what_is_owned_is_not_bought_again():
    case = KitCase((HATCH,), (FOUR_BLOCKS,), (Stock("block", 4),))
    kit = least_cost(case, 1.0)
    assert kit.proof is Proof.OPTIMAL
    assert kit.cost == 0.0
    assert kit.buys == ()


def test_stock_at_another_bay_does_not_help():
    case = KitCase((HATCH,), (FOUR_BLOCKS,), (Stock("block", 4, "west"),))
    assert least_cost(case, 1.0).cost == 80.0


def test_a_shelf_at_every_bay_costs_twice_where_two_bays_want_the_same():
    both = (HATCH, Visit("saloon", 10.0, (Way("west", (("block", 4),)),)))
    assert least_cost(KitCase(both, (FOUR_BLOCKS,)), 1.0).cost == 80.0
    apart = least_cost(KitCase(both, (FOUR_BLOCKS,), shared=False), 1.0)
    assert apart.cost == 160.0
    assert {b.where for b in apart.buys} == {"east", "west"}


def test_two_at_once_want_two_sets_and_spare_wants_one_more():
    case = KitCase((HATCH,), (Offer("block", 20.0, (("block", 1),)),))
    assert least_cost(case, 1.0).cost == 80.0
    two = KitCase(case.visits, case.offers, at_once=2)
    assert least_cost(two, 1.0).cost == 160.0
    spare = KitCase(case.visits, case.offers, spare={"block": 0.25})
    assert least_cost(spare, 1.0).cost == 100.0


def test_a_group_in_the_shop_together_shares_the_pieces():
    saloon = Visit("saloon", 10.0, (Way("west", (("block", 4),)),))
    case = KitCase((HATCH, saloon), (FOUR_BLOCKS,), together=(("hatch", "saloon"),))
    assert least_cost(case, 1.0).cost == 160.0
    assert [s.visit for s in greatest_share(case, 80.0).served] == ["hatch"]


def test_a_group_for_one_bay_can_never_be_served_together():
    other = Visit("saloon", 10.0, (Way("east", (("block", 4),)),))
    case = KitCase((HATCH, other), (FOUR_BLOCKS,), together=(("hatch", "saloon"),))
    kit = least_cost(case, 1.0)
    assert kit.proof is Proof.INFEASIBLE
    assert kit.reachable == pytest.approx(60.0 / 70.0)


def test_out_of_reach_says_how_far_one_can_get():
    never = Visit("bus", 100.0, ())
    kit = least_cost(KitCase((HATCH, VAN, never), (FOUR_BLOCKS, FOUR_HEADS)), 0.9)
    assert kit.proof is Proof.INFEASIBLE
    assert kit.reachable == pytest.approx(0.5)
    assert math.isnan(kit.cost)
    bus = next(u for u in kit.unserved if u.visit == "bus")
    assert (bus.bay, bus.lacking, bus.cost) == ("", (), math.inf)


def test_what_nobody_sells_is_lacking_at_no_price():
    kit = greatest_share(KitCase((VAN,), (FOUR_BLOCKS,)), 500.0)
    assert kit.share == 0.0
    assert kit.buys == ()
    assert kit.unserved[0].cost == math.inf


def test_the_curve_holds_every_point_worth_having_cheapest_first():
    curve = trade_off(KitCase((HATCH, VAN), (FOUR_BLOCKS, FOUR_HEADS)))
    assert curve.complete
    assert [(k.cost, k.share) for k in curve.points] == [(0.0, 0.0), (80.0, 0.6), (200.0, 1.0)]


def test_a_curve_cut_short_says_so():
    curve = trade_off(KitCase((HATCH, VAN), (FOUR_BLOCKS, FOUR_HEADS)), most_points=2)
    assert not curve.complete
    assert [k.cost for k in curve.points] == [80.0, 200.0]


def test_a_quick_look_takes_a_few_budgets_and_is_never_called_complete():
    case = KitCase((HATCH, VAN), (FOUR_BLOCKS, FOUR_HEADS))
    curve = trade_off(case, budgets=(300.0, 50.0, 100.0, 90.0))
    assert [(k.cost, k.share) for k in curve.points] == [(0.0, 0.0), (80.0, 0.6), (200.0, 1.0)]
    assert not curve.complete


def test_equal_shares_are_had_for_the_least_money():
    dear = Offer("four blocks in a tin", 95.0, (("block", 4),))
    kit = greatest_share(KitCase((HATCH,), (dear, FOUR_BLOCKS)), 1000.0)
    assert kit.cost == 80.0
    assert kit.tie is Proof.OPTIMAL


def test_no_visits_and_no_offers_are_answered_too():
    assert greatest_share(KitCase((), ()), 10.0).cost == 0.0
    assert least_cost(KitCase((), (FOUR_BLOCKS,)), 1.0).proof is Proof.OPTIMAL


def test_a_way_is_open_only_with_every_piece():
    case = KitCase((VAN,), (FOUR_BLOCKS, FOUR_HEADS))
    assert case.lacks(VAN.ways[1]) == (Lack("block", "shelf", 2), Lack("tall-head", "shelf", 4))
    assert open_ways(case, [Buy("four blocks", "shelf", 3, 240.0)]) == [None]
    assert open_ways(case, [Buy("four tall heads", "shelf", 1, 120.0)]) == [VAN.ways[0]]


def hard_case() -> KitCase:
    """Many fours out of twenty types: not settled at the root."""
    rng = random.Random(5)
    types = [f"t{i:02}" for i in range(20)]
    visits = tuple(
        Visit(
            f"v{i}",
            float(rng.randint(1, 50)),
            tuple(Way("east", tuple((t, 4) for t in rng.sample(types, 4))) for _ in range(2)),
        )
        for i in range(70)
    )
    offers = tuple(Offer(f"four {t}", float(rng.randint(50, 300)), ((t, 4),)) for t in types)
    return KitCase(visits, offers)


def test_stopped_early_is_never_called_proved():
    kit = greatest_share(hard_case(), 1000.0, Limits(seconds=60.0, nodes=1))
    assert kit.proof is Proof.FEASIBLE
    assert kit.goal.gap > 0.0
    assert kit.goal.bound > kit.goal.value
    assert sum(b.price for b in kit.buys) <= 1000.0


def test_no_time_at_all_gives_no_answer_and_says_limit():
    kit = least_cost(hard_case(), 0.9, Limits(seconds=0.0))
    assert kit.proof is Proof.LIMIT
    assert not kit.buys
    assert not kit.proof.has_answer


def test_visits_that_ask_alike_are_one_kind_so_the_programme_stays_small():
    ways = [(Way("east", (("block", 4),)),), (Way("west", (("tall-head", 4),)),), ()]
    visits = tuple(Visit(f"v{i}", 1.0, ways[i % 3]) for i in range(100_000))
    case = KitCase(visits, (FOUR_BLOCKS, FOUR_HEADS))
    assert greatest_share(case, 1000.0).share == pytest.approx(66_667 / 100_000)
    assert len(build(case).milp.whole) == 4  # two offers and one step of each type


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"at_once": 0}, "at_once"),
        ({"spare": {"block": 1.5}}, "spare.block"),
        ({"visits": (HATCH, HATCH)}, "visit"),
        ({"visits": (Visit("x", -1.0, ()),)}, "visit x"),
        ({"visits": (Visit("x", math.nan, ()),)}, "visit x"),
        ({"visits": (Visit("x", 1.0, (Way("east", (("block", 0),)),)),)}, "visit x, block"),
        ({"offers": (Offer("o", math.inf, (("block", 1),)),)}, "offer o"),
        ({"offers": (Offer("o", 1.0, ()),)}, "offer o"),
        ({"offers": (Offer("o", 1.0, (("block", 1),), -1),)}, "offer o"),
        ({"stock": (Stock("block", -1),)}, "stock, block"),
        ({"together": (("nobody",),)}, "together"),
    ],
)
def test_figures_that_cannot_be_are_refused_by_name(change: dict, field: str):
    with pytest.raises(InputError) as caught:
        KitCase(**({"visits": (HATCH,), "offers": (FOUR_BLOCKS,)} | change))
    assert caught.value.field == field


def test_questions_that_cannot_be_are_refused():
    case = KitCase((HATCH,), (FOUR_BLOCKS,))
    with pytest.raises(InputError):
        least_cost(case, 1.2)
    with pytest.raises(InputError):
        greatest_share(case, math.nan)


def test_the_solver_prints_nothing_and_leaves_standard_output_as_it_was():
    code = (
        "import sys; from underset.studies.kit import *; "
        "sys.stdout.write('before '); "
        "visit = Visit('v', 1.0, (Way('b', (('x', 1),)),)); "
        "case = KitCase((visit,), (Offer('o', 1.0, (('x', 1),)),)); "
        "kit = greatest_share(case, 5.0); kit = greatest_share(case, 5.0); "
        "sys.stdout.write(f'after {kit.share}')"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": ":".join(sys.path)},
    )
    assert done.stdout == "before after 1.0"
    assert done.stderr == ""
