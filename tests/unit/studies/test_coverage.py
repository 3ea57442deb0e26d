"""Coverage: each cell is the plan of its pair, tables tell the same, empty cells say why."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from datetime import date

import pytest

from underset.app import Wish, make_plan, open_workshop, studying
from underset.app.studying import Survey
from underset.errors import NotFoundError
from underset.setting import Outcome
from underset.studies import Coverage, Pool, Spread, coverage_table
from underset.studies.coverage import Cell

DAY = date(2026, 11, 20)
VEHICLES = ("crew-pickup", "lock-runabout", "harbourmaster-classic")
BAYS = ("north", "yard")


@pytest.fixture(scope="module")
def told() -> Coverage:
    return studying.cover(open_workshop(None), Survey(VEHICLES, BAYS), DAY)


def test_a_cell_is_the_plan_of_its_pair(told: Coverage) -> None:
    shop = open_workshop(None)
    for cell in told.cells:
        plan = make_plan(shop, Wish(cell.vehicle, bays=(cell.bay,), remedies=False), DAY).plan
        assert cell.outcome is plan.outcome
        if cell.served:
            assert plan.best is not None
            assert (cell.spot, cell.window) == (plan.best.setting.spot, plan.best.setting.window)
            assert cell.least_margin == plan.best.least_slack
            assert cell.stacks == tuple(a.stack_ids for a in plan.best.setting.arms)


def test_an_empty_cell_says_why_and_a_served_one_does_not(told: Coverage) -> None:
    assert {c.outcome for c in told.cells} >= {Outcome.FOUND, Outcome.NONE, Outcome.INCOMPLETE}
    for cell in told.cells:
        assert (cell.reason is None) is cell.served
        assert cell.served or (cell.spot is None and cell.least_margin is None)


def test_shares_are_by_visits(told: Coverage) -> None:
    assert told.visits("crew-pickup") == 20
    assert told.share() == pytest.approx(50 / 52)
    assert told.share("north") == pytest.approx(30 / 52)
    assert told.served("yard") == ("crew-pickup",)


def test_without_visits_there_is_no_share(told: Coverage) -> None:
    silent = replace(told, cells=tuple(replace(c, visits=None) for c in told.cells))
    assert silent.share() is None
    assert json.loads(coverage_table.as_json(silent))["share"] is None


def test_csv_and_json_tell_every_cell_alike(told: Coverage) -> None:
    lines = list(csv.DictReader(io.StringIO(coverage_table.as_csv(told))))
    cells = json.loads(coverage_table.as_json(told))["cells"]
    assert len(lines) == len(cells) == len(told.cells)
    for line, cell in zip(lines, cells, strict=True):
        for name, figure in cell.items():
            assert line[name] == ("" if figure is None else str(figure))


def test_text_names_every_vehicle_and_the_caution(told: Coverage) -> None:
    shop = open_workshop(None)
    for language in ("en", "de"):
        text = coverage_table.as_text(told, studying.telling(shop, "metric", language))
        assert all(shop.vehicle(v).label in text for v in VEHICLES)
        assert "Invented" in text or "Erfundene" in text


def test_workers_give_the_same_cells(told: Coverage) -> None:
    pairs = Survey(VEHICLES[:2], BAYS)
    alone = studying.cover(open_workshop(None), pairs, DAY)
    spread = studying.cover(open_workshop(None), pairs, DAY, run=Spread(Pool(2)))
    assert spread == alone


def test_a_name_not_on_file_is_refused() -> None:
    with pytest.raises(NotFoundError):
        studying.cover(open_workshop(None), Survey(("nobody",)), DAY)


@pytest.mark.parametrize("outcome", [o for o in Outcome if o is not Outcome.FOUND])
def test_a_mark_is_the_outcome(outcome: Outcome) -> None:
    assert coverage_table.mark(Cell("v", "b", outcome)) == outcome.value
