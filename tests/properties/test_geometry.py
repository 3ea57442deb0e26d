"""What must stay the same when a scene is mirrored, moved, turned round or made roomier."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.geometry_cases import Draw, Scene, lift, scene
from underset import geometry
from underset.geometry import (
    Arm,
    Blocked,
    Free,
    Path,
    Point,
    Polygon,
    Restraint,
    Teeth,
    Zone,
    arm_windows,
    best_placement,
    has_way_in,
    spot_windows,
    turned,
    way_in,
)

NEAR = 1e-9
lengths = st.floats(-2.0, 2.0)
angles = st.floats(-math.pi, math.pi)
halves = st.floats(0.001, 0.08)
zones = st.builds(Zone, halves, halves)
seeds = st.integers(0, 10_000)
spans = st.tuples(lengths, st.floats(0.0, 1.0)).map(lambda s: (s[0], s[0] + s[1]))
unions = st.lists(spans, max_size=6).map(geometry.union)


@st.composite
def arms(draw: st.DrawFn) -> Arm:
    low = draw(st.floats(-0.8, 0.3))
    reach = draw(st.floats(0.4, 0.9))
    return Arm(
        pivot=draw(st.tuples(lengths, lengths)),
        inward=draw(angles),
        turn=draw(st.sampled_from((1, -1))),
        swing_low=low,
        swing_high=low + draw(st.floats(0.2, 2.2)),
        reach_low=reach,
        reach_high=reach + draw(st.floats(0.1, 0.8)),
    )


restraints = st.one_of(
    st.just(Free()), st.builds(Teeth, st.floats(0.03, 0.15), st.floats(-0.1, 0.1))
)


@st.composite
def stances(draw: st.DrawFn) -> tuple[Arm, Restraint, Point]:
    """An arm, its restraint, and a point near some place of its pad."""
    arm = draw(arms())
    swing = draw(st.floats(arm.swing_low - 0.1, arm.swing_high + 0.1))
    reach = draw(st.floats(arm.reach_low - 0.05, arm.reach_high + 0.05))
    return arm, draw(restraints), geometry.pad_place(arm, swing, reach)


def mirrored(arm: Arm) -> Arm:
    return replace(arm, pivot=geometry.mirrored(arm.pivot), inward=-arm.inward, turn=-arm.turn)


def moved(arm: Arm, shift: Point) -> Arm:
    return replace(arm, pivot=(arm.pivot[0] + shift[0], arm.pivot[1] + shift[1]))


def shifted(outline: Polygon, shift: Point) -> Polygon:
    return tuple([(x + shift[0], y + shift[1]) for x, y in outline])


def flipped(outline: Polygon) -> Polygon:
    return tuple([geometry.mirrored(p) for p in outline])


def spans_of(arm: Arm, restraint: Restraint, point: Point, zone: Zone) -> list[tuple[float, ...]]:
    windows = arm_windows(arm, restraint, point, zone)
    return [(w.low, w.high, -99 if w.tooth is None else w.tooth) for w in windows]


def alike(a: list[tuple[float, ...]], b: list[tuple[float, ...]], near: float = 1e-7) -> bool:
    """Equal lists of windows, but for windows that rounding may make or lose: hair-thin ones."""
    thick_a, thick_b = ([w for w in ws if w[1] - w[0] > 1e-6] for ws in (a, b))
    return len(thick_a) == len(thick_b) and all(
        x == pytest.approx(y, abs=near) for x, y in zip(thick_a, thick_b, strict=True)
    )


# --- unions of intervals --------------------------------------------------------------------------


@given(unions, unions, lengths)
def test_unions_say_which_points_they_hold(a: geometry.Union, b: geometry.Union, x: float) -> None:
    in_a, in_b = geometry.contains(a, x), geometry.contains(b, x)
    assert geometry.contains(geometry.union(a + b), x) == (in_a or in_b)
    assert geometry.contains(geometry.intersect(a, b), x) == (in_a and in_b)
    left = geometry.contains(geometry.subtract(a, b), x)
    if in_a and not in_b:
        assert left
    if left:
        assert in_a
        assert not in_b or any(x in ends for ends in b)


@given(unions, unions)
def test_measures_add_up(a: geometry.Union, b: geometry.Union) -> None:
    both, either = geometry.intersect(a, b), geometry.union(a + b)
    total = geometry.measure(a) + geometry.measure(b)
    assert geometry.measure(both) + geometry.measure(either) == pytest.approx(total, abs=NEAR)
    left = geometry.measure(geometry.subtract(a, b))
    assert left + geometry.measure(both) == pytest.approx(geometry.measure(a), abs=NEAR)


@given(unions, lengths)
def test_the_nearest_point_is_in_the_union_and_nothing_is_nearer(
    u: geometry.Union, x: float
) -> None:
    near = geometry.nearest(u, x)
    assert (near is None) == (u == ())
    if near is not None:
        assert geometry.contains(u, near)
        assert all(abs(near - x) <= abs(end - x) for ends in u for end in ends)
        assert near == x or not geometry.contains(u, x)


# --- poses ----------------------------------------------------------------------------------------

poses = st.builds(geometry.Pose, lengths, lengths, angles)
points = st.tuples(lengths, lengths)


@given(poses, points)
def test_a_pose_is_undone_by_turning_back(X_AB: geometry.Pose, p_BP: Point) -> None:
    x, y = geometry.apply(X_AB, p_BP)
    assert geometry.apply_all(X_AB, (p_BP,))[0] == pytest.approx((x, y), abs=NEAR)
    back = geometry.rotate((x - X_AB.x, y - X_AB.y), -X_AB.yaw)
    assert back == pytest.approx(p_BP, abs=NEAR)


# --- arms and windows -----------------------------------------------------------------------------


@given(arms(), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_aim_undoes_pad_place(arm: Arm, swing: float, reach: float) -> None:
    place = (
        arm.swing_low + swing * (arm.swing_high - arm.swing_low),
        arm.reach_low + reach * (arm.reach_high - arm.reach_low),
    )
    assert geometry.aim(arm, geometry.pad_place(arm, *place)) == pytest.approx(place, abs=NEAR)


@given(stances(), zones)
def test_left_and_right_are_mirror_images(stance: tuple[Arm, Restraint, Point], zone: Zone) -> None:
    arm, restraint, point = stance
    other, there = mirrored(arm), geometry.mirrored(point)
    assert alike(spans_of(arm, restraint, point, zone), spans_of(other, restraint, there, zone))
    placed = best_placement(arm, restraint, point, zone)
    image = best_placement(other, restraint, there, zone)
    assert (placed is None) == (image is None)
    if placed is not None and image is not None:
        error = (placed.along / zone.along) ** 2 + (placed.across / zone.across) ** 2
        other_error = (image.along / zone.along) ** 2 + (image.across / zone.across) ** 2
        assert error == pytest.approx(other_error, abs=1e-7)


@given(stances(), zones, points)
def test_moving_the_whole_scene_changes_nothing(
    stance: tuple[Arm, Restraint, Point], zone: Zone, shift: Point
) -> None:
    arm, restraint, point = stance
    there = (point[0] + shift[0], point[1] + shift[1])
    assert alike(
        spans_of(arm, restraint, point, zone),
        spans_of(moved(arm, shift), restraint, there, zone),
    )


@given(stances(), zones, lengths)
def test_moving_the_point_moves_the_windows_back(
    stance: tuple[Arm, Restraint, Point], zone: Zone, shift: float
) -> None:
    arm, restraint, point = stance
    before = spans_of(arm, restraint, point, zone)
    after = spans_of(arm, restraint, (point[0] + shift, point[1]), zone)
    assert alike(before, [(low + shift, high + shift, tooth) for low, high, tooth in after])


@given(stances(), zones, st.floats(1.0, 3.0), st.floats(1.0, 3.0))
def test_a_larger_zone_never_loses_a_spot(
    stance: tuple[Arm, Restraint, Point], zone: Zone, along: float, across: float
) -> None:
    arm, restraint, point = stance
    large = Zone(zone.along * along, zone.across * across)
    wide = geometry.union([w[:2] for w in spans_of(arm, restraint, point, large)])  # type: ignore[misc]
    for low, high, _ in spans_of(arm, restraint, point, zone):
        assert geometry.contains(wide, low, 1e-7)
        assert geometry.contains(wide, high, 1e-7)
        assert geometry.measure(geometry.intersect(wide, ((low, high),))) >= high - low - 1e-6


@given(stances(), zones)
def test_teeth_never_find_what_a_free_arm_does_not(
    stance: tuple[Arm, Restraint, Point], zone: Zone
) -> None:
    arm, _, point = stance
    free = geometry.union([(w[0], w[1]) for w in spans_of(arm, Free(), point, zone)])
    for low, high, _ in spans_of(arm, Teeth(0.07, 0.01), point, zone):
        assert geometry.contains(free, low, 1e-6)
        assert geometry.contains(free, high, 1e-6)


@given(stances(), zones)
def test_a_point_stands_in_a_window_at_no_shift_just_when_it_can_be_placed(
    stance: tuple[Arm, Restraint, Point], zone: Zone
) -> None:
    arm, restraint, point = stance
    windows = geometry.union([(w[0], w[1]) for w in spans_of(arm, restraint, point, zone)])
    placed = best_placement(arm, restraint, point, zone)
    if geometry.contains(windows, 0.0):
        assert placed is not None
    elif not geometry.contains(windows, 0.0, 1e-5):
        assert placed is None


@given(
    st.floats(-1.5, 1.5),
    st.floats(0.3, 0.75),
    st.floats(0.8, 2.0),
    zones,
    st.floats(-0.03, 0.03),
)
def test_tail_in_is_nose_in_turned_round_on_a_symmetric_lift(
    middle: float, side: float, base: float, zone: Zone, offset: float
) -> None:
    """Half a turn maps such a lift onto itself: LF to RR, RF to LR, and every spot to minus it."""
    points = tuple([(middle + f * base / 2, y) for f in (1, -1) for y in (side, -side)])
    nose, tail = lift(), [turned(arm, math.pi) for arm in lift()[::-1]]
    assert [a.pivot for a in tail] == [pytest.approx(a.pivot) for a in nose]
    teeth = Teeth(math.radians(4.5), offset)
    both = []
    for sign in (1, -1):
        there = points if sign > 0 else tuple([(-x, -y) for x, y in points])
        # Tail-in the front points come to stand over the rear arms, crosswise.
        order = nose if sign > 0 else nose[::-1]
        windows = tuple([arm_windows(a, teeth, p, zone) for a, p in zip(order, there, strict=True)])
        both.append(spot_windows(windows, ((-4.0, 4.0),)))
    forth = [(w.low, w.high) for w in both[0]]
    back = [(-w.high, -w.low) for w in both[1]][::-1]
    assert alike(forth, back)


# --- clearances -----------------------------------------------------------------------------------


@given(seeds, points)
def test_distances_know_no_place_and_no_side(seed: int, shift: Point) -> None:
    draw = Draw(seed)
    a, b = draw.simple(0.8, 0.6), draw.simple(0.8, 0.6)
    far = geometry.polygon_distance(a, b)
    assert geometry.polygon_distance(b, a) == pytest.approx(far, abs=NEAR)
    assert geometry.polygon_distance(shifted(a, shift), shifted(b, shift)) == pytest.approx(
        far, abs=1e-8
    )
    assert geometry.polygon_distance(flipped(a), flipped(b)) == pytest.approx(far, abs=NEAR)


@given(seeds, st.floats(0.0, 0.1), st.floats(0.0, 0.1))
def test_a_door_opens_less_with_more_gap_and_mirrors(seed: int, gap: float, more: float) -> None:
    draw = Draw(seed)
    hinge, closed, turn = draw.point(0.3), draw.between(-3, 3), draw.random.choice((1, -1))
    length, columns = draw.between(0.7, 1.2), (draw.simple(1.4, 0.4), draw.simple(1.4, 0.4))
    opening = geometry.door_opening(hinge, closed, turn, length, 1.2, columns, gap)
    tight = geometry.door_opening(hinge, closed, turn, length, 1.2, columns, gap + more)
    assert tight <= opening + 1e-7
    there = geometry.mirrored(hinge)
    image = geometry.door_opening(
        there, -closed, -turn, length, 1.2, tuple([flipped(c) for c in columns]), gap
    )
    assert image == pytest.approx(opening, abs=1e-6)


@given(seeds, st.floats(0.0, 0.9))
def test_a_tyre_is_never_longer_than_its_diameter(seed: int, height: float) -> None:
    draw = Draw(seed)
    diameter = draw.between(0.5, 0.9)
    low = geometry.tyre_rectangle((0.0, 0.0), 0.0, 0.2, diameter, height)
    length = low[1][0] - low[0][0]
    assert 0.0 <= length <= diameter
    assert (length == diameter) == (height >= diameter / 2)


# --- the way in -----------------------------------------------------------------------------------


def image(one: Scene) -> Scene:
    low, tip = tuple([flipped(p) for p in one.low]), tuple([flipped(p) for p in one.tip])
    return replace(one, arm=mirrored(one.arm), low=low, tip=tip)


def outcome(one: Scene) -> Path | Blocked:
    found = way_in(*one.arguments())  # type: ignore[arg-type]
    assert has_way_in(*one.arguments()) == isinstance(found, Path)  # type: ignore[arg-type]
    # Asked with few halvings it may miss a way, and never makes one up.
    for halvings in (1, 2, 4):
        hasty = has_way_in(*one.arguments(), halvings)  # type: ignore[call-arg,arg-type]
        assert not hasty or isinstance(found, Path)
    return found


@settings(max_examples=40)
@given(seeds)
def test_the_way_in_is_a_mirror_image(seed: int) -> None:
    one = scene(seed)
    found, other = outcome(one), outcome(image(one))
    assert type(found) is type(other)
    if isinstance(found, Blocked) and isinstance(other, Blocked):
        assert other.obstacle == found.obstacle
        assert other.swing == pytest.approx(found.swing, abs=0.02)


@settings(max_examples=40)
@given(seeds)
def test_the_way_back_exists_when_the_way_in_does(seed: int) -> None:
    one = scene(seed)
    back = replace(one, parked=one.goal, goal=one.parked)
    assert isinstance(outcome(one), Path) == isinstance(outcome(back), Path)


@settings(max_examples=40)
@given(seeds, st.floats(0.0, 0.03))
def test_taking_things_away_or_asking_less_never_blocks(seed: int, less: float) -> None:
    one = scene(seed)
    assume(isinstance(outcome(one), Path))
    assert isinstance(outcome(replace(one, gap=max(one.gap - less, 0.0))), Path)
    assert isinstance(outcome(replace(one, low=one.low[1:], tip=one.tip[1:])), Path)
    assert isinstance(outcome(replace(one, low=(), tip=(*one.low, *one.tip))), Path)


@given(seeds)
def test_without_obstacles_the_arm_pulls_in_swings_and_pushes_out(seed: int) -> None:
    one = replace(scene(seed), low=(), tip=())
    found = outcome(one)
    assert isinstance(found, Path)
    home = one.arm.reach_low
    assert found.corners[0] == one.parked
    assert found.corners[-1] == one.goal
    assert all(reach == home for _, reach in found.corners[1:-1])
