"""Random arms, outlines, profiles and scenes for the geometry tests, the same ones each run."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

from underset.geometry import Arm, ArmProfile, Free, Point, Polygon, Restraint, Teeth, Zone

Place = tuple[float, float]


class Draw:
    """A seeded source of everyday shapes."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def between(self, low: float, high: float) -> float:
        return self.random.uniform(low, high)

    def point(self, size: float) -> Point:
        return (self.between(-size, size), self.between(-size, size))

    def convex(self, size: float, radius: float, corners: int = 0) -> Polygon:
        """Corners on a circle somewhere, either way round."""
        x, y = self.point(size)
        count = corners or self.random.randint(3, 7)
        far = self.between(0.2 * radius, radius)
        turns = [2 * math.pi * (i + self.between(0.1, 0.9)) / count for i in range(count)]
        outline = tuple([(x + far * math.cos(t), y + far * math.sin(t)) for t in turns])
        return outline if self.random.random() < 0.5 else outline[::-1]

    def simple(self, size: float, radius: float) -> Polygon:
        """A star-shaped outline, mostly not convex."""
        x, y = self.point(size)
        count = self.random.randint(4, 9)
        outline = []
        for i in range(count):
            turn = 2 * math.pi * (i + self.between(0.1, 0.9)) / count
            far = self.between(0.2 * radius, radius)
            outline.append((x + far * math.cos(turn), y + far * math.sin(turn)))
        return tuple(outline)

    def profile(self) -> ArmProfile:
        """One to four stations, never narrower towards the root; now and then a sudden step."""
        from_tip, width = self.between(-0.06, 0.02), self.between(0.02, 0.06)
        stations = []
        for _ in range(self.random.randint(1, 4)):
            top = self.between(-0.08, 0.03)
            stations.append((from_tip, width, top, top - 0.06))
            width += self.random.choice((0.0, self.between(0.0, 0.05)))
            from_tip += self.random.choice((0.0, self.between(0.03, 0.4)))
        return tuple(stations)

    def arm(self) -> Arm:
        """An arm of a two-post lift's size, anywhere near its column."""
        low, reach = math.radians(self.between(-40, 10)), self.between(0.5, 0.8)
        return Arm(
            pivot=(self.between(-0.3, 0.3), self.random.choice((1.3, -1.3))),
            inward=self.between(-math.pi, math.pi),
            turn=self.random.choice((1, -1)),
            swing_low=low,
            swing_high=low + math.radians(self.between(60, 140)),
            reach_low=reach,
            reach_high=reach + self.between(0.2, 0.7),
        )

    def teeth(self) -> Teeth:
        pitch = math.radians(self.between(2.0, 7.0))
        return Teeth(pitch, self.between(-0.5, 0.5) * pitch)

    def restraint(self) -> Restraint:
        return self.teeth() if self.random.random() < 0.6 else Free()

    def zone(self) -> Zone:
        return Zone(self.between(0.005, 0.05), self.between(0.005, 0.05))


FOUR_CORNERS = ((0.18, 1.3, 1), (0.18, -1.3, -1), (-0.18, 1.3, -1), (-0.18, -1.3, 1))


def lift(swings: Place = (-15.0, 100.0), reaches: Place = (0.6, 1.15)) -> tuple[Arm, Arm, Arm, Arm]:
    """Four arms of a symmetric lift in the order LF, RF, LR, RR; swings in degrees from inward."""
    low, high = math.radians(swings[0]), math.radians(swings[1])
    arms = []
    for x, y, turn in FOUR_CORNERS:
        inward = -math.pi / 2 if y > 0 else math.pi / 2
        arms.append(Arm((x, y), inward, turn, low, high, *reaches))
    return (arms[0], arms[1], arms[2], arms[3])


@dataclass(frozen=True)
class Scene:
    """Everything way_in takes, in its order."""

    arm: Arm
    parked: Place
    goal: Place
    profile: ArmProfile
    tip_radius: float
    low: tuple[Polygon, ...]
    tip: tuple[Polygon, ...]
    gap: float

    def arguments(self) -> tuple[object, ...]:
        return (
            self.arm,
            self.parked,
            self.goal,
            self.profile,
            self.tip_radius,
            self.low,
            self.tip,
            self.gap,
        )


def scene(seed: int) -> Scene:
    """An arm among tyres and zones, some in its way."""
    draw = Draw(seed)
    arm = draw.arm()
    places = []
    for share in (draw.between(0.8, 1.0), draw.between(0.0, 0.5)):
        swing = arm.swing_low + share * (arm.swing_high - arm.swing_low)
        places.append((swing, arm.reach_low + draw.between(0.0, 1.0) * 0.2))
    middle = arm.pivot
    around = []
    for _ in range(draw.random.randint(1, 5)):
        swing = draw.between(arm.swing_low, arm.swing_high)
        far = draw.between(0.4, 1.6)
        angle = arm.inward + arm.turn * swing
        x, y = middle[0] + far * math.cos(angle), middle[1] + far * math.sin(angle)
        make = draw.convex if draw.random.random() < 0.7 else draw.simple
        shape = make(0.0, 0.25)
        around.append(tuple([(x + p, y + q) for p, q in shape]))
    cut = draw.random.randint(0, len(around))
    return Scene(
        arm,
        (places[0][0], arm.reach_low if draw.random.random() < 0.7 else places[0][1]),
        (places[1][0], draw.between(arm.reach_low, arm.reach_high)),
        draw.profile(),
        draw.between(0.03, 0.09),
        tuple(around[:cut]),
        tuple(around[cut:]),
        draw.random.choice((0.0, 0.01, 0.025)),
    )
