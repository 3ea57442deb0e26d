"""An old card made again: equal to the byte, whatever was changed since, on both databases."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.web_cases import client_of
from underset.app import Actor, Shop, Wish, kept_plans, open_shop, rendering, runs, sample_folder
from underset.cli import main
from underset.records import policy_from
from underset.store import PlanMade, Query, TakenOut, body_of

DAY, LATER = date(2026, 11, 20), date(2027, 6, 1)
BY = Actor("jorun", "tablet-2")
WISH = Wish("harbour-hatch", "hatch-engine-out", ("north",))
LOOKS = (("metric", "en", ".svg"), ("inch", "de", ".html"))


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where the shop's store is made, on either engine."""
    if request.param == "sqlite":
        return str(tmp_path / "book.db")
    return str(request.getfixturevalue("postgres_url"))


def card_now(shop: Shop, look: tuple[str, str, str]) -> bytes:
    """The card as pages and programs get it today."""
    planned = shop.plan(WISH, BY.person)
    return rendering.card(shop.workshop(), planned, shop.day().isoformat(), *look)


def written(shop: Shop) -> str:
    """A plan in the book, by the start of its run."""
    plan = runs.run_of(shop, runs.start_run(shop, WISH, BY)).plan
    assert plan
    return plan


def changed(shop: Shop) -> None:
    """Everything the plan was made from is changed: vehicle, bay, rules, name, papers, shelf."""
    vehicle, bay = shop.record("vehicle", "harbour-hatch"), shop.record("bay", "north")
    renamed = vehicle.record.model_copy(update={"label": "Another hatch"})
    shop.save("vehicle", "harbour-hatch", renamed, vehicle.version, BY)
    shop.save("bay", "north", bay.record.model_copy(update={"label": "Moved"}), bay.version, BY)
    about = shop.record("workshop", "workshop")
    renamed = about.record.model_copy(update={"name": "Elsewhere", "today": LATER})
    shop.save("workshop", "workshop", renamed, about.version, BY)
    policy = shop.record("policy", "policy")
    shop.save("policy", "policy", stricter(policy.record), policy.version, BY)
    shop.write_down(TakenOut(thing="bay", id="north", reason="rope frayed"), BY)
    for listed in shop.listed("adapter"):
        shop.remove("adapter", listed.id, listed.version, BY)


def stricter(policy: Any) -> Any:
    """Rules under which the balance lies too near an edge."""
    return policy_from({**body_of(policy), "edge_stop": {"value": "2 m", "source": "shop policy"}})


def test_it_is_the_same_to_the_byte_whatever_has_changed_since(
    place: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with_shop = open_shop(place, seed=sample_folder(), clock=lambda: DAY)
    first = {look: card_now(with_shop, look) for look in LOOKS}
    plan = written(with_shop)
    changed(with_shop)
    assert with_shop.plan(WISH, BY.person).plan.outcome.value != "found"
    with_shop.close()
    for (units, language, kind), before in first.items():
        target = tmp_path / f"{language}{kind}"
        asked = ("book", "card", plan, str(target), "--store", place)
        assert main([*asked, "--units", units, "--language", language]) == 0
        assert "finds the same" in capsys.readouterr().out
        assert target.read_bytes() == before


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Shop, str, bytes]]:
    """A shop with a plan in its book, and the plan's first card."""
    place = tmp_path_factory.mktemp("kept") / "book.db"
    shop = open_shop(place, seed=sample_folder(), clock=lambda: DAY)
    first = card_now(shop, ("metric", "en", ".html"))
    yield shop, written(shop), first
    shop.close()


Kept = tuple[Shop, str, bytes]


def card(kept: Kept, target: Path, *more: str) -> int:
    return main(["book", "card", kept[1], str(target), "--store", kept[0].store.place, *more])


def test_the_page_of_its_entry_and_its_run_lead_to_it(kept: Kept) -> None:
    shop, plan, first = kept
    client = client_of(shop)
    number = _number(shop, plan)
    links = [f"/book/plan/{plan}/card.{kind}" for kind in ("pdf", "svg", "html")]
    page = client.get(f"/book/{number}").text
    assert all(f'action="{link}"' in page for link in links)
    assert f'href="{links[0]}?"' in client_of(shop, person="").get(f"/book/{number}").text
    assert client.get(links[2]).content == first
    assert client.get(links[0]).content.startswith(b"%PDF")
    run = runs.waiting(shop)[0].id
    assert f'action="{links[0]}"' in client.get(f"/run/{run}").text
    assert client.get("/book/1").text.count("/card.") == 0
    assert client.get("/book/plan/plan-none/card.pdf").status_code == 404
    assert client.get(f"/book/plan/{plan}/card.exe").status_code == 422


def test_a_printed_card_is_written_down_with_who_which_plan_and_form(kept: Kept) -> None:
    shop, plan, first = kept
    client, run = client_of(shop, person="tavi"), runs.waiting(shop)[0].id
    answer = client.post(f"/book/plan/{plan}/card.html", data={"run": run})
    assert (answer.status_code, answer.headers["location"]) == (303, f"/book/plan/{plan}/card.html")
    assert client.get(answer.headers["location"]).content == first
    told = shop.events(Query()).events[0]
    assert (told.kind, told.person) == ("card printed", "tavi")
    assert told.payload == {"plan": plan, "run": run, "form": "HTML"}
    new = client.post("/card.pdf", data={"vehicle": WISH.vehicle, "bay": WISH.bays[0]})
    told, made = shop.events(Query()).events[:2]
    assert new.headers["location"] == f"/book/plan/{told.payload['plan']}/card.pdf"
    assert (told.kind, told.payload["form"]) == ("card printed", "PDF")
    assert (made.kind, made.payload["plan"]) == ("plan made", told.payload["plan"])


