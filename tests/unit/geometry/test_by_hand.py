"""Limits, teeth and outlines with answers worked out by hand, one for each case of a rule."""

from __future__ import annotations

from collections.abc import Callable
from math import atan2, cos, hypot, inf, pi, radians, sin, sqrt
from random import Random

import pytest

from tests.refusals import told_by
from underset.errors import InputError
from underset.geometry import (
    Arm,
    Blocked,
    Path,
    clip_convex,
    convex_pieces,
    disc_to_polygon,
    grown,
    is_convex,
    kernels,
    outline_kernels,
    tyre_rectangle,
    way_in,
)
from underset.geometry.strips import check_profile
from underset.geometry.wayin_reaches import free_at, has, scene_of

Outline = tuple[tuple[float, float], ...]


def block(near: float, far: float, low: float, high: float) -> Outline:
    return ((near, low), (far, low), (far, high), (near, high))


# --- how far an arm along +x may reach ------------------------------------------------------------

TAPER = ((-0.05, 0.05, 0.0, -0.05), (0.45, 0.15, 0.0, -0.05))
"""The tip 50 mm beyond the pad, half as wide again half a metre inward."""


def test_the_tip_stops_the_gap_before_a_wall() -> None:
    """Tip at r + 0.05; wall at 1.0, gap 0.1: r = 0.85."""
    wall = block(1.0, 1.2, -0.5, 0.5)
    assert outline_kernels.arm_limit(TAPER, wall, 0.1) == pytest.approx(0.85)


def test_a_corner_within_the_tips_width_stops_its_face() -> None:
    """A post narrower than the tip: the face meets it first, not a corner."""
    post = block(1.0, 1.2, -0.02, 0.02)
    assert outline_kernels.arm_limit(TAPER, post, 0.1) == pytest.approx(0.85)


def test_a_flank_stops_at_a_corner_beside_it() -> None:
    """A post 0.1 m beside the axis, no gap: the arm is 0.1 m wide 0.25 m behind its tip."""
    post = block(0.9, 1.2, 0.1, 0.3)
    assert outline_kernels.arm_limit(TAPER, post, 0.0) == pytest.approx(0.9 + 0.2)


def test_a_flank_keeps_the_gap_square_to_itself() -> None:
    """Slope 0.1 in 0.5: the flank's foot lies gap / cos from the corner, along y."""
    post = block(0.9, 1.2, 0.1, 0.3)
    gap = 0.03
    outward = gap * hypot(0.5, 0.1) / 0.5
    back = (0.1 - outward - 0.05) / 0.1 * 0.5 - 0.05
    assert outline_kernels.arm_limit(TAPER, post, gap) == pytest.approx(0.9 + back)


def test_an_arm_at_its_limit_keeps_the_gap_and_a_little_longer_does_not() -> None:
    """Stations close together and corners beside them: 300 drawn outlines ahead of the pivot."""
    draw, seen = Random(7), 0
    for _ in range(300):
        widths = sorted(draw.uniform(0.02, 0.25) for _ in range(3))
        inward = sorted(draw.uniform(-0.05, 0.15) for _ in range(3))
        profile = tuple((d, w, 0.0, -0.05) for d, w in zip(inward, widths, strict=True))
        middle, size = (draw.uniform(0.8, 1.2), draw.uniform(-0.4, 0.4)), draw.uniform(0.02, 0.3)
        turns = sorted(draw.uniform(0.0, 2.0 * pi) for _ in range(4))
        post = tuple((middle[0] + size * cos(t), middle[1] + size * sin(t)) for t in turns)
        gap = draw.uniform(0.0, 0.15)
        limit = outline_kernels.arm_limit(profile, post, gap)
        if limit == inf:
            continue
        seen += 1
        at, beyond = (
            outline_kernels.arm_gap(outline_kernels.slabs(reach, profile), post)
            for reach in (limit, limit + 1e-3)
        )
        assert at >= gap - 1e-9
        assert beyond < gap or beyond == 0.0
    assert seen > 100


def test_what_stands_clear_of_the_whole_arm_is_no_limit() -> None:
    for clear in (block(0.5, 1.0, 0.25, 0.5), block(0.5, 1.0, -0.5, -0.25)):
        assert outline_kernels.arm_limit(TAPER, clear, 0.1) == inf
    assert outline_kernels.arm_limit(TAPER, block(-0.5, -0.1, -0.5, 0.5), 0.1) == inf


