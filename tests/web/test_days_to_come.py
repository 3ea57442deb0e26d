"""What is said to be done on a day to come is refused everywhere, and never counts on that day."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest

from tests.web_cases import TODAY, client_of, shop_in
from underset.app import Shop, keeping, open_shop, sample_folder
from underset.app.shop import Actor
from underset.app.wording import refused
from underset.errors import InputError, InputErrors
from underset.store import Event, standing_of

TOMORROW = TODAY + dt.timedelta(days=1)
BY = Actor("jorun", "tablet")
SAID = {
    "daily check": {"bay": "north", "fit": True},
    "examination": {"bay": "north", "by": "Sunniva", "passed": True},
    "adapter inspection": {"adapter": "screw-pad-short", "by": "Sunniva", "seen": 8},
    "source re-checked": {"vehicle": "harbour-hatch", "point_set": "sills", "by": "Jorun"},
    "training": {"person": "tavi", "by": "Jorun"},
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    with shop_in(tmp_path_factory.mktemp("days")) as there:
        yield there


@pytest.mark.parametrize("kind", SAID)
def test_nothing_is_done_tomorrow(shop: Shop, kind: str) -> None:
    client = client_of(shop)
    said = {
        "kind": kind,
        "key": f"to-come-{kind.replace(' ', '-')}",
        "said": {**SAID[kind], "on": TOMORROW.isoformat()},
    }
    got = client.post("/api/v1/book", json=said)
    error = got.json()["error"]
    assert (got.status_code, error["field"], error["received"]) == (422, "on", TOMORROW.isoformat())
    assert "2026-11-20" in error["allowed"]
    assert "day it is done" in error["remedy"]


def test_a_refused_day_in_german() -> None:
    from underset.records import not_ahead

    error = not_ahead("on", TOMORROW, TODAY)
    assert isinstance(error, InputError)
    assert refused(error, "de") == (
        "on: erhalten „2026-11-21“; heute, 2026-11-20, oder ein Tag davor: dies wurde schon getan. "
        "Das Datum berichtigen oder es am Tag selbst eintragen; die Uhr dieses Rechners prüfen."
    )
    assert not_ahead("on", TODAY, TODAY) is None


def test_records_dated_tomorrow_are_not_taken_in(tmp_path: Path) -> None:
    folder = tmp_path / "quayside"
    shutil.copytree(sample_folder(), folder)
    bay = folder / "bays" / "north.toml"
    lines = bay.read_text("utf-8").splitlines()
    told = ["examined = 2026-11-21" if x.startswith("examined =") else x for x in lines]
    bay.write_text("\n".join(told), "utf-8")
    with (
        open_shop(tmp_path / "book.db", clock=lambda: TODAY) as fresh,
        pytest.raises(InputErrors, match=r"north.toml: inspection.examined: .*today, 2026-11-20"),
    ):
        keeping.take_in(fresh, folder, "", BY)


@pytest.mark.parametrize("kind", SAID)
def test_signed_today_for_tomorrow_never_counts(shop: Shop, kind: str) -> None:
    """As a book written before may hold it: neither on that day nor on the next."""
    from dataclasses import replace

    from underset.store import payload_from

    workshop = shop.workshop()
    moving = replace(workshop, about=workshop.about.model_copy(update={"today": None}))
    noon = dt.datetime.combine(TODAY, dt.time(12), dt.UTC)
    told = payload_from(kind, {**SAID[kind], "on": TOMORROW + dt.timedelta(days=1)})
    early = Event(
        1, noon, "tavi", "", kind, told.about()[0], "", told.model_dump(mode="json"), "", ""
    )
    for day in (TODAY, TOMORROW, TOMORROW + dt.timedelta(days=1)):
        assert standing_of(moving, [early], today=day) == standing_of(moving, [], today=day)
