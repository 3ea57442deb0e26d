"""What the events make of the records: each way in and out of service, and what falls due."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.store_cases import DAY, JORUN, fill, quayside
from underset.records import Adapter, Inspection, Lot, Person, Workshop, policy_from
from underset.setting import Standing, due_on
from underset.store import (
    AdapterInspection,
    AuthorisationGiven,
    AuthorisationWithdrawn,
    DailyCheck,
    DefectCleared,
    DefectReported,
    Event,
    Examination,
    Payload,
    Query,
    Returned,
    SourceChecked,
    Store,
    TakenOut,
    Training,
    dues,
    open_defects,
    standing_events,
    standing_of,
)

SHOP = quayside()
LONG_AGO, SOON = DAY - dt.timedelta(days=800), DAY + dt.timedelta(days=30)
YESTERDAY = DAY - dt.timedelta(days=1)


def told(payloads: Sequence[Payload]) -> list[Event]:
    """Events as a book would hold them."""
    at = dt.datetime(2026, 11, 20, tzinfo=dt.UTC)
    return [
        Event(
            seq, at, "jorun", "", p.KIND, p.about()[0], str(seq), p.model_dump(mode="json"), "", ""
        )
        for seq, p in enumerate(payloads, start=1)
    ]


def standing(*payloads: Payload, shop: Workshop = SHOP, person: str | None = None) -> Standing:
    return standing_of(shop, told(payloads), today=DAY, person=person)


def checked(fit: bool, on: dt.date = DAY) -> DailyCheck:
    items = {} if fit else {"carriage stops": "not in order"}
    return DailyCheck(bay="north", on=on, fit=fit, items=items)


def examined(passed: bool, on: dt.date = DAY) -> Examination:
    return Examination(bay="north", on=on, by="Sunniva", passed=passed)


def defect(name: str = "d-1", *, stops: bool = True) -> DefectReported:
    return DefectReported(thing="bay", id="north", defect=name, text="oil", stops_use=stops)


def cleared(name: str = "d-1") -> DefectCleared:
    return DefectCleared(thing="bay", id="north", defect=name, how="sealed")


OUT = TakenOut(thing="bay", id="north", reason="being painted")
BACK = Returned(thing="bay", id="north", reason="painted")

# --- lifts ----------------------------------------------------------------------------------------

SERVICE = {
    "nothing said": ([], None),
    "taken out": ([OUT], "being painted"),
    "taken out and returned": ([OUT, BACK], None),
    "returned and taken out": ([BACK, OUT], "being painted"),
    "a defect that stops use": ([defect()], "oil"),
    "a defect cleared": ([defect(), cleared()], None),
    "one of two defects cleared": ([defect(), defect("d-2"), cleared()], "oil"),
    "a defect is not cleared by a return": ([defect(), BACK], "oil"),
    "a defect is not cleared by an examination": ([defect(), examined(True)], "oil"),
    "a defect is not cleared by a daily check": ([defect(), checked(True)], "oil"),
    "not fit at the daily check": ([checked(False)], "carriage stops"),
    "not fit, then fit": ([checked(False), checked(True)], None),
    "fit, then not fit": ([checked(True), checked(False)], "carriage stops"),
    "not fit, then returned": ([checked(False), BACK], None),
    "examination not passed": ([examined(False)], "not passed"),
    "not passed, then passed": ([examined(False), examined(True)], None),
    "not passed is not cleared by a return": ([examined(False), BACK], "not passed"),
    "not passed is not cleared by a daily check": ([examined(False), checked(True)], "not passed"),
    "an older one handed in later clears nothing": (
        [examined(False), examined(True, YESTERDAY)],
        "not passed",
    ),
    "two reasons": ([OUT, defect()], "being painted; oil"),
}


@pytest.mark.parametrize("what", SERVICE)
def test_a_lift_is_out_of_service_for_a_reason(what: str) -> None:
    payloads, reason = SERVICE[what]
    found = standing(*payloads).lifts_out
    assert set(found) == ({"north"} if reason else set())
    assert (reason or "") in found.get("north", "")


def test_what_the_record_says_stays_whatever_the_events_say() -> None:
    bay = SHOP.bays["north"]
    out = bay.model_copy(update={"inspection": Inspection(in_service=False, defect="cracked arm")})
    shop = with_(bays={**SHOP.bays, "north": out})
    assert standing(OUT, BACK, shop=shop).lifts_out == {"north": "cracked arm"}
    assert standing(OUT, shop=shop).lifts_out == {"north": "cracked arm; being painted"}


def with_(**parts: object) -> Workshop:
    from dataclasses import replace

    return replace(SHOP, **parts)


def test_a_defect_that_does_not_stop_use_stays_open_until_cleared() -> None:
    assert standing(defect(stops=False)).lift_defects == {"north": ("oil",)}
    assert standing(defect(stops=False)).lifts_out == {}
    assert standing(defect(stops=False), cleared()).lift_defects == {}


def test_the_last_passed_examination_counts() -> None:
    on_file = SHOP.bays["north"].inspection.examined
    assert standing().examined["north"] == on_file
    assert standing(examined(True)).examined["north"] == DAY
    assert standing(examined(True, LONG_AGO)).examined["north"] == max(on_file, LONG_AGO)
    assert standing(examined(False)).examined["north"] == on_file


def test_a_daily_check_counts_on_its_own_day_only() -> None:
    assert standing(checked(True)).checked_today("north")
    assert not standing(checked(True, YESTERDAY)).checked_today("north")
    assert not standing(checked(True), checked(False)).checked_today("north")
    assert not standing(checked(True)).checked_today("south")


# --- adapters -------------------------------------------------------------------------------------

ADAPTER = "screw-pad-short"


def pieces(*payloads: Payload, bay: str = "north") -> int:
    return standing(*payloads).pieces_out(ADAPTER, bay)


def out(count: int, where: str = "shelf") -> TakenOut:
    return TakenOut(thing="adapter", id=ADAPTER, reason="bent", count=count, where=where)


def back(count: int, where: str = "shelf") -> Returned:
    return Returned(thing="adapter", id=ADAPTER, reason="new", count=count, where=where)


def bent(count: int, name: str = "d-1", *, stops: bool = True) -> DefectReported:
    return DefectReported(
        thing="adapter", id=ADAPTER, defect=name, text="bent", stops_use=stops, count=count,
        where="shelf",
    )  # fmt: skip


def seen(count: int, failed: int = 0, where: str = "", on: dt.date = DAY) -> AdapterInspection:
    return AdapterInspection(
        adapter=ADAPTER, on=on, by="Sunniva", seen=count, failed=failed, where=where
    )


PIECES = {
    "none": ([], 0),
    "two out": ([out(2)], 2),
    "two out, one back": ([out(2), back(1)], 1),
    "more back than went out": ([out(1), back(5), out(2)], 2),
    "back before out": ([back(2), out(2)], 2),
    "out in two places": ([out(2), out(1, "north")], 3),
    "out at another bay": ([out(2, "south")], 0),
    "nobody said where": ([out(2, "")], 2),
    "back from another place than they went": ([out(2), back(2, "north")], 2),
    "a defect": ([bent(3)], 3),
    "a defect that does not stop use": ([bent(3, stops=False)], 0),
    "a defect cleared": (
        [bent(3), DefectCleared(thing="adapter", id=ADAPTER, defect="d-1", how="x")],
        0,
    ),
    "another defect cleared": (
        [bent(3), DefectCleared(thing="adapter", id=ADAPTER, defect="d-2", how="x")],
        3,
    ),
    "a defect is not returned away": ([bent(3), back(3)], 3),
    "failed at an inspection": ([seen(8, failed=2)], 2),
}


@pytest.mark.parametrize("what", PIECES)
def test_pieces_out_of_service(what: str) -> None:
    payloads, count = PIECES[what]
    assert pieces(*payloads) == count


def lots(*found: tuple[int, str, dt.date | None]) -> Workshop:
    adapter = SHOP.adapters[ADAPTER].model_copy(
        update={"lots": tuple(Lot(count=n, where=w, inspected=d) for n, w, d in found)}
    )
    return with_(adapters={**SHOP.adapters, ADAPTER: adapter})


@pytest.mark.parametrize(
    ("found", "payloads", "expected"),
    [
        ([(8, "shelf", LONG_AGO)], [], LONG_AGO),
        ([(8, "shelf", None)], [], None),
        ([(8, "shelf", LONG_AGO), (4, "north", None)], [], None),
        ([(8, "shelf", DAY), (4, "south", None)], [], DAY),
        ([(8, "shelf", LONG_AGO), (4, "north", DAY)], [], LONG_AGO),
        ([(8, "shelf", None)], [seen(8)], DAY),
        ([(8, "shelf", None)], [seen(7)], None),
        ([(4, "shelf", LONG_AGO), (4, "north", LONG_AGO)], [seen(8)], DAY),
        ([(4, "shelf", LONG_AGO), (4, "north", LONG_AGO)], [seen(4)], LONG_AGO),
        ([(4, "shelf", LONG_AGO), (4, "north", DAY)], [seen(4, where="shelf")], DAY),
        ([(4, "shelf", DAY)], [seen(4, on=LONG_AGO)], DAY),
        ([(8, "shelf", None)], [seen(8, failed=1)], DAY),
        ([], [], None),
    ],
)
def test_pieces_count_as_inspected_only_when_all_of_a_place_were_seen(
    found: list[tuple[int, str, dt.date | None]], payloads: list[Payload], expected: dt.date | None
) -> None:
    result = standing(*payloads, shop=lots(*found))
    assert result.inspected_on(ADAPTER, "north") == expected


def test_lots_out_of_service_or_empty_say_nothing_about_inspections() -> None:
    adapter = SHOP.adapters[ADAPTER].model_copy(
        update={
            "lots": (
                Lot(count=4, inspected=DAY),
                Lot(count=4, in_service=False),
                Lot(count=0),
            )
        }
    )
    shop = with_(adapters={**SHOP.adapters, ADAPTER: adapter})
    assert standing(shop=shop).inspected_on(ADAPTER, "north") == DAY


# --- people ---------------------------------------------------------------------------------------

KIND = "long-arm two-post"


def given_(on: dt.date = DAY, until: dt.date | None = None) -> AuthorisationGiven:
    return AuthorisationGiven(person="tavi", lift_kind=KIND, on=on, until=until, by="Jorun")


def withdrawn(on: dt.date = DAY) -> AuthorisationWithdrawn:
    return AuthorisationWithdrawn(person="tavi", lift_kind=KIND, on=on, reason="left")


@pytest.mark.parametrize(
    ("payloads", "may"),
    [
        ([], False),
        ([given_()], True),
        ([given_(on=SOON)], False),
        ([given_(until=DAY)], True),
        ([given_(LONG_AGO, until=YESTERDAY)], False),
        ([given_(LONG_AGO, until=YESTERDAY), given_()], True),
        ([given_(), withdrawn()], False),
        ([given_(), withdrawn(on=SOON)], True),
        ([withdrawn(), given_()], True),
    ],
)
def test_who_may_lift(payloads: list[Payload], may: bool) -> None:
    assert KIND not in next(p for p in SHOP.about.people if p.id == "tavi").authorised_for
    assert standing(*payloads, person="tavi").may_lift(KIND) is may


def test_an_authorisation_on_the_record_is_withdrawn_by_an_event() -> None:
    own = SHOP.about.people[1].authorised_for[0]
    gone = AuthorisationWithdrawn(person="tavi", lift_kind=own, on=DAY, reason="left")
    assert standing(person="tavi").may_lift(own) is True
    assert standing(gone, person="tavi").may_lift(own) is False


def test_nobody_said_who_lifts_is_not_known_and_a_stranger_is_not_authorised() -> None:
    assert standing().may_lift(KIND) is None
    assert standing(person="stranger").may_lift(KIND) is False


def test_training_counts_for_its_kind_and_training_for_all_kinds_for_each() -> None:
    one = Training(person="tavi", lift_kind=KIND, on=DAY, by="x")
    every = Training(person="tavi", on=YESTERDAY, by="x")
    assert standing(one, every).trained_on("tavi", KIND) == DAY
    assert standing(one, every).trained_on("tavi", "compact two-post") == YESTERDAY
    assert standing(one).trained_on("stranger", KIND) is None


# --- sources --------------------------------------------------------------------------------------


def source(differs: str = "", on: dt.date = DAY) -> SourceChecked:
    points = SHOP.vehicles["harbour-hatch"].point_sets[0].id
    return SourceChecked(
        vehicle="harbour-hatch", point_set=points, on=on, by="Jorun", differs=differs
    )


@pytest.mark.parametrize(
    ("payloads", "doubt"),
    [
        ([source()], ""),
        ([source("rear points moved")], "rear points moved"),
        ([source("rear points moved"), source()], ""),
        ([source(), source("rear points moved")], "rear points moved"),
    ],
)
def test_a_source_that_was_found_to_differ_is_doubted(payloads: list[Payload], doubt: str) -> None:
    points = SHOP.vehicles["harbour-hatch"].point_sets[0].id
    found = standing(*payloads)
    assert found.sources_doubted.get("harbour-hatch", {}).get(points, "") == doubt
    if not doubt:
        assert found.source_checked_on("harbour-hatch", points) == DAY


def test_the_age_of_a_source_begins_with_its_own_date() -> None:
    vehicle = SHOP.vehicles["harbour-hatch"]
    points = vehicle.point_sets[0]
    named = vehicle.sources[points.source or vehicle.source]
    assert standing().source_checked_on("harbour-hatch", points.id) == named.date
    assert standing(source(on=LONG_AGO)).source_checked_on("harbour-hatch", points.id) == named.date


# --- due ------------------------------------------------------------------------------------------


def test_a_month_of_policy_is_a_mean_month_and_days_are_whole() -> None:
    assert due_on(dt.date(2025, 3, 1), 12 * 30.4375 * 86_400) == dt.date(2026, 3, 1)
    assert due_on(DAY, 0.0) == DAY


def test_everything_that_falls_due_is_listed_the_latest_first() -> None:
    found = dues(SHOP, standing())
    kinds = {due.what for due in found}
    assert kinds == {"examination", "daily check", "adapter inspection", "source", "training"}
    assert [due.days_left is None for due in found] == sorted(
        (due.days_left is None for due in found), reverse=True
    )
    left = [due.days_left for due in found if due.days_left is not None]
    assert left == sorted(left)
    assert len([due for due in found if due.what == "daily check"]) == len(SHOP.bays)
    assert all(due.overdue for due in found if due.last is None)


def due_of(what: str, subject: str, result: Standing, shop: Workshop = SHOP) -> object:
    return next(d for d in dues(shop, result) if (d.what, d.subject) == (what, subject))


@pytest.mark.parametrize(
    ("on", "overdue"), [(DAY, False), (YESTERDAY, True), (None, True)], ids=str
)
def test_a_daily_check_is_due_every_day(on: dt.date | None, overdue: bool) -> None:
    found = due_of("daily check", "bay/north", standing(*([checked(True, on)] if on else [])))
    assert found.overdue is overdue


@pytest.mark.parametrize(("days", "overdue"), [(364, False), (365, False), (366, True)])
def test_an_examination_is_due_by_policy(days: int, overdue: bool) -> None:
    bay = SHOP.bays["north"]
    day = DAY - dt.timedelta(days=days)
    old = bay.model_copy(update={"inspection": Inspection(examined=day)})
    shop = with_(bays={"north": old}, policy=policy_from({"examination": "12 months"}))
    found = due_of("examination", "bay/north", standing(shop=shop), shop)
    assert (found.overdue, found.days_left) == (overdue, 365 - days)


def test_a_lift_with_its_own_interval_keeps_to_it() -> None:
    from underset.units import quantity

    bay = SHOP.bays["north"].model_copy(
        update={"inspection": Inspection(examined=DAY, interval=quantity(6, "months"))}
    )
    shop = with_(bays={"north": bay})
    assert due_of("examination", "bay/north", standing(shop=shop), shop).days_left == 182


def test_an_adapter_type_with_its_own_interval_keeps_to_it() -> None:
    adapter = SHOP.adapters[ADAPTER].model_copy(
        update={"interval_months": 3, "lots": (Lot(count=4, inspected=DAY),)}
    )
    shop = with_(adapters={ADAPTER: adapter})
    found = due_of("adapter inspection", f"adapter/{ADAPTER}", standing(shop=shop), shop)
    assert found.days_left == 91
    assert isinstance(adapter, Adapter)


def test_training_is_due_for_each_kind_a_person_is_authorised_for() -> None:
    about = SHOP.about.model_copy(
        update={"people": (Person(id="a", name="A", authorised_for=("x", "y")),)}
    )
    shop = with_(about=about)
    result = standing(Training(person="a", lift_kind="x", on=DAY, by="b"), shop=shop)
    found = {d.label: d.overdue for d in dues(shop, result) if d.what == "training"}
    assert found == {"A, x": False, "A, y": True}


def test_open_defects_are_listed_until_cleared() -> None:
    events = told([defect(), bent(2, "d-2"), defect("d-3", stops=False), cleared()])
    found = open_defects(events)
    assert [(d.id, d.thing, d.count, d.stops_use) for d in found] == [
        ("d-2", "adapter", 2, True),
        ("d-3", "bay", 1, False),
    ]
    assert found[0].reported == events[1]


# --- from a store ---------------------------------------------------------------------------------


def test_the_store_gives_the_events_that_the_standing_needs(store: Store, clock: object) -> None:
    with store.write(JORUN) as tx:
        fill(tx, SHOP)
        for day in range(40):
            tx.book.append(checked(True, DAY - dt.timedelta(days=40 - day)))
            tx.book.append(DailyCheck(bay="south", on=DAY, fit=True))
        clock.move(minutes=1)
        for payload in (checked(True), examined(True), out(2), given_(), defect("d-9")):
            tx.book.append(payload)
    with store.read() as tx:
        shop = tx.records.workshop()
        few = standing_events(tx.book, shop)
        every = tx.book.find(Query(oldest_first=True), limit=500).events
    assert sum(event.kind == "daily check" for event in few) == 2
    relevant = [e for e in every if e.kind != "record changed"]
    assert standing_of(shop, few, today=DAY) == standing_of(shop, relevant, today=DAY)
    assert standing_of(shop, few, today=DAY).checked_today("north")


ANY_EVENT = st.sampled_from(
    [payload for payloads, _ in (*SERVICE.values(), *PIECES.values()) for payload in payloads]
)


@given(st.lists(ANY_EVENT, max_size=12))
def test_no_order_of_events_makes_the_standing_fail_or_lose_a_stop(payloads: list[Payload]) -> None:
    """Whatever came before, what stops use stops it until its own remedy."""
    assert "north" in standing(*payloads, defect("d-new")).lifts_out
    assert "north" in standing(*payloads, OUT).lifts_out
    assert "north" in standing(*payloads, checked(False)).lifts_out
    assert "north" in standing(*payloads, examined(False, SOON)).lifts_out
    assert pieces(*payloads, out(3)) >= 3
    assert pieces(*payloads) >= 0
