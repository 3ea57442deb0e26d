"""The card's view: what is chosen, in which order, and how it is told."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace

import pytest

import underset.card.view as declared
from tests.card_cases import CASES, SHOP, VAN, found, incomplete, job, refused, scene, stopped
from underset.card.build import About, build_view
from underset.card.cautions import KEYS, cautions
from underset.card.plan_view import plan_svg
from underset.card.text import verdict_text
from underset.card.view import CardView
from underset.card.working import working_view
from underset.card.working_pages import working_text
from underset.errors import InputError
from underset.setting.result import CORNERS, Check, Outcome, Plan, Status

ABOUT = About("Hatch", "Bay 1", "Clutch", "Quayside", "2025-11-25", "U-7", "ab" * 32)


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("name", CASES)
def test_every_plan_has_a_view_in_every_form(name: str, language: str, units: str) -> None:
    view = build_view(CASES[name](), ABOUT, units=units, language=language)
    assert (view.language, view.units) == (language, units)
    assert view.advice
    assert view.verdict
    assert len(view.cautions) == len(KEYS)
    assert bool(view.corners) == view.has_setting == (CASES[name]().best is not None)


def test_unknown_units_or_language_are_refused() -> None:
    with pytest.raises(InputError, match="units"):
        build_view(found(), units="furlong")
    with pytest.raises(InputError, match="language"):
        build_view(found(), language="xx")


# --- verdict --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "status", "verdict"),
    [
        ("found", "watch", "2 checks want watching"),
        ("stopped", "stops", "Do not lift: the setting stops holding at “drive unit out”"),
        ("refused", "stops", "no setting exists; 326 candidates"),
        ("incomplete", "unknown", "2 figures are missing"),
        ("limit", "unknown", "stopped at its limit after 5000 candidates; nothing is proved"),
    ],
)
def test_the_verdict_keeps_the_outcomes_apart(name: str, status: str, verdict: str) -> None:
    view = build_view(CASES[name]())
    assert view.status.key == status
    assert verdict in view.verdict


def test_a_setting_that_is_shown_but_not_usable_is_not_called_found() -> None:
    assert build_view(stopped()).outcome_word == "not usable as it stands"
    assert build_view(found()).outcome_word == "setting found"


def test_a_check_that_is_not_known_is_never_told_as_holding() -> None:
    plan = with_checks(found(), Check("balance", Status.NOT_KNOWN))
    view = build_view(plan)
    assert view.status.key == "unknown"
    assert "1 check is not known. Do not lift" in view.verdict


def test_when_all_holds_people_still_sign() -> None:
    plan = found()
    assert plan.best is not None
    first = plan.best.states[0]
    calm = tuple(c for c in first.checks if c.status is Status.HOLDS)
    best = replace(plan.best, states=(replace(first, checks=calm),))
    view = build_view(replace(plan, best=best))
    assert view.status.key == "holds"
    assert "still sign" in view.verdict


# --- a refusal shows nothing to set ---------------------------------------------------------------


@pytest.mark.parametrize("outcome", [Outcome.NONE, Outcome.LIMIT])
def test_a_nearest_miss_is_told_by_what_stops_it_and_never_by_figures_to_set(
    outcome: Outcome,
) -> None:
    view = build_view(replace(stopped(), outcome=outcome), ABOUT)
    assert not view.has_setting
    assert (view.corners, view.states, view.hold_points, view.picture) == ((), (), (), None)
    assert (view.spot.value, view.seat.value) == ("–", "–")
    assert "spot" not in view.qr
    assert {c.status.key for c in view.checks} == {"stops", "unknown"}
    assert view.titles.checks == "What stops the nearest miss (bay-1, tail first)"


def test_a_setting_that_lacks_figures_is_shown_as_not_known() -> None:
    plan = replace(stopped(), outcome=Outcome.INCOMPLETE, missing=incomplete().missing)
    view = build_view(plan, ABOUT)
    assert view.has_setting
    assert view.status.key == "unknown"
    assert view.verdict.startswith("Do not lift: 2 figures are missing")
    assert len(view.missing) == 2


# --- where ----------------------------------------------------------------------------------------


def test_the_spot_is_told_from_the_floor_mark() -> None:
    spot = build_view(found()).spot
    assert (spot.value, spot.place) == ("500 mm", "past yellow bar")
    assert spot.window == "window 479 to 538 mm"


def test_without_a_mark_the_spot_is_told_from_the_column_line() -> None:
    spot = build_view(job()).spot
    assert (spot.value, spot.place) == ("1620 mm", "short of column line")
    assert spot.window == "window 1582 to 1641 mm"


def test_a_window_on_both_sides_of_its_mark_is_signed() -> None:
    plan = found()
    assert plan.scene is not None
    mark = replace(plan.scene, mark=("tape", 1.101))
    spot = build_view(replace(plan, scene=mark)).spot
    assert (spot.value, spot.place) == ("1 mm", "short of tape")
    assert spot.window == "window −22 to 37 mm (+ is past it)"


def test_the_lower_of_ceiling_and_stop_bar_stands_beside_the_rise() -> None:
    rise = build_view(found()).rise
    assert (rise.value, rise.note) == ("1810 mm", "stop bar 3400 mm")
    plan = found()
    assert plan.scene is not None
    open_top = replace(plan.scene, ceiling=None, stop_bar=None, rise_limit=None)
    assert build_view(replace(plan, scene=open_top)).rise.value == "not known"


# --- corners --------------------------------------------------------------------------------------


def test_corner_boxes_lie_as_in_the_plan_drawing() -> None:
    boxes = {b.corner: (b.row, b.column) for b in build_view(found()).corners}
    assert boxes == {"LF": (0, 1), "RF": (1, 1), "LR": (0, 0), "RR": (1, 0)}
    turned = {b.corner: (b.row, b.column) for b in build_view(job()).corners}
    assert turned == {"LF": (1, 0), "RF": (0, 0), "LR": (1, 1), "RR": (0, 1)}


def test_a_corner_box_says_what_to_set() -> None:
    box = build_view(job()).corners[0]
    assert (box.corner, box.name, box.arm) == ("LF", "left front", "right rear arm")
    assert (box.tooth, box.turns, box.screw, box.contact) == ("12", "3", "12.0 mm", "peg hole")
    assert [p.label for p in box.pieces] == ["spacer 75", "screw pad 60"]
    assert box.pieces[1].screw == "screw out 12.0 mm, 3 turns"
    assert box.stack_height == "135 mm"


def test_the_status_of_a_corner_is_that_of_the_checks_that_name_it() -> None:
    words = {b.corner: b.status.key for b in build_view(found()).corners}
    assert words == {"LF": "holds", "RF": "holds", "LR": "watch", "RR": "holds"}
    plan = with_checks(found(), Check("arm_tyre", Status.STOPS, where="RF"))
    assert build_view(plan).corners[1].status.key == "stops"


def test_loads_range_over_all_states() -> None:
    plan = job()
    assert plan.best is not None
    low = min(s.pads[0].low for s in plan.best.states) / 1000
    high = max(s.pads[0].high for s in plan.best.states) / 1000
    first, last = build_view(plan).corners[0].load_range.split(" – ")
    assert float(first) == pytest.approx(low, abs=0.01)
    assert float(last) == pytest.approx(high, abs=0.01)


def test_a_state_whose_balance_is_not_known_shows_no_figure() -> None:
    plan = job()
    assert plan.best is not None
    states = list(plan.best.states)
    states[3] = replace(states[3], known=False)
    view = build_view(replace(plan, best=replace(plan.best, states=tuple(states))))
    row = view.states[3]
    assert {row.mass, row.cg, row.side, row.least, row.split} == {"–"}
    assert view.states[2].mass != "–"


def test_a_free_arm_and_unknown_thread_say_so() -> None:
    plan = found()
    assert plan.best is not None
    arms = plan.best.setting.arms
    free = replace(arms[0], tooth=None, turns=None)
    setting = replace(plan.best.setting, arms=(free, *arms[1:]))
    box = build_view(replace(plan, best=replace(plan.best, setting=setting))).corners[0]
    assert (box.tooth, box.turns) == ("no teeth", "not known")


# --- states, checks, hold points ------------------------------------------------------------------


def test_states_are_told_in_order_with_the_worst_ranked_to_stay() -> None:
    rows = build_view(stopped()).states
    assert [r.number for r in rows] == [str(i) for i in range(8)]
    assert (rows[0].rank, rows[7].rank) == (0, 1)
    assert sorted(r.rank for r in rows) == list(range(8))
    assert rows[0].split == "53 : 47"


def test_checks_come_worst_first_and_the_least_margins_follow() -> None:
    view = build_view(stopped())
    keys = [c.status.key for c in view.checks]
    order = ("stops", "unknown", "watch", "holds")
    assert keys == sorted(keys, key=order.index)
    assert keys.count("holds") == 4
    assert view.checks[0].state == "drive unit out"


def test_one_check_is_told_once_with_its_worst_state() -> None:
    titles = [c.title for c in build_view(job()).checks]
    assert len(titles) == len(set(titles))


def test_a_line_does_not_say_the_title_twice() -> None:
    for line in build_view(found()).checks:
        assert not line.sentence.startswith(line.title)


def test_sources_are_numbered_in_the_order_they_are_met() -> None:
    view = build_view(found())
    assert [s.number for s in view.sources] == list(range(1, len(view.sources) + 1))
    assert view.sources[0].text == SHOP
    cited = {int(n) for c in view.checks for n in re.findall(r"\d+", c.sources)}
    assert cited == {s.number for s in view.sources}


def test_signatures_outrank_ticks_when_a_page_is_crowded() -> None:
    lines = build_view(job()).hold_points
    signed = {p.rank for p in lines if p.sign}
    assert signed == set(range(len(signed)))


def test_tokens_in_facts_are_told_in_the_shops_units() -> None:
    plan = found()
    point = replace(plan.hold_points[9], facts=(("tyres off", "m:0.05"),))
    plan = replace(plan, hold_points=(point,))
    assert build_view(plan).hold_points[0].facts == ("tyres off 50 mm",)
    assert build_view(plan, units="inch").hold_points[0].facts == ("tyres off 1 15/16 in",)


# --- refusals, cautions, record -------------------------------------------------------------------


def test_refusals_come_most_first_with_their_nearest_miss() -> None:
    view = build_view(refused())
    assert [r.count for r in view.refusals] == ["212", "96", "18"]
    assert "11 mm" in view.refusals[0].nearest
    assert view.remedies[0].text.startswith("Use bay 3")
    assert build_view(found()).refusals == ()


def test_what_is_missing_is_told_with_why_and_how() -> None:
    line = build_view(incomplete()).missing[1]
    assert (line.why, line.how) == (
        "pad loads and the split need the centre of gravity",
        "weigh each axle",
    )


def test_cautions_that_bear_on_the_plan_come_first() -> None:
    assert cautions(found())[:2] == ("estimates", "points")
    first = cautions(job())[:3]
    assert set(first) == {"parts_off", "battery", "estimates"}
    rusty = with_checks(found(), Check("rust_at_points", Status.STOPS))
    assert "rust" in cautions(rusty)[:2]
    for plan in (found(), job(), refused()):
        assert sorted(cautions(plan)) == sorted(KEYS)


def test_the_code_carries_reference_hash_and_short_facts() -> None:
    lines = build_view(found(), ABOUT).qr.split("\n")
    assert lines[:3] == ["UNDERSET 1", "ref U-7", f"sha256 {'ab' * 16}"]
    assert "spot 1100 mm seat 110 mm nose-in" in lines
    assert lines[-1] == "INVENTED SAMPLE DATA"
    assert len(build_view(found(), ABOUT).qr.encode()) <= 200


def test_invented_data_is_marked_and_real_data_is_not() -> None:
    assert "INVENTED" in build_view(found()).invented
    assert build_view(replace(found(), invented=False)).invented == ""


def test_labels_fall_back_to_what_the_result_knows() -> None:
    view = build_view(found())
    assert view.vehicle.value == "harbour-hatch"
    assert (view.reference, view.date) == ("not in the book", "no date given")


# --- declaration ----------------------------------------------------------------------------------


def test_every_declared_field_says_what_it_holds() -> None:
    silent = [
        f"{kind.__name__}.{f.name}"
        for kind in declared_kinds()
        for f in fields(kind)
        if not f.metadata.get("help")
    ]
    assert silent == []


def declared_kinds() -> list[type]:
    kinds = [k for k in vars(declared).values() if isinstance(k, type) and is_dataclass(k)]
    return [k for k in kinds if k.__module__ == declared.__name__]


def test_a_scene_alone_is_enough_for_a_picture() -> None:
    van = replace(scene(VAN, job().best.setting), cg=None)  # type: ignore[union-attr]
    view = build_view(replace(job(), scene=van))
    assert isinstance(view, CardView)
    assert view.picture is not None
    assert view.picture.scene.cg is None


def with_checks(plan: Plan, *checks: Check) -> Plan:
    assert plan.best is not None
    first = replace(plan.best.states[0], checks=(*plan.best.states[0].checks, *checks))
    best = replace(plan.best, states=(first, *plan.best.states[1:]))
    return replace(plan, best=best, outcome=Outcome.FOUND)


def test_corners_are_in_the_order_of_the_frame() -> None:
    assert tuple(b.corner for b in build_view(found()).corners) == CORNERS


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("least_pad", {"unknown"}),
        ("arm_zone", {"unknown"}),
        ("way_in", {"unknown"}),
        ("lift_examined", {"holds", "watch"}),
    ],
)
def test_what_is_not_known_of_all_arms_holds_at_no_corner(name: str, keys: set[str]) -> None:
    plan = found()
    assert plan.best is not None
    first = plan.best.states[0]
    asked = replace(first, checks=(*first.checks, Check(name, Status.NOT_KNOWN)))
    best = replace(plan.best, states=(asked, *plan.best.states[1:]))
    boxes = build_view(replace(plan, best=best), ABOUT).corners
    assert {b.status.key for b in boxes} == keys


@pytest.mark.parametrize("plan", [stopped(), replace(found(), outcome=Outcome.INCOMPLETE)])
def test_no_window_is_told_or_drawn_that_nobody_proved(plan: Plan) -> None:
    view = build_view(plan, ABOUT)
    assert view.spot.window.startswith("no window: ")
    assert "window-band" in drawn(build_view(found(), ABOUT))
    assert "window-band" not in drawn(view)
    assert verdict_text(view).count("no window: ") == 1
    assert "not proved)" in working_text(working_view(plan, ABOUT))
    assert "not proved)" not in working_text(working_view(found(), ABOUT))


def drawn(view: CardView) -> str:
    assert view.picture is not None
    shown = view.picture
    return plan_svg(shown.scene, shown.setting, statuses=shown.statuses)


def test_a_vehicle_that_stands_is_told_no_window_that_nobody_proved() -> None:
    planned, stood = (build_view(found(), replace(ABOUT, parked=p)).spot for p in (False, True))
    assert planned.window.startswith("window ")
    assert (stood.label, stood.window) == ("Front axle stands", "as measured")
    assert (stood.value, stood.place) == (planned.value, planned.place)


def test_one_missing_figure_is_told_once_with_what_it_leaves_open() -> None:
    plan = found()
    assert plan.best is not None
    note = ("mass or balance not known",)
    names = ("rated_load", "arm_load", "least_pad", "cg_edge")
    lost = {n: Check(n, Status.NOT_KNOWN, note=note) for n in names}
    unclear = Check(
        "push_tip", Status.NOT_KNOWN, 3.0, 4.0, unit="N", note=note
    )  # has its own figures
    states = tuple(
        replace(
            s, checks=(*(lost.get(c.name, c) for c in s.checks if c.name != "push_tip"), unclear)
        )
        for s in plan.best.states
    )
    open_plan = replace(plan, outcome=Outcome.INCOMPLETE, best=replace(plan.best, states=states))
    told = [c for c in build_view(open_plan).checks if c.status.key == "unknown"]
    once = [c for c in told if c.sentence.startswith("this leaves open ")]
    assert len(once) == 1
    assert once[0].title == "Mass or balance is not known: weigh the axles"
    assert "Load on one arm" in once[0].sentence
    assert "Least pad load" in once[0].sentence
    assert once[0].state == "at every step"
    assert any("tipping" in c.title for c in told)
    german = build_view(open_plan, language="de").checks
    assert any(c.state == "bei jedem Schritt" for c in german)
