"""The whole stack stands clear, not its arm and its topmost piece alone. Figures by hand."""

from __future__ import annotations

import pytest

from tests import judge_cases as made
from underset.geometry import Free, Zone
from underset.planner import search
from underset.setting.evaluate import Case
from underset.setting.numbers import TyreNumbers, ZoneNumbers

RADIUS, HALF_PAD = 0.45, 0.06
EXACT = Zone(0.001, 0.001)


def beside_a_tall_tyre(front: float) -> Case:
    """Spacer and pad from the seat to 450 mm, as high as the hub of a tyre of 900 mm."""
    tyres = tuple(TyreNumbers((x, y), 0.2, 2 * RADIUS) for x in (0.0, -3.2) for y in (0.75, -0.75))
    car = made.vehicle(
        made.Item("kerb vehicle", 1600.0, 0.0, (-1.5, 0.0, 0.6), (0.0, 0.0, 0.0)),
        wheelbase=3.2, tyres=tyres, outline=(0.8, -4.0, 0.87),
        point_sets=(made.points(front=front, rear=-2.5, half=0.70, up=0.45, zone=EXACT),),
    )  # fmt: skip
    pieces = (made.head(), made.spacer("spacer", 0.2))
    return made.plain_case(car, made.bay(restraint=Free()), pieces)


@pytest.mark.parametrize(
    ("front", "usable"),
    [
        (-(RADIUS + HALF_PAD - 0.010), False),
        (-(RADIUS + HALF_PAD + 0.024), False),
        (-(RADIUS + HALF_PAD + 0.026), True),
    ],
)
def test_a_tall_stack_keeps_the_gap_to_the_widest_place_of_a_tyre(
    front: float, usable: bool
) -> None:
    """Once only the arm, low down where the tyre is short, was held against it."""
    found = search([beside_a_tall_tyre(front)])
    assert bool(found.choices) == usable


def beside_a_skirt(room: float) -> Case:
    """A pad of 160 mm under a block of 60 mm; a skirt hangs 15 mm below the pad's face, `room` m
    outboard of the pad's edge.
    """
    inner = 0.72 + 0.08 + room
    skirts = tuple(
        ZoneNumbers(
            f"skirt {side:+d}", "skirt",
            tuple((x, side * y) for x, y in ((-0.5, inner), (-2.3, inner), (-2.3, inner + 0.02),
                                             (-0.5, inner + 0.02))),
            0.185, False, True, False,
        )
        for side in (1, -1)
    )  # fmt: skip
    weld = made.points(
        half=0.72,
        up=0.23,
        contact="pinch weld",
        flange_thickness=0.006,
        flange_depth=0.02,
        zone=EXACT,
    )
    block = made.head(
        "block", role="block", below="pad", height=0.03, travel=0.0, thread=None, width=0.06,
        slot=0.07, slot_depth=0.03, contacts=("pinch weld",),
    )  # fmt: skip
    pad = made.head(above="pad", height=0.05, travel=0.0, width=0.16)
    car = made.vehicle(point_sets=(weld,), zones=skirts)
    return made.plain_case(car, made.bay(restraint=Free(), seat_low=0.07), (pad, block))


@pytest.mark.parametrize(("room", "usable"), [(-0.02, False), (0.024, False), (0.027, True)])
def test_a_pad_wider_than_its_block_keeps_the_gap_as_well(room: float, usable: bool) -> None:
    """Once the narrow block alone was held against the skirt, and the pad stood in it."""
    found = search([beside_a_skirt(room)])
    assert bool(found.choices) == usable
