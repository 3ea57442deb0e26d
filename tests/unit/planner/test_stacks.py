from __future__ import annotations

from dataclasses import replace

import pytest

from tests.judge_cases import head, plain_case, points, spacer, vehicle
from underset.planner.search import Limits, search
from underset.planner.stacks import (
    choice_of,
    feasible,
    level_choices,
    lowest,
    seated,
    stack_choices,
    stacks_for,
)
from underset.setting.evaluate import Case
from underset.setting.numbers import ZoneNumbers

HIGH = vehicle(point_sets=(points(up=0.34),))
SHELF = (head(travel=0.05), spacer("a", 0.04), spacer("b", 0.09))


def level(case: Case):
    sets = case.vehicle.point_sets[0]
    return list(level_choices(case, sets, tuple(feasible(case, p) for p in sets.points)))


def test_spacers_in_another_order_are_the_same_stack() -> None:
    case = plain_case(HIGH, None, SHELF)
    stacks = stacks_for(case, HIGH.point_sets[0].points[0])
    kinds = [tuple(sorted(s.ids)) for s in stacks]
    assert len(kinds) == len(set(kinds))
    assert ("a", "b", "pad") in kinds


def test_all_four_touch_together() -> None:
    for choice in level(plain_case(HIGH, None, SHELF)):
        for stack, screw, p in zip(
            choice.stacks, choice.screws, HIGH.point_sets[0].points, strict=True
        ):
            assert choice.seat + stack.fixed + screw == pytest.approx(p.up)
            assert -1e-9 <= screw <= stack.travel + 1e-9


def test_fewest_pieces_come_first() -> None:
    pieces = [c.pieces for c in level(plain_case(HIGH, None, SHELF))]
    assert pieces == sorted(pieces)
    assert pieces[0] == 4


def test_what_the_shelf_lacks_is_not_used() -> None:
    short = plain_case(HIGH, None, (head(travel=0.05), spacer("a", 0.04, 2)))
    for choice in level(short):
        assert sum(s.ids.count("a") for s in choice.stacks) <= 2
    assert level(plain_case(HIGH, None, (head(count=3),))) == []


def test_a_seat_is_brought_down_as_far_as_the_screws_allow() -> None:
    case = plain_case(HIGH, None, SHELF)
    sets, choice = HIGH.point_sets[0], level(case)[0]
    assert choice.seat == pytest.approx(0.29)
    down = seated(choice, sets, 0.25, 0.27)
    assert down is not None
    assert down.seat == pytest.approx(0.25)
    assert seated(choice, sets, 0.0, 0.23) is None
    assert lowest(choice, sets).seat == pytest.approx(0.24)


def test_choices_for_the_hand_stand_at_different_heights() -> None:
    case = plain_case(HIGH, None, SHELF)
    seats = [round(c.seat, 2) for c in stack_choices(case, HIGH.point_sets[0], 5)]
    assert len(seats) == len(set(seats)) == 5


def low_boards(underside: float) -> tuple[ZoneNumbers, ...]:
    return tuple(
        ZoneNumbers(
            f"board-{s}", "running board",
            ((-0.3, s * 0.80), (-2.4, s * 0.80), (-2.4, s * 0.95), (-0.3, s * 0.95)),
            underside, False, True, False,
        )
        for s in (1, -1)
    )  # fmt: skip


def test_running_boards_ask_for_a_taller_stack() -> None:
    """With one pad alone the arms would stand in the boards: spacers let the seat come down."""
    boards = replace(HIGH, zones=low_boards(0.25))
    alone = search([plain_case(boards, None, (head(travel=0.05),))], Limits(choices=1))
    assert alone.outcome.value == "none"
    assert ("plain", "arm_zone") in alone.refused
    found = search([plain_case(boards, None, SHELF)], Limits(choices=1)).ranked()
    setting = found[0].evaluation.setting
    assert all("pad" in a.stack_ids and len(a.stack_ids) >= 2 for a in setting.arms)
    assert setting.seat + 0.02 + 0.025 <= 0.25 + 1e-9


def test_a_setting_gives_its_choice_back() -> None:
    case = plain_case(HIGH, None, SHELF)
    setting = search([case], Limits(choices=1)).ranked()[0].evaluation.setting
    choice = choice_of(case, setting)
    assert choice.seat == setting.seat
    assert [s.ids for s in choice.stacks] == [a.stack_ids for a in setting.arms]