@pytest.mark.parametrize(
    ("aside", "limit"),
    [
        (0.04, 0.0),  # within the tip's width, whose face is then at the pivot already
        (0.10, 0.20),  # half way between the widths 0.05 and 0.15
        (0.15, 0.45),
        (0.16, inf),
    ],
)
def test_the_end_at_the_pivot_grows_wider(aside: float, limit: float) -> None:
    for post in (block(-0.2, 0.0, aside, 0.4), block(-0.2, 0.0, -0.4, -aside)):
        assert outline_kernels.root_limit(TAPER, post, 0.0) == pytest.approx(limit)


def test_the_end_at_the_pivot_with_a_gap() -> None:
    """Behind the pivot by 0.03 with a gap of 0.05: the circle's half chord is 0.04 wide."""
    post = block(-0.2, -0.03, 0.14, 0.4)
    assert outline_kernels.root_limit(TAPER, post, 0.05) == pytest.approx(0.20)
    assert outline_kernels.root_limit(TAPER, block(-0.2, -0.06, -0.4, 0.4), 0.05) == inf


def test_a_tip_behind_its_pad_reaches_so_much_farther() -> None:
    """The profile begins 0.02 m inward: at the pivot from that reach on."""
    short = ((0.02, 0.05, 0.0, -0.05), (0.5, 0.15, 0.0, -0.05))
    assert outline_kernels.root_limit(short, block(-0.2, 0.0, -0.4, 0.4), 0.0) == pytest.approx(
        0.02
    )


def test_an_arm_thinner_than_nothing_stops_nowhere() -> None:
    """In every swing within 0.1 rad of it, only the tip's own line is stopped for certain."""
    arm = Arm((0.0, 0.0), 0.0, 1, radians(-90.0), radians(90.0), 0.3, 1.0)
    wall = block(0.5, 0.6, -0.1, 0.1)
    scene = scene_of(arm, (0.3, 1.0), (TAPER, 0.0, 0.0), ((wall,), ()))
    found = free_at(scene, 0.0, -0.1)
    assert [end for span in found for end in span] == pytest.approx([0.3, 0.5, 0.6, 1.0])
    ((_, end),) = free_at(scene, 0.0, 0.0)
    assert end == pytest.approx(0.45)


def test_a_thinner_arm_stops_where_its_own_flank_meets_a_corner() -> None:
    """For every swing within a turn that takes 20 mm off: half widths 0.03 and 0.13, tip 20 mm in.

    The corner stands 0.04 m beside the axis, which the flank reaches 0.05 m behind the tip.
    """
    arm = Arm((0.0, 0.0), 0.0, 1, radians(-90.0), radians(90.0), 0.3, 1.0)
    even = ((0.0, 0.05, 0.0, -0.05), (0.5, 0.15, 0.0, -0.05))
    beside = block(0.5, 0.6, 0.04, 0.3)
    scene = scene_of(arm, (0.3, 1.0), (even, 0.0, 0.0), ((beside,), ()))
    ((low, high),) = free_at(scene, 0.0, -0.02 / hypot(0.6, 0.3))
    assert (low, high) == (pytest.approx(0.3), pytest.approx(0.57))


def test_a_union_holds_its_ends() -> None:
    assert has(((0.0, 1.0),), 0.0) and has(((0.0, 1.0),), 1.0)
    assert not has(((0.0, 1.0), (2.0, 3.0)), 1.5)


THIN = ((0.0, 0.02, 0.0, -0.05),)


def test_what_stands_next_before_the_goal_is_named() -> None:
    """A bar shuts off what lies beyond it; a post nearer to the pivot only halves the way to it."""
    arm = Arm((0.0, 0.0), 0.0, 1, radians(-90.0), radians(90.0), 0.3, 1.05)
    post, bar = block(0.5, 0.55, -0.05, 0.05), block(0.8, 0.82, -1.0, 1.0)
    for obstacles, named in (((post, bar), 1), ((bar, post), 0)):
        found = way_in(arm, (1.2, 0.3), (0.0, 1.0), THIN, 0.01, (), obstacles, 0.0)
        assert isinstance(found, Blocked)
        assert (found.obstacle, found.swing, found.proved) == (named, 0.0, True)


def test_a_way_between_two_gates_has_no_detour() -> None:
    """One gate is passed outside 0.82 m, the other inside 0.88 m: out, across and out again."""
    arm = Arm((0.0, 0.0), 0.0, 1, radians(-20.0), radians(100.0), 0.6, 1.2)

    def gate(degrees: float, inner: float, outer: float) -> Outline:
        c, s = cos(radians(degrees)), sin(radians(degrees))
        box = block(inner, outer, -0.03, 0.03)
        return tuple((x * c - y * s, x * s + y * c) for x, y in box)

    gates = (gate(60.0, 0.4, 0.75), gate(25.0, 0.95, 1.4))
    found = way_in(arm, (radians(90.0), 0.6), (0.0, 0.9), THIN, 0.05, (), gates, 0.02)
    assert isinstance(found, Path)
    (_, start), (_, out), (_, across), (_, end) = found.corners
    assert (start, end) == (0.6, 0.9)
    assert 0.82 <= out == across <= 0.88