@pytest.mark.parametrize(
    ("path", "data", "person", "code"),
    [
        ("/book/plan/plan-none/card.pdf", {}, "tavi", 404),
        ("/book/plan/{plan}/card.pdf", {"run": "run-none"}, "tavi", 404),
        ("/book/plan/{plan}/card.exe", {}, "tavi", 422),
        ("/book/plan/{plan}/card.pdf", {}, "", 403),
        ("/card.exe", {"vehicle": WISH.vehicle}, "tavi", 422),
        ("/card.pdf", {"vehicle": "nobodys"}, "tavi", 404),
        ("/card.pdf", {"vehicle": WISH.vehicle}, "", 403),
    ],
)
def test_what_is_not_printed_is_not_written_down(
    kept: Kept, path: str, data: dict[str, str], person: str, code: int
) -> None:
    shop, plan, _ = kept
    before = shop.moment().head
    answer = client_of(shop, person=person).post(path.format(plan=plan), data=data)
    assert (answer.status_code, shop.moment().head) == (code, before)


def _number(shop: Shop, plan: str) -> int:
    with shop.store.read() as tx:
        return next(e.seq for e in tx.book.all_of([PlanMade.KIND]) if e.payload["plan"] == plan)


def test_a_version_that_comes_to_other_figures_says_so_and_prints_those_of_then(
    kept: Kept,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shop, plan, first = kept
    true_plan = kept_plans.make_plan

    def heavier(workshop: Any, wish: Any, *more: Any) -> Any:
        """A planner of another version: it takes two thirds of the loads for the whole."""
        made = true_plan(workshop, wish, *more)
        assert made.plan.best is not None
        pads = tuple(
            tuple(replace(p, nominal=p.nominal * 1.5) for p in s.pads)
            for s in made.plan.best.states
        )
        states = tuple(replace(s, pads=p) for s, p in zip(made.plan.best.states, pads, strict=True))
        best = replace(made.plan.best, states=states)
        return replace(made, plan=replace(made.plan, best=best))

    monkeypatch.setattr(kept_plans, "make_plan", heavier)
    monkeypatch.setattr(kept_plans, "__version__", "99.1")
    target = tmp_path / "card.html"
    assert card(kept, target) == 3
    told = capsys.readouterr().out
    then = kept_plans.result_of(shop, plan)["states"][1]["pads"]["LF"]["load_N"]["nominal"]
    assert "version 99.1 finds" in told
    assert f"states[1].pads.LF.load_N.nominal: then {then!r}, now {then * 1.5!r}" in told
    page = target.read_bytes()
    assert page != first
    remark = b"Version 99.1 of this program comes to other figures"
    assert remark in page
    assert b"All figures on this card are those of then." in page
    # Apart from the remark nothing on the card has changed: no new figure has crept in.
    assert figures_in(page) == figures_in(first)


def figures_in(page: bytes) -> list[str]:
    """All texts of a card but its remarks."""
    import re

    words = re.findall(r">([^<>]+)<", re.sub(r"<style>.*?</style>", "", page.decode(), flags=re.S))
    return [w for w in words if "Version 99.1" not in w and w.strip() not in ("", "Remarks")]


def test_its_result_can_always_be_written(kept: Kept, tmp_path: Path) -> None:
    target = tmp_path / "plan.json"
    assert card(kept, target) == 0
    result = json.loads(target.read_text("utf-8"))
    assert (result["underset_plan"], result["outcome"]) == (1, "found")
    assert result["setting"]["vehicle"] == "harbour-hatch"


@pytest.mark.parametrize(
    ("plan", "target", "told"),
    [
        ("plan-none", "card.pdf", "plan 'plan-none' is not on file; on file: plan-"),
        ("", "card.txt", ".pdf, .svg, .html"),
        ("", "no-such-folder/card.svg", "cannot be written"),
    ],
)
def test_what_cannot_be_is_told(
    kept: Kept,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    plan: str,
    target: str,
    told: str,
) -> None:
    asked = (kept[0], plan or kept[1], kept[2])
    assert card(asked, tmp_path / target) == 2
    assert told in capsys.readouterr().err
    assert not (tmp_path / target).exists()


def test_a_plan_of_which_only_the_result_was_kept_is_told(
    kept: Kept, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop, _, first = kept
    with shop.store.write(BY) as tx:
        old = PlanMade(
            plan="plan-old", vehicle="harbour-hatch", outcome="found",
            inputs={"vehicle harbour-hatch": tx.book.keep({})}, versions={"underset": "0.0.1"},
        )  # fmt: skip
        tx.book.append(old)
    assert card((shop, "plan-old", first), tmp_path / "card.svg") == 2
    assert "with all its papers" in capsys.readouterr().err


def test_a_plan_this_version_cannot_read_names_the_one_that_can(
    kept: Kept, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop, plan, first = kept
    with shop.store.write(BY) as tx:
        made = tx.book.get(_number(shop, plan)).read()
        assert isinstance(made, PlanMade)
        strange = tx.book.keep({"outcome": "found", "best": "of another form"})
        told = {**made.model_dump(), "plan": "plan-new", "figures": strange}
        tx.book.append(PlanMade.model_validate({**told, "versions": {"underset": "7.0"}}))
    assert card((shop, "plan-new", first), tmp_path / "card.svg") == 6
    said = capsys.readouterr().err
    assert "was made by version 7.0" in said
    assert card((shop, "plan-new", first), tmp_path / "plan.json") == 0
