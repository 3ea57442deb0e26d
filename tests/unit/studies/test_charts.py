"""Pictures of the studies: what they say in words and shapes, whole and safe as SVG."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from underset.errors import InputError
from underset.setting import Check, Outcome, Status
from underset.studies.chart_day import printable, why_not
from underset.studies.chart_frame import MARKS, mark, nice_axis, wrapped
from underset.studies.chart_lifts import lifts_picture
from underset.studies.chart_words import WORDS
from underset.studies.charts import board_picture, coverage_picture, curve_picture
from underset.studies.coverage import Cell, Coverage
from underset.studies.coverage_table import Telling
from underset.studies.day import (
    Day,
    DayBay,
    DayJob,
    DayPerson,
    Effort,
    Refusal,
    Scarce,
    Short,
    Stock,
    schedule,
)
from underset.studies.day_table import as_json, board_from_json
from underset.studies.kit import KitCase, Limits, Offer, Visit, Way, trade_off
from underset.studies.lifts import LiftChoice, Sensitivity

SVG = "{http://www.w3.org/2000/svg}"
ENGLISH = Telling({"hatch": "Hatch & <co>", "east": "East bay", "four": "four blocks"})
REASON = Check("arm_tyre", Status.STOPS, 0.01, 0.025, -0.015, -0.6, "m")


def coverage(**change: object) -> Coverage:
    found = Outcome.FOUND
    cells = (
        Cell("hatch", "east", found, 80.0, Status.HOLDS, least_margin=0.25),
        Cell("hatch", "west", found, 80.0, Status.WATCH, least_margin=0.04),
        Cell("van", "east", Outcome.NONE, 20.0, reason=REASON, remedy="Add tall heads."),
        Cell("van", "west", Outcome.INCOMPLETE, 20.0),
    )
    return replace(Coverage(("hatch", "van"), ("east", "west"), cells, invented=True), **change)


def words_of(picture: str) -> list[str]:
    return [t.text or "" for t in ElementTree.fromstring(picture).iter(f"{SVG}text")]


def titles_of(picture: str) -> list[str]:
    return [t.text or "" for t in ElementTree.fromstring(picture).iter(f"{SVG}title")]


def test_the_coverage_says_first_in_words_what_it_shows():
    said = words_of(coverage_picture(coverage(), ENGLISH))
    assert said[0] == "1 of 2 vehicles can be lifted; 80.0 % of all visits"
    assert "Invented sample data: not for use." in said
    assert "Advice only; people decide. No verdict is a permission." in said


def test_every_cell_has_a_sign_and_says_itself_aloud():
    picture = coverage_picture(coverage(), ENGLISH)
    for title in (
        "Hatch & <co>, East bay, takes it",
        "Hatch & <co>, west, takes it, watch",
        "van, East bay, no",
        "van, west, not known",
    ):
        assert title in titles_of(picture)
    assert {"25.0 %", "4.0 %"} <= set(words_of(picture))


def test_a_vehicle_that_no_bay_takes_stands_first_with_reason_and_remedy():
    said = words_of(coverage_picture(coverage(), ENGLISH))
    assert said.index("No bay takes:") < said.index("van") < said.index("Taken:")
    assert said.index("Taken:") < said.index("Hatch & <co>")
    reason = next(s for s in said if "Add tall heads." in s)
    assert "10 mm" in reason


def test_a_bay_that_only_lacks_a_figure_gives_the_reason_before_one_that_cannot():
    cells = (
        Cell("van", "east", Outcome.NONE, 20.0, reason=REASON),
        Cell("van", "west", Outcome.INCOMPLETE, 20.0, reason=Check("arm_zone", Status.NOT_KNOWN)),
    )
    told = Coverage(("van",), ("east", "west"), cells)
    said = " ".join(words_of(coverage_picture(told, ENGLISH)))
    assert "west: Arms to the underbody" in said
    assert "East bay: " not in said


def test_long_lists_are_cut_and_say_so():
    cells = tuple(Cell(f"v{i}", "east", Outcome.FOUND, None, Status.HOLDS) for i in range(50))
    told = Coverage(tuple(f"v{i}" for i in range(50)), ("east",), cells)
    said = words_of(coverage_picture(told, ENGLISH, most=40))
    assert "and 10 more" in said
    assert "50 of 50 vehicles can be lifted" in said
    assert "Invented sample data: not for use." not in said


def test_signs_differ_in_shape_not_only_in_colour():
    shapes = {key: re.sub(r'class="[^"]*"', "", mark(key, (0.0, 0.0))) for key in MARKS}
    assert len(set(shapes.values())) == len(MARKS)


@pytest.mark.parametrize("theme", ["print", "screen", "bare"])
def test_pictures_are_whole_svg_in_every_theme_and_the_same_each_time(theme: str):
    pictures = [
        (
            coverage_picture(coverage(), ENGLISH, theme),
            coverage_picture(coverage(), ENGLISH, theme),
        ),
        (curve_picture(curve(), ENGLISH, theme), curve_picture(curve(), ENGLISH, theme)),
        (board_picture(*board(), ENGLISH, theme), board_picture(*board(), ENGLISH, theme)),
    ]
    for first, second in pictures:
        root = ElementTree.fromstring(first)
        assert root.tag == f"{SVG}svg"
        assert root.get("role") == "img"
        assert first == second
        assert ("prefers-color-scheme:dark" in first) == (theme == "screen")
        assert ("<style>" in first) == (theme != "bare")
        width, height = (float(n) for n in root.get("viewBox").split()[2:])
        for text in root.iter(f"{SVG}text"):
            assert 0 <= float(text.get("x")) <= width
            assert 0 <= float(text.get("y")) <= height


# --- cost against share --------------------------------------------------------------------------


def curve(**limits: object):
    visits = (
        Visit("hatch", 60.0, (Way("east", (("block", 4),)),)),
        Visit("van", 40.0, (Way("east", (("head", 4),)),)),
    )
    offers = (Offer("four", 80.0, (("block", 4),)), Offer("heads", 120.0, (("head", 4),)))
    return trade_off(KitCase(visits, offers), **limits)


def test_the_curve_lists_what_its_points_buy():
    said = words_of(curve_picture(curve(), ENGLISH, currency="EUR", invented=True))
    assert "0 EUR: 0.0 %; nothing to buy" in said
    assert "80 EUR: 60.0 %; 1 × four blocks" in said
    assert "200 EUR: 100.0 %; 1 × four blocks, 1 × heads" in said
    assert "every point worth having is here" in said
    assert "Invented sample data: not for use." in said


def test_points_stand_where_cost_and_share_say():
    root = ElementTree.fromstring(curve_picture(curve(), ENGLISH))
    dots = [c for c in root.iter(f"{SVG}circle") if c.get("class") == "us-point"]
    xs, ys = ([float(c.get(k)) for c in dots] for k in ("cx", "cy"))
    assert len(dots) == 3
    assert (xs[1] - xs[0]) / (xs[2] - xs[0]) == pytest.approx(80 / 200, abs=0.01)
    assert (ys[0] - ys[1]) / (ys[0] - ys[2]) == pytest.approx(0.6, abs=0.01)


def test_points_that_are_not_proved_are_hollow_and_a_cut_curve_says_so():
    full = curve()
    from underset.studies.kit import Proof

    doubtful = replace(
        full,
        points=(replace(full.points[0], proof=Proof.FEASIBLE), *full.points[1:]),
        complete=False,
    )
    picture = curve_picture(doubtful, ENGLISH)
    classes = [c.get("class") for c in ElementTree.fromstring(picture).iter(f"{SVG}circle")]
    assert classes.count("us-hollow") == 1
    assert "points are missing; hollow: not proved to be the best" in words_of(picture)


def test_an_empty_curve_is_drawn_too():
    empty = trade_off(KitCase((), ()), limits=Limits())
    assert "share of visits" in words_of(curve_picture(empty, ENGLISH))


@pytest.mark.parametrize(
    ("high", "top"), [(1.0, 1.0), (7.3, 8.0), (940.0, 1000.0), (1001.0, 1200.0)]
)
def test_axes_end_at_round_figures(high: float, top: float):
    axis = nice_axis(high, 0.0, 100.0)
    assert axis.high == pytest.approx(top)
    assert 4 <= len(axis.ticks) - 1 <= 8
    assert axis.at(axis.high) == 100.0


# --- the day -------------------------------------------------------------------------------------


def board():
    ways = (Way("east", (("block", 4),)), Way("west", (("block", 4),)))
    jobs = (
        DayJob("brakes <front>", "hatch", 60, 540, ways, 480),
        DayJob("oil", "hatch", 60, 560, ways, 480),
        DayJob("never", "bus", 60, 600, (), 480),
    )
    bays = (DayBay("east"), DayBay("west", ((700, 760),)))
    people = (DayPerson("Ann", ((480, 780),)), DayPerson("Ben", ((480, 780),)))
    day = Day(jobs, bays, people, (Stock("block", 4),))
    return day, schedule(day, Effort(rounds=3, round_work=0.01, proof_work=0.01))


def test_the_board_says_who_where_when_and_what_is_late():
    day, made = board()
    picture = board_picture(day, made, ENGLISH, invented=True)
    said = words_of(picture)
    assert "brakes <front>" in said
    assert "late 40 min" in said
    assert any("out of" in s for s in said)
    assert {"08:00", "13:00", "East bay", "west"} <= set(said)
    assert any(t.startswith("oil; 09:00 – 10:00;") and "4 × block" in t for t in titles_of(picture))
    late = [
        r for r in ElementTree.fromstring(picture).iter(f"{SVG}rect") if r.get("class") == "us-late"
    ]
    assert len(late) == 1


def test_the_board_says_what_is_left_off_and_why():
    day, made = board()
    said = words_of(board_picture(day, made, ENGLISH))
    assert "never: would go with a bay that takes it: none does today, see its plan" in said
    assert any(s.startswith("left off: 1 (proved, no board beats it)") for s in said)
    assert any("minutes late: 40" in s for s in said)


def test_scarce_pieces_are_counted_under_the_bays():
    day, made = board()
    picture = board_picture(day, made, ENGLISH)
    assert "block: 4" in words_of(picture)
    full = [
        r for r in ElementTree.fromstring(picture).iter(f"{SVG}rect") if r.get("class") == "us-full"
    ]
    assert len(full) == 1
    assert "08:00 – 10:00: 4" in titles_of(picture)


def test_the_printed_list_has_a_row_for_every_job_on_the_board():
    _, made = board()
    rows = list(printable(made, ENGLISH))
    assert [r[:2] for r in rows] == [("08:00", "09:00"), ("09:00", "10:00")]
    assert rows[1][3:] == ("oil", rows[1][4], "4 × block", "40 min")


def test_reasons_are_told_as_either_or_and_as_both():
    shorts = (Short(Scarce.PIECE, "block", 8, 12), Short(Scarce.HOURS, "", 1020, 1055))
    either = why_not(Refusal("oil", shorts), ENGLISH)
    assert either == "oil: would go with block: 12, not 8; or work until 17:35, not 17:00"
    both = (Short(Scarce.PERSON, "welding", 0, 1), Short(Scarce.STRETCH, "", 240, 300))
    said = why_not(Refusal("oil", (), both), ENGLISH)
    assert (
        said == "oil: would go with people for welding: 1, not 0; and 300 min at a stretch, not 240"
    )


def test_german_pictures_have_every_word_and_speak_german():
    assert set(WORDS["de"]) == set(WORDS["en"])
    german = Telling({}, "metric", "de")
    assert "Kein Platz nimmt:" in words_of(coverage_picture(coverage(), german))
    assert "Was jede Summe bringt" in words_of(curve_picture(curve(), german))
    assert "Tagestafel" in words_of(board_picture(*board(), german))


def test_words_are_wrapped_to_the_room_without_losing_any():
    words = "Add four tall heads of 120 mm to the shelf of the yard"
    lines = wrapped(words, 30.0)
    assert " ".join(lines) == words
    assert len(lines) > 2


def test_which_lift_is_told_in_numbers_beside_the_bars():
    gains = (Sensitivity("arm reach", "+100 mm", 0.0), Sensitivity("rise", "+200 mm", 0.12))
    found = (
        LiftChoice("tall", 0.4, 0.7, 0.1, 0.9, 760.0, ("van",), gains),
        LiftChoice("low", 0.3, 0.6, 0.0, 0.6, 0.0, (), gains),
    )
    said = words_of(lifts_picture(found, ENGLISH, currency="EUR"))
    assert {"tall", "alone 40.0 %", "shop with it 70.0 %", "+12.0 %", "0"} <= set(said)
    assert "and its shelf 90.0 %, 760 EUR" in said
    assert not any(s.startswith("and its shelf 60") for s in said)


def test_a_board_comes_back_from_its_json():
    _, made = board()
    again = board_from_json(as_json(made))
    assert again.slots == made.slots
    with pytest.raises(InputError):
        board_from_json('{"slots": [1]}')