# --- parts of segments and outlines ---------------------------------------------------------------


def test_a_segment_that_touches_from_outside_touches_at_its_end() -> None:
    square = block(0.0, 1.0, 0.0, 1.0)
    assert outline_kernels.segment_inside((1.0, 0.5), (2.0, 0.5), square) == (0.0, 0.0)
    assert outline_kernels.segment_inside((2.0, 0.5), (1.0, 0.5), square) == (1.0, 1.0)
    first, last = outline_kernels.segment_inside((1.5, 0.5), (2.0, 0.5), square)
    assert first > last


@pytest.mark.parametrize("turn", [1, -1])
def test_either_way_round_a_square_is_convex(turn: int) -> None:
    assert is_convex(block(0.0, 1.0, 0.0, 1.0)[::turn])
    assert convex_pieces(block(0.0, 1.0, 0.0, 1.0)[::turn]) == (block(0.0, 1.0, 0.0, 1.0)[::turn],)


@pytest.mark.parametrize("turn", [1, -1])
def test_a_straight_corner_is_no_bend(turn: int) -> None:
    halved = ((0.0, 0.0), (0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    assert is_convex(halved[::turn])


def test_the_side_that_closes_an_outline_is_a_side() -> None:
    """The left side of the block runs from its last corner to its first."""
    assert outline_kernels.point_outline((-1.0, 0.5), block(0.0, 1.0, 0.0, 1.0)) == 1.0


def test_a_circle_crosses_a_segment_at_its_very_end() -> None:
    assert outline_kernels.circle_segment(1.0, (1.0, 0.0), (2.0, 0.0)) == [0.0]
    assert outline_kernels.circle_segment(1.0, (2.0, 0.0), (1.0, 0.0)) == [0.0]
    assert outline_kernels.circle_segment(1.0, (0.5, 0.0), (0.5, 0.0)) == []


def test_a_bottle_whose_neck_closes_grows_as_its_hull() -> None:
    """The neck is 0.1 m wide and grows by 0.1 m from either side; no edge turns round."""
    bottle = (
        *((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (2.05, 3.0), (2.05, 2.5), (3.0, 2.5)),
        *((3.0, 0.5), (1.0, 0.5), (1.0, 2.5), (1.95, 2.5), (1.95, 3.0), (0.0, 3.0)),
    )
    assert outline_kernels.area_twice(grown(bottle, 0.1)) == pytest.approx(2.0 * 4.2 * 3.2)
    assert outline_kernels.area_twice(grown(bottle, 0.01)) < 2.0 * 4.0 * 3.0


@pytest.mark.parametrize("turn", [1, -1])
@pytest.mark.parametrize("at", [(0.0, 0.0), (10.0, 0.0), (0.0, 10.0), (-10.0, -10.0)])
def test_a_square_grows_wherever_it_stands(turn: int, at: tuple[float, float]) -> None:
    x, y = at
    square = block(x, x + 1.0, y, y + 1.0)[::turn]
    found = grown(square, 0.25)
    assert outline_kernels.area_twice(found) == pytest.approx(2.0 * 1.5 * 1.5)
    assert outline_kernels.extent(found) == pytest.approx((x - 0.25, x + 1.25, y - 0.25, y + 1.25))
    assert outline_kernels.area_twice(grown(square, 0.0)) == pytest.approx(2.0)


def test_a_notch_between_slanted_arms_stays_open() -> None:
    """An outer edge straddles the line of an inner one without meeting it: no edges cross."""
    arrow = tuple(
        (0.3 * x, 0.3 * y) for x, y in ((0, 0), (4, -4), (2.6, -2.4), (1.5, 0), (2.6, 2.4), (4, 4))
    )
    found = grown(arrow, 0.02)
    assert len(found) <= 8
    assert disc_to_polygon((0.75, 0.0), 0.0, found) == pytest.approx(
        disc_to_polygon((0.75, 0.0), 0.0, arrow) - 0.02
    )


def test_clipping_away_everything_leaves_nothing() -> None:
    assert clip_convex(block(2.0, 3.0, 0.0, 1.0), block(0.0, 1.0, 0.0, 1.0)) == ()


def test_a_tyre_grows_along_and_across() -> None:
    """A wheel of 0.6 m met 0.1 m above the floor: chord 2 sqrt(0.3^2 - 0.2^2)."""
    found = tyre_rectangle((0.0, 0.0), 0.0, 0.2, 0.6, 0.1, (0.03, 0.01))
    half = sqrt(0.09 - 0.04) + 0.03
    assert outline_kernels.extent(found) == pytest.approx((-half, half, -0.11, 0.11))


# --- teeth ----------------------------------------------------------------------------------------

LIMITED = Arm((0.0, 0.0), 0.0, 1, radians(-15.0), radians(100.0), 0.6, 1.15)
TEETH = (radians(4.0), radians(1.0))


def best(degrees: float) -> tuple[bool, int]:
    point = (0.9 * cos(radians(degrees)), 0.9 * sin(radians(degrees)))
    found, tooth, *_ = kernels.best_tooth(LIMITED.numbers(), TEETH, point, (0.01, 0.01))
    return found, tooth


def test_a_tooth_beyond_the_swing_limits_holds_nothing() -> None:
    """Teeth stand at -19, -15, ... 97, 101 degrees; the limits are -15 and 100."""
    assert best(-15.0) == (True, -4)
    assert best(97.0) == (True, 24)
    assert best(-19.0)[0] is False
    assert best(101.0)[0] is False


def test_teeth_near_a_point_are_those_its_zone_can_meet() -> None:
    """A zone 10 mm round a point at 0.9 m spans 0.9 degrees either way: one tooth at most."""
    at = (0.9 * cos(radians(41.0)), 0.9 * sin(radians(41.0)))
    zone = (0.01, 0.01)
    assert kernels.teeth_near(LIMITED.numbers(), TEETH, at, zone) == (10, 10)
    assert kernels.tooth_range(LIMITED.numbers(), TEETH) == (-4, 24)
    assert atan2(at[1], at[0]) == pytest.approx(radians(41.0))


def test_a_zone_near_the_pivot_is_met_from_the_far_end_of_a_wide_swing() -> None:
    """Point at 166.6 degrees; swings from -173 to 143: a tooth at 142 degrees meets the wide zone.

    Found by trying every tooth for its reaches; wrapped to the nearer end, the point lies past it.
    """
    arm = (0.0, 0.0, 0.0, 1.0, -3.0229, 2.5041, 0.3, 1.2)
    teeth, at, zone = (0.05, 0.17754), (-0.4160, 0.0992), (0.2937, 0.1245)
    first, last = kernels.tooth_range(arm, teeth)
    reaching = []
    for k in range(first, last + 1):
        low, high = kernels.reach_in_zone(arm, teeth[1] + k * teeth[0], at, zone)
        reaching += [k] if low <= high else []
    assert reaching
    found, tooth, *_ = kernels.best_tooth(arm, teeth, at, zone)
    assert found
    assert tooth in reaching


# --- refusals -------------------------------------------------------------------------------------

BOW = ((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0))
STATION = (0.0, 0.05, 0.0, -0.05)
REFUSED: tuple[tuple[Callable[[], object], str, object, str, str], ...] = (
    (lambda: tyre_rectangle((0.0, 0.0), 0.0, 0.2, 0.6, -0.1), "height above floor", -0.1,
     "zero or more metres", ""),
    (lambda: check_profile(()), "arm profile", (), "at least one station",
     "Measure the arm's tip."),
    (lambda: check_profile(((0.0, -0.01, 0.0, 0.0),)), "half width", -0.01,
     "zero or more metres", ""),
    (lambda: check_profile((STATION, (-0.1, 0.05, 0.0, 0.0))), "from_tip", -0.1,
     "stations in order from the tip to the root", ""),
    (lambda: check_profile((STATION, (0.1, 0.04, 0.0, 0.0))), "half width", 0.04,
     "widths that do not shrink from the tip towards the root",
     "Give the widest width met so far."),
    (lambda: convex_pieces(BOW), "outline", BOW, "an outline that does not meet itself",
     "Check the corners."),
    (lambda: grown(BOW, -0.1), "outline to grow", (4, -0.1), "three corners and 0 m or more", ""),
    (lambda: scene_of(LIMITED, (0.6, 1.0), ((STATION,), 0.1, -0.2), ((), ())),
     "tip radius or gap", -0.2, "zero or more metres", ""),
)  # fmt: skip


@pytest.mark.parametrize(("call", "field", "value", "allowed", "remedy"), REFUSED)
def test_a_refusal_tells_field_value_and_what_may_stand_there(
    call: Callable[[], object], field: str, value: object, allowed: str, remedy: str
) -> None:
    assert told_by(call) == (field, value, allowed, remedy)


def test_a_profile_may_stand_still_but_not_go_back() -> None:
    check_profile((STATION, STATION, (0.0, 0.06, 0.0, 0.0)))
    check_profile(((0.0, 0.0, 0.0, 0.0),))
    with pytest.raises(InputError, match="from_tip"):
        check_profile(((0.1, 0.05, 0.0, -0.05), STATION))
