"""What would make it work, on the sample workshop: every remedy is judged again here too."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module

import pytest

from tests.judge_cases import bay, head, plain_case, points, spacer, vehicle
from tests.sample_cases import case, searched, workshop
from underset.job.states import states_of
from underset.planner.changes import Change, Voice, without
from underset.planner.remedies import Asking, Proposals, _Bench, propose, remedies
from underset.planner.search import Found, Limits, search
from underset.setting.evaluate import Case
from underset.setting.numbers import ZoneNumbers
from underset.setting.result import Evaluation, Outcome, Plan, Remedy, Status
from underset.statics import Item, total


def refused(found: Found) -> Plan:
    return Plan(found.outcome, None, (), (), (), (), found.count)


def proposed(vehicle_id: str, bay_id: str, job: str | None = None, **more: object):
    found = searched(vehicle_id, bay_id, job)
    asking = Asking(found={bay_id: found}, **more)  # type: ignore[arg-type]
    return propose([case(vehicle_id, bay_id, job)], refused(found), asking)


def only(found, kind: str) -> Remedy:
    rows = [r for r in found.remedies if r.kind == kind]
    assert rows, [r.kind for r in found.remedies]
    return rows[0]


def test_nothing_is_proposed_for_a_plan_that_was_found() -> None:
    found = searched("harbour-hatch", "north")
    assert remedies([case("harbour-hatch", "north")], refused(found)) == ()


def test_cargo_comes_out_by_the_amount_that_is_needed() -> None:
    remedy = only(proposed("chandler-van", "yard"), "load-out")
    assert remedy.outcome is Outcome.FOUND
    assert remedy.evaluation is not None
    assert remedy.evaluation.usable
    assert "cargo" in remedy.text
    kilograms = float(remedy.text.split(" kg")[0].split()[-1])
    assert 0.0 < kilograms < 1180.0
    loaded = total(case("chandler-van", "yard").states[0].items).mass
    assert remedy.evaluation.states[0].mass == pytest.approx(loaded - kilograms, abs=1.0)
    # Ten kilograms less is not enough.
    it = next(i for n, i, _ in case("chandler-van", "yard").vehicle.parts if n == "cargo")
    less = without(case("chandler-van", "yard"), it, (kilograms - 10.0) / it.mass)
    from underset.setting.bearing import bearing_status

    assert bearing_status(less, remedy.evaluation.setting) is Status.STOPS


def test_the_other_bay_is_named_where_one_takes_it() -> None:
    others = tuple(case("crew-pickup", b) for b in sorted(workshop().bays) if b != "north")
    remedy = only(proposed("crew-pickup", "north", elsewhere=others), "bay")
    assert remedy.bay == "yard"
    assert workshop().bays["yard"].label in remedy.text


def test_another_bay_with_a_change_is_found_last() -> None:
    others = tuple(case("chandler-van", b) for b in sorted(workshop().bays) if b != "north")
    found = proposed("chandler-van", "north", elsewhere=others)
    remedy = only(found, "bay+load-out")
    assert remedy.bay == "yard"
    assert remedy.evaluation is not None
    assert remedy.evaluation.usable


def test_missing_spacers_are_asked_for_by_number() -> None:
    found = proposed("island-minibus", "yard")
    texts = [r.text for r in found.remedies if r.kind == "adapter"]
    assert any("4 × Heavy spacer" in t for t in texts)
    for remedy in found.remedies:
        assert remedy.evaluation is None or remedy.evaluation.usable


def test_what_cures_but_for_a_question_nobody_asked_is_shown_as_incomplete() -> None:
    """Once one unanswered question hid every remedy."""
    asked = dict(case("island-minibus", "yard").intake)
    less = replace(
        case("island-minibus", "yard"),
        intake=tuple((q, "not asked" if q == "rust_at_points" else a) for q, a in asked.items()),
    )
    found = search([less])
    asking = Asking(found={"yard": found}, voice=Voice("metric", "de"))
    told = propose([less], refused(found), asking).remedies
    assert told and all(r.outcome is Outcome.INCOMPLETE for r in told)
    remedy = next(r for r in told if r.kind == "adapter")
    assert remedy.text.startswith("4 × Heavy spacer")
    assert remedy.text.endswith("noch nicht bekannt: Gefragt: Rost an den Punkten.")
    assert remedy.evaluation is not None
    assert remedy.evaluation.status is Status.NOT_KNOWN
    # Where nothing stops today, no change is shown that leaves the same question open.
    hatch = replace(case("harbour-hatch", "north"), intake=less.intake)
    unclear = search([hatch])
    elsewhere = [replace(case("harbour-hatch", "south"), intake=less.intake)]
    plan = refused(unclear)
    assert plan.outcome is Outcome.INCOMPLETE
    assert propose([hatch], plan, Asking(found={"north": unclear}, elsewhere=elsewhere)) == (
        Proposals(())
    )


def test_a_stand_is_proposed_for_a_later_state() -> None:
    remedy = only(proposed("market-suv", "north", "suv-rear-axle-out"), "stand")
    assert "front subframe" in remedy.text
    assert remedy.evaluation is not None
    assert remedy.evaluation.usable
    assert any(s.supports and s.supports[0].kind == "stand" for s in remedy.evaluation.states)


def test_an_estimate_asks_for_scales() -> None:
    remedy = only(proposed("harbourmaster-classic", "north"), "measure")
    assert remedy.outcome is Outcome.INCOMPLETE
    assert "weights.front" in remedy.text
    assert dict(remedy.details)["how"].startswith("Drive each axle")


def test_remedies_come_by_rising_effort() -> None:
    found = proposed("market-suv", "north", "suv-rear-axle-out")
    efforts = [r.effort for r in found.remedies]
    assert efforts == sorted(efforts)
    assert len(efforts) >= 2


def test_what_cures_all_by_itself_gets_no_second_change(monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[tuple[str, ...]] = []

    def told(bench: object, case: Case, start: Evaluation, changes: tuple[Change, ...]):
        tried.append(tuple(c.kind for c in changes))
        return frozenset() if tried[-1] == ("part-first",) else frozenset({"least_pad"})

    both = frozenset({"least_pad", "pad_split"})
    module = import_module("underset.planner.remedies")
    monkeypatch.setattr(module, "stops_of", lambda evaluation: both)
    monkeypatch.setattr(_Bench, "tried", told)
    proposed("market-suv", "north", "suv-rear-axle-out")
    assert ("part-first",) in tried
    assert ("load-out",) in tried
    assert all("part-first" not in kinds for kinds in tried if len(kinds) == 2)


def test_the_same_question_gets_the_same_answer() -> None:
    first, second = (proposed("island-minibus", "yard") for _ in range(2))
    assert [(r.kind, r.text) for r in first.remedies] == [(r.kind, r.text) for r in second.remedies]


def test_work_that_runs_out_is_told() -> None:
    found = proposed("island-minibus", "yard", work=3)
    assert found.cut
    assert found.remedies == ()


def test_they_are_told_in_german_and_inches() -> None:
    found = proposed("chandler-van", "yard", voice=Voice("inch", "de"))
    text = only(found, "load-out").text
    assert "lb" in text
    assert "ausladen" in text


# --- on made cases --------------------------------------------------------------------------------


def mended(made: Case, **more: object):
    found = search([made])
    assert found.outcome is Outcome.NONE
    asking = Asking(found={made.bay.id: found}, **more)  # type: ignore[arg-type]
    return propose([made], refused(found), asking)


def test_working_lower_where_the_ceiling_is_low() -> None:
    from underset.records.job import Job, Raise
    from underset.units import quantity

    car = vehicle()
    job = Job(label="x", vehicle="hatch", steps=(Raise(kind="raise", seat=quantity(1700, "mm")),))
    made = plain_case(car, bay(ceiling=3.0), (), states_of(car, job))
    remedy = only(mended(made), "work-lower")
    assert remedy.evaluation is not None
    assert remedy.evaluation.usable
    assert "1.7" not in remedy.text.split("instead")[0]


def test_a_catalogue_piece_is_proposed() -> None:
    boards = tuple(
        ZoneNumbers(
            f"board-{s}", "running board",
            ((-0.3, s * 0.80), (-2.4, s * 0.80), (-2.4, s * 0.95), (-0.3, s * 0.95)),
            0.30, False, True, False,
        )
        for s in (1, -1)
    )  # fmt: skip
    made = plain_case(vehicle(point_sets=(points(up=0.42),), zones=boards), None, (head(),))
    sold = spacer("sold", 0.12, 0)
    remedy = only(mended(made, catalogue=(sold,)), "adapter")
    assert "4 × sold" in remedy.text
    assert "catalogue" in remedy.text


def test_other_points_are_found_when_only_some_were_asked_for() -> None:
    near = replace(points(half=0.15), id="near", label="Too near the middle")
    made = plain_case(vehicle(point_sets=(near, points())))
    limits = Limits(point_set="near")
    found = search([made], limits)
    assert found.outcome is Outcome.NONE
    asking = Asking(found={"plain": found}, limits=limits)
    remedy = only(propose([made], refused(found), asking), "point-set")
    assert "Four bosses" in remedy.text
    assert remedy.evaluation is not None
    assert remedy.evaluation.setting.point_set == "bosses"


def test_a_part_of_a_load_leaves_the_ledger_everywhere() -> None:
    cargo = Item("cargo", 400.0, 10.0, (-2.0, 0.0, 0.8), (0.1, 0.05, 0.05))
    made = plain_case(vehicle(parts=(("cargo", cargo, True),)))
    lighter = without(made, cargo, 0.25)
    for before, after in zip(made.states, lighter.states, strict=True):
        a, b = total(before.items), total(after.items)
        assert b.mass == pytest.approx(a.mass - 100.0)
        assert b.mass * b.cg[0] == pytest.approx(a.mass * a.cg[0] + 200.0)
