"""Spot windows against brute force: every millimetre, every tooth, every reach.

The brute force knows no intervals: it puts the pad somewhere and measures. A spot it finds must
lie in a window; a spot in a window must be found once the zone is widened by the half step.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from tests.geometry_cases import Draw, Place, lift
from underset.geometry import (
    Arm,
    Free,
    Point,
    Pose,
    SpotWindow,
    Teeth,
    Zone,
    apply,
    arm_windows,
    best_placement,
    pad_place,
    spot_windows,
    tooth_swings,
    turned,
)

SPOTS = np.arange(-0.2, 2.2, 0.001)
STEP = 0.0005
Case = tuple[Arm, Teeth, Point, Zone]


def pads(arm: Arm, swings: np.ndarray, step: float = STEP) -> np.ndarray:
    """Pad places (swing, reach, xy) over all swings and reaches by one step."""
    count = max(math.ceil((arm.reach_high - arm.reach_low) / step), 1) + 1
    reach = np.linspace(arm.reach_low, arm.reach_high, count)
    angle = arm.inward + arm.turn * swings
    x = arm.pivot[0] + np.outer(np.cos(angle), reach)
    y = arm.pivot[1] + np.outer(np.sin(angle), reach)
    return np.stack([x, y], axis=-1)


def spots_found(places: np.ndarray, point: Point, half: Place) -> np.ndarray:
    """For each spot: does any place lie within the zone about the point moved by the spot?"""
    fits = places[np.abs(places[:, 1] - point[1]) <= half[1]][:, 0] - point[0]
    fits.sort()
    first = np.searchsorted(fits, SPOTS - half[0])
    return np.asarray(
        (first < len(fits)) & (fits[np.minimum(first, len(fits) - 1)] <= SPOTS + half[0])
        if len(fits)
        else np.zeros(len(SPOTS), dtype=bool)
    )


def compare(arm: Arm, swings: np.ndarray, point: Point, zone: Zone, windows: list[Place]) -> int:
    """Hold windows and brute force against each other both ways; how many spots were found."""
    step, turn = STEP, 0.0
    if len(swings) > 1:
        step, turn = 2 * STEP, float(swings[1] - swings[0])
    places = pads(arm, swings, step).reshape(-1, 2)
    blur = 0.5 * step + 0.5 * arm.reach_high * turn
    strict = spots_found(places, point, (zone.along, zone.across))
    loose = spots_found(places, point, (zone.along + blur + 1e-9, zone.across + blur + 1e-9))
    inside = np.zeros(len(SPOTS), dtype=bool)
    near = np.zeros(len(SPOTS), dtype=bool)
    for low, high in windows:
        inside |= (low <= SPOTS) & (high >= SPOTS)
        near |= (low - 1e-8 <= SPOTS) & (high + 1e-8 >= SPOTS)
    assert not (strict & ~near).any()
    assert not (inside & ~loose).any()
    return int(inside.sum())


def case(seed: int) -> Case:
    """An arm of a lift with random teeth and a point it may or may not reach."""
    draw = Draw(seed)
    arm = draw.arm()
    swing, reach = draw.between(arm.swing_low, arm.swing_high), draw.between(0.5, 1.4)
    pad = pad_place(arm, swing, reach)
    return arm, draw.teeth(), (pad[0] - draw.between(0.2, 1.8), pad[1]), draw.zone()


def test_one_arm_tooth_by_tooth() -> None:
    found = 0
    for seed in range(120):
        arm, teeth, point, zone = case(seed)
        windows = {w.tooth: w for w in arm_windows(arm, teeth, point, zone)}
        for tooth, swing in tooth_swings(arm, teeth):
            here = [(windows[tooth].low, windows[tooth].high)] if tooth in windows else []
            found += compare(arm, np.array([swing]), point, zone, here) > 0
        assert all(
            w.swing == pytest.approx(teeth.offset + w.tooth * teeth.pitch)  # type: ignore[operator]
            for w in windows.values()
        )
    assert found > 300


def test_a_free_arm() -> None:
    parts = set()
    for seed in range(60):
        arm, _, point, zone = case(seed)
        swings = np.linspace(arm.swing_low, arm.swing_high, 600)
        windows = arm_windows(arm, Free(), point, zone)
        compare(arm, swings, point, zone, [(w.low, w.high) for w in windows])
        assert all(w.tooth is None and w.swing is None for w in windows)
        parts.add(len(windows))
    assert {0, 1, 2} <= parts


def test_a_yawed_vehicle_driven_along_its_own_axis() -> None:
    """In the vehicle's axes the arm is turned back by the yaw; spots run along that axis."""
    found = 0
    for seed in range(60):
        arm, teeth, point, zone = case(seed)
        yaw = Draw(seed).between(-0.1, 0.1)
        seen = turned(arm, -yaw)
        windows = arm_windows(seen, teeth, point, zone)
        for w in windows:
            for spot in (w.low, 0.5 * (w.low + w.high), w.high):
                placed = best_placement(seen, teeth, (point[0] + spot, point[1]), zone)
                assert placed is not None
                assert placed.swing is not None
                # In the lift's axes: the vehicle's pose turns point, zone and pad alike.
                lifted = apply(Pose(0.0, 0.0, yaw), (point[0] + spot, point[1]))
                pad = pad_place(arm, placed.swing, placed.reach)
                dx, dy = pad[0] - lifted[0], pad[1] - lifted[1]
                along = dx * math.cos(yaw) + dy * math.sin(yaw)
                across = dy * math.cos(yaw) - dx * math.sin(yaw)
                assert abs(along) <= zone.along + 1e-8
                assert abs(across) <= zone.across + 1e-8
                found += 1
        for tooth, swing in tooth_swings(arm, teeth):
            here = [(w.low, w.high) for w in windows if w.tooth == tooth]
            compare(seen, np.array([swing]), point, zone, here)
    assert found > 100


