"""Drawings to scale, with stable ids, complete without what is not known."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from tests.card_cases import found, job
from underset.card.badge import badge_svg
from underset.card.drawing import Options, front_svg, pair_svg, plan_svg, side_svg, stack_svg
from underset.card.notation import notation_figures
from underset.card.svg import COLOURS, dimension, num
from underset.setting.result import CORNERS, Plan, Scene, Setting, Status

SVG = "{http://www.w3.org/2000/svg}"
VIEWS = {"plan": plan_svg, "side": side_svg, "front": front_svg}


def parts(plan: Plan) -> tuple[Scene, Setting]:
    assert plan.scene is not None
    assert plan.best is not None
    return plan.scene, plan.best.setting


def ids(drawing: str) -> list[str]:
    return [e.get("id", "") for e in ET.fromstring(drawing).iter() if e.get("id")]


def element(drawing: str, name: str) -> ET.Element:
    return next(e for e in ET.fromstring(drawing).iter() if e.get("id") == name)


def place(drawing: str, x: float, y: float) -> tuple[float, float]:
    """Where a point in metres must lie, from what the drawing tells of itself."""
    root = ET.fromstring(drawing)
    k = float(root.get("data-per-metre", "nan"))
    return (
        float(root.get("data-origin-x", "nan")) + k * x,
        float(root.get("data-origin-y", "nan")) - k * y,
    )


# --- ids and accessibility ------------------------------------------------------------------------


def test_the_plan_names_what_a_script_may_move() -> None:
    found_ids = set(ids(plan_svg(*parts(found()))))
    wanted = {"vehicle", "cg", "window-band", "support", "floor-mark", "drive-in", "scale-bar"}
    wanted |= {f"{kind}-{c}" for kind in ("arm", "pad", "point", "label") for c in CORNERS}
    wanted |= {"column-left", "column-right", "front-axle", "rear-axle", "nose"}
    assert wanted <= found_ids


def test_views_on_one_page_share_no_id() -> None:
    scene, setting = parts(found())
    drawings = [*pair_svg(scene, setting), front_svg(scene, setting)]
    drawings += [stack_svg(arm) for arm in setting.arms]
    every = [name for d in drawings for name in ids(d)]
    assert len(every) == len(set(every))


def test_a_prefix_stands_before_every_id() -> None:
    drawing = plan_svg(*parts(found()), options=Options(prefix="b-"))
    assert all(name.startswith("b-") for name in ids(drawing))


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_is_told_in_words(view: str) -> None:
    root = ET.fromstring(VIEWS[view](*parts(found())))
    assert root.get("role") == "img"
    told = [root.findtext(f"{SVG}title"), root.findtext(f"{SVG}desc")]
    assert all(told)
    assert "left front: tooth 7" in str(told[1])


# --- to scale -------------------------------------------------------------------------------------


@pytest.mark.parametrize("plan", [found(), job()], ids=["nose-in", "tail-in"])
def test_pads_stand_where_the_result_says(plan: Plan) -> None:
    scene, setting = parts(plan)
    drawing = plan_svg(scene, setting)
    for corner, pad in zip(CORNERS, scene.pads, strict=True):
        circle = element(drawing, f"pad-{corner}").find(f"{SVG}circle")
        assert circle is not None
        drawn = (float(circle.get("cx", "nan")), float(circle.get("cy", "nan")))
        assert drawn == pytest.approx(place(drawing, *pad), abs=0.011)


def test_side_view_and_plan_share_scale_and_origin() -> None:
    side, plan = (ET.fromstring(d) for d in pair_svg(*parts(found())))
    for name in ("data-per-metre", "data-origin-x"):
        assert side.get(name) == plan.get(name)


def test_a_pair_fits_its_paper() -> None:
    for plan in (found(), job()):
        options = Options(width=112.0, height=120.0)
        roots = [ET.fromstring(d) for d in pair_svg(*parts(plan), options=options)]
        heights = [float(r.get("height", "nan").removesuffix("mm")) for r in roots]
        assert sum(heights) <= 120.0
        assert {r.get("width") for r in roots} == {"112mm"}


def test_a_stack_is_drawn_piece_by_piece_with_heights_to_one_scale() -> None:
    _, setting = parts(job())
    arm = setting.arms[0]
    rects = ET.fromstring(stack_svg(arm)).findall(f"{SVG}rect")
    spacer, foot, shaft, plate = (float(r.get("height", "nan")) for r in rects[1:5])
    low, high = arm.stack
    drawn = (foot + shaft + plate) / spacer
    assert drawn == pytest.approx((high.top - high.bottom) / (low.top - low.bottom), rel=0.02)
    assert shaft / spacer == pytest.approx(arm.screw / (low.top - low.bottom), rel=0.05)


def test_the_nose_points_where_the_vehicle_points() -> None:
    for plan, way in ((found(), 1.0), (job(), -1.0)):
        drawing = plan_svg(*parts(plan))
        tip, base, _ = points(element(drawing, "nose"))
        assert math.copysign(1.0, tip[0] - base[0]) == way


# --- figures --------------------------------------------------------------------------------------


def test_dimensions_tell_the_pads_in_the_shops_units() -> None:
    scene, setting = parts(found())
    metric = plan_svg(scene, setting)
    assert dimension_words(metric, "pad-x-RF") == "504"
    assert dimension_words(metric, "pad-y-RR") == "723"
    inch = plan_svg(scene, setting, options=Options(units="inch"))
    assert dimension_words(inch, "pad-x-RF") == "19 13/16"


def test_left_pads_have_their_own_dimensions_only_where_they_differ() -> None:
    scene, setting = parts(found())
    assert "pad-x-LF" not in plan_svg(scene, setting)
    lf, rf, lr, rr = scene.pads
    apart = replace(scene, pads=((lf[0] + 0.03, lf[1]), rf, lr, rr))
    assert dimension_words(plan_svg(apart, setting), "pad-x-LF") == "534"


def test_the_spot_is_dimensioned_from_the_mark() -> None:
    assert dimension_words(side_svg(*parts(found())), "spot") == "500 mm"
    assert dimension_words(side_svg(*parts(job())), "spot") == "1620 mm"


def test_a_dimension_too_short_for_its_figure_sets_it_outside() -> None:
    wide = dimension((30.0, 0.0), (0.0, 0.0), "504", at=10.0)
    short = dimension((3.0, 0.0), (0.0, 0.0), "504", at=10.0)
    assert 0 < float(re.findall(r'<text x="([\d.]+)"', wide)[0]) < 30
    assert float(re.findall(r'<text x="([\d.]+)"', short)[0]) > 3


def test_contact_kinds_are_written_in_words() -> None:
    assert plan_svg(*parts(found())).count("pinch weld") == 4
    german = plan_svg(*parts(found()), options=Options(language="de"))
    assert german.count("Schwellerfalz") == 4


# --- status, themes -------------------------------------------------------------------------------


def test_status_shows_as_word_and_hatching_beside_its_colour() -> None:
    statuses = (Status.HOLDS, Status.WATCH, Status.NOT_KNOWN, Status.STOPS)
    drawing = plan_svg(*parts(found()), statuses=statuses)
    fills = []
    for corner, status in zip(CORNERS, statuses, strict=True):
        pad = element(drawing, f"pad-{corner}")
        assert status.value in str(pad.findtext(f"{SVG}title"))
        fills.append([c.get("fill") for c in pad.findall(f"{SVG}circle") if c.get("fill")])
    assert fills == [[], ["url(#plan-hatch)"], ["url(#plan-dots)"], ["url(#plan-cross)"]]


def test_badges_differ_in_shape() -> None:
    keys = ("holds", "watch", "unknown", "stops")
    shapes = {shapes_of(badge_svg(k)) for k in keys}
    assert len(shapes) == 4


def test_paper_has_fixed_colours_and_the_screen_asks_variables() -> None:
    scene, setting = parts(found())
    paper = plan_svg(scene, setting)
    assert "var(" not in paper
    screen = plan_svg(scene, setting, options=Options(theme="screen"))
    assert all(f"--us-{name}" in screen for name in COLOURS)
    assert "prefers-color-scheme:dark" in screen
    bare = plan_svg(scene, setting, options=Options(theme="bare"))
    assert "<style>" not in bare
    assert shapes_of(bare) == shapes_of(paper) == shapes_of(screen)


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
def test_ink_and_status_colours_stand_out_from_the_paper(theme: int) -> None:
    """Contrast of at least 4.5 : 1 (WCAG 2.1, 1.4.3)."""
    paper = luminance(COLOURS["paper"][theme])
    for name in ("ink", "holds", "watch", "unknown", "stops", "line"):
        ink = luminance(COLOURS[name][theme])
        ratio = (max(ink, paper) + 0.05) / (min(ink, paper) + 0.05)
        assert ratio >= 4.5, (name, ratio)


# --- what is not known ----------------------------------------------------------------------------

MISSING = {
    "body": None, "roof": None, "sill": None, "wheel_radius": None, "cg": None, "cg_low": None,
    "ceiling": None, "stop_bar": None, "mark": None, "rise_limit": None, "tyres": (), "zones": (),
    "support": (), "columns": (),
}  # fmt: skip


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("field", MISSING)
def test_a_view_is_drawn_without_what_is_not_known(view: str, field: str) -> None:
    scene, setting = parts(found())
    bare = replace(scene, **{field: MISSING[field]})
    drawing = VIEWS[view](bare, setting)
    assert "nan" not in drawing
    assert "None" not in drawing
    assert ET.fromstring(drawing).tag == f"{SVG}svg"


@pytest.mark.parametrize("view", VIEWS)
def test_a_view_is_drawn_with_nothing_known(view: str) -> None:
    scene, _ = parts(found())
    drawing = VIEWS[view](replace(scene, **MISSING))
    assert "window-band" not in drawing
    assert "nan" not in drawing


def test_an_unknown_roof_is_said_and_not_guessed() -> None:
    scene, setting = parts(found())
    assert "height not known" in side_svg(replace(scene, roof=None), setting)
    assert "height not known" not in side_svg(scene, setting)


def test_words_of_people_cannot_break_the_drawing() -> None:
    scene, setting = parts(found())
    hostile = replace(scene, mark=("<script>&\"'", 0.6))
    assert "<script>" not in side_svg(hostile, setting)
    assert ET.fromstring(side_svg(hostile, setting)).tag == f"{SVG}svg"


# --- notation -------------------------------------------------------------------------------------


@pytest.mark.parametrize("language", ["en", "de"])
def test_figures_of_the_notation_are_told_in_words(language: str) -> None:
    figures = notation_figures(language)
    assert list(figures) == ["frame-lift", "frame-vehicle", "pose", "arm-angles", "stack-heights"]
    told = [ET.fromstring(f).findtext(f"{SVG}desc") for f in figures.values()]
    assert all(told)
    assert len(set(told)) == 5


def test_figures_of_the_notation_name_their_symbols() -> None:
    figures = notation_figures()
    for name, symbols in {
        "frame-lift": ("xL", "yL", "zL"),
        "frame-vehicle": ("xV", "yV", "zV", "aft = −x", "up"),
        "pose": (">s<", ">t<", "ψ"),
        "arm-angles": ("φ", ">r<", ">p<"),
        "stack-heights": (">z<", ">h<", "up = z + h"),
    }.items():
        assert [s for s in symbols if s not in figures[name]] == []


# --- helpers --------------------------------------------------------------------------------------


def dimension_words(drawing: str, key: str) -> str:
    group = next(e for e in ET.fromstring(drawing).iter() if e.get("data-key") == key)
    return str(group.findtext(f"{SVG}text"))


def points(shape: ET.Element) -> list[tuple[float, float]]:
    pairs = (p.split(",") for p in shape.get("points", "").split())
    return [(float(x), float(y)) for x, y in pairs]


def shapes_of(drawing: str) -> str:
    return re.sub(r"<style>.*?</style>", "", drawing)


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_coordinates_are_short_and_never_minus_zero() -> None:
    assert [num(x) for x in (0.0, -0.001, 1.005, 2.5, 3.0)] == ["0", "0", "1", "2.5", "3"]
