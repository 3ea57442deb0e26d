"""Pad loads against a space frame solved by PyNite.

The body is a backbone along the vehicle, stiff in bending and with the twist stiffness K between
the pad lines, with stiff cross arms out to the pads and to the centre of gravity. Each pad stands
on an upright bar of the pad's stiffness k = EA/L, whose foot is moved up by the pad's height
error.
"""

from __future__ import annotations

from math import inf

import pytest
from Pynite import FEModel3D

from underset.statics import Loads, Point, body_loads, even_loads, warp_loads

RECTANGLE = ((0.8, 0.55), (0.8, -0.55), (-0.9, 0.55), (-0.9, -0.55))
TRAPEZOID = ((0.8, 0.45), (0.8, -0.45), (-0.9, 0.62), (-0.9, -0.62))
EVEN = (9e5,) * 4
UNEVEN = (1.2e6, 8e5, 6e5, 9e5)
WEIGHT, AT = 16_000.0, (0.15, 0.06)
BODY = 20_000.0 * 57.29577951308232
LEVEL = (0.0, 0.0, 0.0, 0.0)

MODULUS, SHEAR, POST = 2e11, 8e10, 0.5
STIFF = 3e-2  # second moment of area of what must not bend, m4


def frame(
    pads: tuple[Point, ...], k: tuple[float, ...], twist: float, raised: tuple[float, ...]
) -> Loads:
    """Pad loads of the frame model, N."""
    model = FEModel3D()
    model.add_material("steel", MODULUS, SHEAR, 0.25, 0.0)
    model.add_section("stiff", 1e-1, STIFF, STIFF, STIFF)
    front, rear = pads[0][0], pads[2][0]
    turn = STIFF if twist == inf else twist * (front - rear) / SHEAR
    model.add_section("backbone", 1e-1, STIFF, STIFF, turn)
    spine = {"F": front, "G": AT[0], "R": rear}
    for name, x in spine.items():
        model.add_node(name, x, 0.0, POST)
    model.add_node("CG", AT[0], AT[1], POST)
    for i, (x, y) in enumerate(pads):
        model.add_node(f"P{i}", x, y, POST)
        model.add_node(f"S{i}", x, y, 0.0)
        model.add_section(f"post{i}", k[i] * POST / MODULUS, 1e-11, 1e-11, 1e-11)
        model.add_member(f"arm{i}", "F" if i < 2 else "R", f"P{i}", "steel", "stiff")
        model.add_member(f"post{i}", f"S{i}", f"P{i}", "steel", f"post{i}")
        model.def_support(f"S{i}", True, True, True, True, True, True)
        model.def_node_disp(f"S{i}", "DZ", raised[i])
    model.add_member("front", "F", "G", "steel", "backbone")
    model.add_member("rear", "G", "R", "steel", "backbone")
    model.add_member("out", "G", "CG", "steel", "stiff")
    model.def_support("G", True, True, False, False, False, True)
    model.add_node_load("CG", "FZ", -WEIGHT)
    model.analyze_linear()
    return tuple(model.nodes[f"S{i}"].RxnFZ["Combo 1"] for i in range(4))


@pytest.mark.parametrize("pads", [RECTANGLE, TRAPEZOID], ids=["rectangle", "trapezoid"])
@pytest.mark.parametrize("k", [EVEN, UNEVEN], ids=["even", "uneven"])
def test_rigid_body_on_springs(pads: tuple[Point, ...], k: tuple[float, ...]) -> None:
    assert even_loads(pads, WEIGHT, AT, k) == pytest.approx(
        frame(pads, k, inf, LEVEL), rel=1e-4, abs=1.0
    )


@pytest.mark.parametrize("pads", [RECTANGLE, TRAPEZOID], ids=["rectangle", "trapezoid"])
@pytest.mark.parametrize("k", [EVEN, UNEVEN], ids=["even", "uneven"])
@pytest.mark.parametrize("twist", [0.25 * BODY, BODY], ids=["soft", "common"])
def test_twisting_body_on_springs(
    pads: tuple[Point, ...], k: tuple[float, ...], twist: float
) -> None:
    loads = body_loads(pads, WEIGHT, AT, k, twist)
    assert loads == pytest.approx(frame(pads, k, twist, LEVEL), rel=1e-4, abs=1.0)
    even = even_loads(pads, WEIGHT, AT, k)
    assert max(abs(a - b) for a, b in zip(loads, even, strict=True)) > 10.0


@pytest.mark.parametrize("pads", [RECTANGLE, TRAPEZOID], ids=["rectangle", "trapezoid"])
@pytest.mark.parametrize("twist", [0.25 * BODY, BODY, inf], ids=["soft", "common", "rigid"])
@pytest.mark.parametrize("raised", [(0.005, 0.0, 0.0, 0.0), (-0.002, 0.001, 0.003, 0.0)])
def test_pads_out_of_level(
    pads: tuple[Point, ...], twist: float, raised: tuple[float, ...]
) -> None:
    level, uneven = frame(pads, UNEVEN, twist, LEVEL), frame(pads, UNEVEN, twist, raised)
    change = [b - a for a, b in zip(level, uneven, strict=True)]
    ours = warp_loads(pads, raised, UNEVEN, twist)
    assert ours == pytest.approx(change, rel=1e-3, abs=1.0)