def test_zones_without_width() -> None:
    """No room across, along, or at all: the pad must stand on the line, or on the point itself."""
    for seed in range(60):
        arm, teeth, point, zone = case(seed)
        for flat in (replace(zone, across=0.0), replace(zone, along=0.0), Zone(0.0, 0.0)):
            for tooth, swing in tooth_swings(arm, teeth):
                windows = [w for w in arm_windows(arm, teeth, point, flat) if w.tooth == tooth]
                compare(arm, np.array([swing]), point, flat, [(w.low, w.high) for w in windows])
                for w in windows:
                    spot = 0.5 * (w.low + w.high)
                    placed = best_placement(arm, teeth, (point[0] + spot, point[1]), flat)
                    assert placed is not None
            free = arm_windows(arm, Free(), point, flat)
            swings = np.linspace(arm.swing_low, arm.swing_high, 300)
            compare(arm, swings, point, flat, [(w.low, w.high) for w in free])


def test_arms_at_their_exact_limits() -> None:
    """A point just within the widest stance of the arm has a window of one spot, and is placed."""
    arm = Arm((0.0, 1.3), -math.pi / 2, 1, 0.0, math.radians(60), 0.6, 1.2)
    teeth = Teeth(math.radians(10), 0.0)
    zone = Zone(0.0, 0.02)
    for tooth, reach in ((0, 0.6), (0, 1.2), (6, 0.6), (6, 1.2)):
        sign = 1.0 if reach == 0.6 else -1.0
        pad = pad_place(arm, tooth * teeth.pitch, reach)
        point = (pad[0] - 1.0, pad[1] + sign * 0.02)
        windows = [w for w in arm_windows(arm, teeth, point, zone) if w.tooth == tooth]
        assert [(w.low, w.high) for w in windows] == [pytest.approx((1.0, 1.0), abs=1e-7)]
        placed = best_placement(arm, teeth, (point[0] + windows[0].low, point[1]), zone)
        assert placed is not None
        off = (pad[0] - 1.0, pad[1] + sign * (0.02 + 1e-6))
        assert [w for w in arm_windows(arm, teeth, off, zone) if w.tooth == tooth] == []


def test_every_spot_in_a_window_can_be_placed_and_no_other() -> None:
    placed_spots = 0
    for seed in range(150):
        arm, teeth, point, zone = case(seed)
        restraint = teeth if seed % 3 else Free()
        windows = arm_windows(arm, restraint, point, zone)
        for w in windows:
            for spot in (w.low, w.high, 0.3 * w.low + 0.7 * w.high):
                placed = best_placement(arm, restraint, (point[0] + spot, point[1]), zone)
                assert placed is not None
                assert abs(placed.along) <= zone.along + 1e-8
                assert abs(placed.across) <= zone.across + 1e-8
                assert arm.reach_low - 1e-9 <= placed.reach <= arm.reach_high + 1e-9
                assert arm.swing_low - 1e-6 <= placed.swing <= arm.swing_high + 1e-6
                placed_spots += 1
        for spot in SPOTS[::97]:
            if all(spot < w.low - 1e-7 or spot > w.high + 1e-7 for w in windows):
                assert best_placement(arm, restraint, (point[0] + spot, point[1]), zone) is None
    assert placed_spots > 500


def least_error(arm: Arm, swing: float, point: Point, zone: Zone) -> float:
    """Least error in half lengths on one tooth, over reaches by half a millimetre."""
    off = pads(arm, np.array([swing]))[0] - np.array(point)
    share = np.abs(off) / (zone.along, zone.across)
    fits = (share <= 1.0).all(axis=1)
    return float((share[fits] ** 2).sum(axis=1).min()) if fits.any() else math.inf


