"""One page, always: readable sizes, the same bytes, and a note for what is left out."""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import underset.card
from tests.card_cases import CASES, found, job, many_hold_points
from underset.card.build import About, build_view
from underset.card.pdf import LEFT_COLUMN, page_fit, qr_svg, render_pdf, render_svg
from underset.card.svg import TEXT
from underset.card.view import CardView, StackPiece
from underset.setting.result import Plan

ROOT = Path(__file__).resolve().parents[3]
TEMPLATES = Path(underset.card.__file__).parent / "templates"
LONG = "Long-wheelbase crew-cab tipper with a box, a crane and a very long name indeed " * 3


@pytest.mark.parametrize("name", CASES)
def test_every_plan_is_one_pdf_page(name: str) -> None:
    pdf = render_pdf(build_view(CASES[name]()))
    assert pdf.startswith(b"%PDF-")
    assert pdf.rstrip().endswith(b"%%EOF")
    assert pages_in(pdf) == 1


@pytest.mark.parametrize("name", ["found", "job", "refused"])
def test_the_columns_fit_their_room(name: str) -> None:
    for units in ("metric", "inch"):
        for language in ("en", "de"):
            assert_fits(build_view(CASES[name](), units=units, language=language))


@settings(max_examples=8)
@given(
    states=st.integers(1, 30),
    holds=st.integers(0, 60),
    name=st.sampled_from(["x", LONG, "W" * 300, "Kfz-" * 60]),
    units=st.sampled_from(["metric", "inch"]),
    language=st.sampled_from(["en", "de"]),
)
def test_the_page_never_overflows(
    states: int, holds: int, name: str, units: str, language: str
) -> None:
    plan = stretched(job(), states, holds, name)
    about = About(vehicle=name, bay=name, job=name, workshop=name, reference=name)
    view = build_view(plan, about, units=units, language=language)
    assert_fits(view)
    assert pages_in(render_pdf(view)) == 1


def test_a_long_job_with_forty_hold_points_says_what_is_left_out() -> None:
    fit = page_fit(build_view(job()))
    states, right = fit[0]["kept"], fit[1]["kept"]
    assert states == [12], "no state is left out"
    assert right[0] == 6, "no check is left out"
    assert 12 <= right[2] < 40, "all twelve signatures stay"
    assert right[3] >= 4, "cautions stay"


def test_a_short_job_leaves_nothing_out_but_common_cautions() -> None:
    fit = page_fit(build_view(found()))
    assert fit[0]["kept"] == [1]
    assert fit[1]["kept"][:3] == [6, 0, 13]


def test_the_same_view_gives_the_same_bytes_in_another_process() -> None:
    script = (
        "import hashlib; from tests.card_cases import found; from underset.card import *;"
        "print(hashlib.sha256(render_pdf(build_view(found()))).hexdigest())"
    )
    there = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT}"},
    ).stdout.strip()
    assert hashlib.sha256(render_pdf(build_view(found()))).hexdigest() == there


def test_no_letter_on_paper_is_smaller_than_eight_points_and_key_figures_have_fourteen() -> None:
    text = (TEMPLATES / "card.typ").read_text("utf-8")
    sizes = [float(n) for n in re.findall(r"(?:text\(|size: )(\d+(?:\.\d+)?)pt", text)]
    assert min(sizes) >= 8.0
    assert len(sizes) > 20
    assert text.count("shrunk(value, (14pt, ") == 1
    assert "size: 15pt) = block(" in text
    assert 'text(18pt, weight: "bold", card.spot.value)' in text


def test_drawings_stand_on_paper_at_their_own_size() -> None:
    """Letters of drawings are 2.9 mm (8.2 pt) high only if the page does not shrink them."""
    text = (TEMPLATES / "card.typ").read_text("utf-8")
    assert f"columns: ({LEFT_COLUMN:.0f}mm, 1fr)" in text
    assert TEXT / (25.4 / 72) >= 8.0


def test_the_fonts_are_the_packages_own() -> None:
    pdf = render_pdf(build_view(found()))
    named = set(re.findall(rb"/FontName\s*/[A-Z]{6}\+(\w+)", pdf))
    assert named <= {b"DejaVuSansCondensed", b"DejaVuSans"} | {n for n in named if b"DejaVu" in n}
    folder = Path(underset.card.__file__).parent / "fonts"
    assert {p.name for p in folder.iterdir()} == {
        "DejaVuSansCondensed.ttf",
        "DejaVuSansCondensed-Bold.ttf",
        "LICENCE.txt",
    }