def test_the_best_placement_is_the_best_of_all() -> None:
    """No tooth and no reach on the grid beats it; the free arm's distance is not beaten either."""
    compared = 0
    for seed in range(250):
        arm, teeth, point, zone = case(seed)
        point = (point[0] + 1.0, point[1])
        placed = best_placement(arm, teeth, point, zone)
        errors = [least_error(arm, s, point, zone) for _, s in tooth_swings(arm, teeth)]
        best = min(errors, default=math.inf)
        if placed is None:
            assert best == math.inf
            continue
        error = (placed.along / zone.along) ** 2 + (placed.across / zone.across) ** 2
        assert error <= best + 1e-9
        assert dict(tooth_swings(arm, teeth))[placed.tooth or 0] == placed.swing
        compared += 1
    assert compared > 60


def test_the_nearest_place_of_a_free_arm() -> None:
    beside = 0
    for seed in range(200):
        arm, _, point, zone = case(seed)
        point = (point[0] + 1.0, point[1])
        swings = np.linspace(arm.swing_low, arm.swing_high, 300)
        places = pads(arm, swings, 2e-3).reshape(-1, 2)
        off = np.abs(places - np.array(point))
        fits = off[(off <= (zone.along, zone.across)).all(axis=1)]
        placed = best_placement(arm, Free(), point, zone)
        if placed is None:
            assert len(fits) == 0
        elif len(fits):
            far = math.hypot(placed.along, placed.across)
            assert far <= np.hypot(fits[:, 0], fits[:, 1]).min() + 1e-9
            beside += far > 1e-6
    assert beside >= 5


def test_a_tie_between_two_teeth_goes_to_the_lower_number() -> None:
    arm = Arm((0.0, 0.0), 0.0, 1, -1.0, 1.0, 0.5, 1.2)
    zone = Zone(0.1, 0.1)
    low = best_placement(arm, Teeth(0.1, 0.05), (0.8, 0.0), zone)  # teeth -1 and 0 alike
    assert low is not None
    assert low.tooth == 0
    for sign in (1, -1):
        middle = 0.25 * sign  # half-way between teeth 2 and 3 (or -2 and -3)
        point = (0.8 * math.cos(middle), 0.8 * math.sin(middle))
        square = turned(arm, -middle)
        placed = best_placement(square, Teeth(0.1, 0.0), (0.8, 0.0), zone)
        assert placed is not None
        assert placed.tooth == 2 * sign
        assert placed.across == pytest.approx(-0.8 * math.sin(0.05) * math.cos(0.05) * sign)
        assert best_placement(arm, Teeth(0.1, 0.0), point, zone) is not None


# --- four arms together ---------------------------------------------------------------------------


def four(seed: int) -> tuple[tuple[Arm, ...], Teeth, tuple[Point, ...], Zone]:
    """A symmetric lift and four points near what a car has."""
    draw = Draw(seed)
    front, rear, side = -draw.between(0.4, 0.8), -draw.between(1.7, 2.3), draw.between(0.5, 0.75)
    points = ((front, side), (front, -side), (rear, side), (rear, -side))
    teeth = Teeth(math.radians(draw.between(3, 6)), math.radians(draw.between(-1, 1)))
    return lift(), teeth, points, Zone(draw.between(0.015, 0.04), draw.between(0.01, 0.03))


def test_four_arms_millimetre_by_millimetre() -> None:
    """Sets of usable teeth at each spot, measured tooth by tooth, against windows and pieces."""
    widths: list[float] = []
    for seed in range(40):
        arms, teeth, points, zone = four(seed)
        restraints = (teeth,) * 4 if seed % 5 else (teeth, Free(), Free(), teeth)
        by_arm = tuple(
            [arm_windows(a, r, p, zone) for a, r, p in zip(arms, restraints, points, strict=True)]
        )
        limits = ((0.0, 1.4), (1.45, 2.0))
        windows = spot_windows(by_arm, limits)
        for spot in SPOTS[::2]:
            sets = [tuple([w.tooth for w in ws if w.low <= spot <= w.high]) for ws in by_arm]
            works = all(sets) and any(low <= spot <= high for low, high in limits)
            inside = [w for w in windows if w.low <= spot <= w.high]
            assert works == bool(inside)
            if inside:
                assert tuple(sets) in [
                    p.teeth_by_arm for p in inside[0].pieces if p.low <= spot <= p.high
                ]
        check_shape(windows)
        widths += [w.high - w.low for w in windows]
    assert len(widths) > 30
    assert min(widths) < 0.05 < max(widths)


def check_shape(windows: tuple[SpotWindow, ...]) -> None:
    """Windows stand apart and in order; pieces fill each window and neighbours differ."""
    for a, b in pairwise(windows):
        assert a.high < b.low
    for w in windows:
        assert (w.pieces[0].low, w.pieces[-1].high) == (w.low, w.high)
        for p, q in pairwise(w.pieces):
            assert p.high == q.low
            assert p.teeth_by_arm != q.teeth_by_arm
        assert all(p.low < p.high or len(w.pieces) == 1 for p in w.pieces)
        assert all(len(teeth) for p in w.pieces for teeth in p.teeth_by_arm)