def test_the_svg_page_tells_its_verdict_to_readers_of_the_screen_aloud() -> None:
    page = render_svg(build_view(found()))
    assert page.startswith("<svg")
    assert 'role="img"' in page[:400]
    assert "<title>Setting card: harbour-hatch, bay-1</title>" in page
    assert "2 checks want watching" in page
    assert "http" not in re.sub(r'xmlns(:\w+)?="[^"]+"', "", page)


def test_the_code_holds_the_payload() -> None:
    """The modules drawn are those the encoder laid out for this very payload (ISO/IEC 18004)."""
    import segno

    payload = build_view(found()).qr
    code = segno.make(payload, error="m", micro=False, boost_error=False)
    drawn = qr_svg(payload)
    dark = sum(sum(1 for bit in row if bit) for row in code.matrix)
    assert dark_modules(drawn) == dark
    assert f'viewBox="0 0 {len(code.matrix) + 4} {len(code.matrix) + 4}"' in drawn


def test_a_figure_is_never_cut() -> None:
    """Figures and statuses shrink to their room; only names are cut, and the cut is marked."""
    text = (TEMPLATES / "card.typ").read_text("utf-8")
    cut = set(re.findall(r"one-line\(\s*(\w[\w.]*)", text))
    assert cut & {"value", "b.tooth", "b.turns", "b.reach", "b.load", "card.spot.value"} == set()
    plan = with_reach(job(), 0.0254 * (57 + 11 / 16))
    for language in ("en", "de"):
        told = page_fit(build_view(plan, units="inch", language=language), "<shrunk>")
        assert [one["words"] for one in told].count("57 11/16") == 4
        assert [one["words"] for one in told if not one["fits"]] == []


def test_long_names_of_a_stack_stand_on_two_lines_with_the_height_behind_them() -> None:
    names = {
        "Heavy spacer 100 + Frame cradle, heavy": True,
        "Very long name of one spacer + Very long name of another + Head of a long name": False,
    }
    for joined, whole in names.items():
        view = with_stack(build_view(found(), language="de"), joined.split(" + "))
        assert_fits(view)
        told = {one["words"]: one["whole"] for one in page_fit(view, "<whole>")}
        assert told[joined] is whole
        assert told[view.verdict] and told[view.spot.place]


# --- helpers --------------------------------------------------------------------------------------


def assert_fits(view: CardView) -> None:
    for column in page_fit(view):
        assert column["used"] <= column["room"] + 1e-6, column


def with_stack(view: CardView, names: list[str]) -> CardView:
    pieces = tuple(StackPiece(name, "77 mm", "") for name in names)
    return replace(view, corners=tuple(replace(b, pieces=pieces) for b in view.corners))


def pages_in(pdf: bytes) -> int:
    """Page count from the page tree; typst writes it uncompressed or we ask the SVG writer."""
    counts = [int(n) for n in re.findall(rb"/Type\s*/Pages\b.*?/Count\s+(\d+)", pdf, re.DOTALL)]
    counts += [int(n) for n in re.findall(rb"/Count\s+(\d+)[^>]*?/Type\s*/Pages\b", pdf)]
    assert counts, "no page tree found"
    return max(counts)


def with_reach(plan: Plan, reach: float) -> Plan:
    assert plan.best is not None
    arms = tuple(replace(arm, reach=reach) for arm in plan.best.setting.arms)
    setting = replace(plan.best.setting, arms=arms)
    return replace(plan, best=replace(plan.best, setting=setting))  # type: ignore[arg-type]


def stretched(plan: Plan, states: int, holds: int, name: str) -> Plan:
    assert plan.best is not None
    many = tuple(
        replace(plan.best.states[i % 12], name=f"s{i}", label=f"{i} {name}") for i in range(states)
    )
    return replace(
        plan,
        best=replace(plan.best, states=many),
        hold_points=many_hold_points(max(holds, 13))[:holds],
    )


def dark_modules(drawn: str) -> int:
    """Dark modules from the horizontal runs of the path."""
    return sum(int(n) for n in re.findall(r"h(\d+)", drawn.split('<path class="qrline"')[-1]))
