"""Records: every version kept, two people told apart, the book told of every change."""

from __future__ import annotations

import pytest

from tests.store_cases import JORUN, TAVI, fill, quayside
from underset.errors import ConflictError, InputError, NotFoundError, StoreError
from underset.records import Adapter, Bay, Job, Policy, Vehicle, WorkshopFile, policy_from, to_json
from underset.store import RECORD_KINDS, Change, Query, Store, body_of, record_from

SHOP = quayside()
HATCH, SALOON = SHOP.vehicles["harbour-hatch"], SHOP.vehicles["ferry-saloon"]


def noted(text: str) -> Vehicle:
    return HATCH.model_copy(update={"notes": text})


@pytest.fixture
def kept(store: Store, clock: object) -> Store:
    """The hatch in three versions, the last by somebody else."""
    for version, (by, text) in enumerate([(JORUN, "one"), (JORUN, "two"), (TAVI, "three")]):
        with store.write(by) as tx:
            tx.records.put("harbour-hatch", noted(text), version=version)
        clock.move(minutes=5)
    return store


def test_a_whole_workshop_comes_back_as_it_was(store: Store) -> None:
    with store.write(JORUN) as tx:
        fill(tx, SHOP)
    with store.read() as tx:
        assert tx.records.workshop() == SHOP
        assert tx.verify().whole


def test_a_workshop_of_some_vehicles(store: Store) -> None:
    with store.write(JORUN) as tx:
        fill(tx, SHOP)
    with store.read() as tx:
        assert set(tx.records.workshop(["harbour-hatch"]).vehicles) == {"harbour-hatch"}
        assert set(tx.records.workshop([]).vehicles) == set()


def test_an_empty_store_has_no_workshop(store: Store) -> None:
    with store.read() as tx, pytest.raises(NotFoundError, match="workshop"):
        tx.records.workshop()


@pytest.mark.parametrize("kind", RECORD_KINDS)
def test_the_stored_text_of_each_kind_is_the_record(kind: str) -> None:
    one = {
        "vehicle": HATCH,
        "bay": SHOP.bays["north"],
        "adapter": next(iter(SHOP.adapters.values())),
        "job": next(iter(SHOP.jobs.values())),
        "workshop": SHOP.about,
        "policy": SHOP.policy,
    }[kind]
    from underset.store.canonical import canonical

    again = record_from(RECORD_KINDS[kind], canonical(body_of(one)))
    assert again == one
    if kind != "policy":
        assert to_json(again) == to_json(one)  # what nobody said stays unsaid


def test_a_stored_policy_is_whole_so_that_a_new_default_changes_nothing(store: Store) -> None:
    own = policy_from({"gap_door": "80 mm"})
    with store.write(JORUN) as tx:
        tx.records.put("policy", own, version=0)
    assert set(body_of(own)) == {t.name for t in own.thresholds}
    with store.read() as tx:
        assert tx.records.get(Policy, "policy").record == own


def test_a_record_says_who_stored_it_and_when(kept: Store) -> None:
    with kept.read() as tx:
        found = tx.records.get(Vehicle, "harbour-hatch")
        (listed,) = tx.records.listed(Vehicle)
    assert (found.version, found.person, found.device) == (3, "tavi", "tablet-1")
    assert f"{found.at:%H:%M}" == "08:10"
    assert found.record == noted("three")
    assert (listed.id, listed.label, listed.version, listed.at) == (
        "harbour-hatch", HATCH.label, 3, found.at,
    )  # fmt: skip


def test_every_version_stays(kept: Store) -> None:
    with kept.read() as tx:
        history = tx.records.history(Vehicle, "harbour-hatch")
        assert [(k.version, k.person, k.record.notes) for k in history] == [
            (3, "tavi", "three"),
            (2, "jorun", "two"),
            (1, "jorun", "one"),
        ]
        assert tx.records.version(Vehicle, "harbour-hatch", 1).record == noted("one")
        with pytest.raises(NotFoundError, match="version of vehicle harbour-hatch '4'"):
            tx.records.version(Vehicle, "harbour-hatch", 4)


def test_each_change_stands_in_the_book_with_the_hash_of_its_content(kept: Store) -> None:
    with kept.read() as tx:
        found = tx.book.find(Query(subject="vehicle/harbour-hatch", oldest_first=True))
        said = [event.payload for event in found.events]
        contents = [tx.book.document(payload["sha"])["notes"] for payload in said]
    assert [(p["version"], p["change"]) for p in said] == [
        (1, "added"),
        (2, "changed"),
        (3, "changed"),
    ]
    assert contents == ["one", "two", "three"]


def test_the_second_of_two_people_is_told_who_was_first(kept: Store) -> None:
    words = r"changed by tavi at tablet-1 on 2026-11-20 08:10 UTC: version 3 .* version 2"
    with pytest.raises(ConflictError, match=words), kept.write(JORUN) as tx:
        tx.records.put("harbour-hatch", noted("mine"), version=2)
    with kept.read() as tx:
        assert tx.records.get(Vehicle, "harbour-hatch").record == noted("three")


def test_a_new_record_never_takes_the_place_of_one_on_file(kept: Store) -> None:
    with pytest.raises(ConflictError, match="tavi"), kept.write(JORUN) as tx:
        tx.records.put("harbour-hatch", SALOON, version=0)


def test_a_version_of_a_record_that_never_was(store: Store) -> None:
    with pytest.raises(ConflictError, match="not on file"), store.write(JORUN) as tx:
        tx.records.put("harbour-hatch", HATCH, version=2)


def test_the_same_content_again_is_no_change(kept: Store) -> None:
    with kept.write(JORUN) as tx:
        before = tx.book.head()
        found = tx.records.put("harbour-hatch", noted("three"), version=3)
        assert tx.book.head() == before
    assert (found.version, found.person) == (3, "tavi")


def test_a_removed_record_leaves_the_lists_and_keeps_its_history(kept: Store) -> None:
    with kept.write(JORUN) as tx:
        tx.records.remove(Vehicle, "harbour-hatch", version=3)
    with kept.read() as tx:
        assert tx.records.listed(Vehicle) == ()
        assert tx.records.every(Vehicle) == {}
        with pytest.raises(NotFoundError):
            tx.records.get(Vehicle, "harbour-hatch")
        last = tx.records.history(Vehicle, "harbour-hatch")[0]
        assert (last.version, last.removed, last.record) == (4, True, noted("three"))
        assert tx.book.find(limit=1).events[0].payload["change"] == "removed"
        assert tx.verify().whole
    with kept.write(TAVI) as tx:
        assert tx.records.put("harbour-hatch", noted("back"), version=0).version == 5
    with kept.read() as tx:
        assert tx.records.get(Vehicle, "harbour-hatch").record == noted("back")
        assert tx.verify().whole


def test_removing_is_held_against_the_version_too(kept: Store) -> None:
    with pytest.raises(ConflictError, match="tavi"), kept.write(JORUN) as tx:
        tx.records.remove(Vehicle, "harbour-hatch", version=2)
    with pytest.raises(NotFoundError), kept.write(JORUN) as tx:
        tx.records.remove(Vehicle, "nobody", version=0)


def test_changing_a_removed_record_tells_who_removed_it(kept: Store) -> None:
    with kept.write(TAVI) as tx:
        tx.records.remove(Vehicle, "harbour-hatch", version=3)
    with pytest.raises(ConflictError, match="removed by tavi"), kept.write(JORUN) as tx:
        tx.records.put("harbour-hatch", noted("late"), version=3)


def test_many_at_once_are_all_or_none(kept: Store) -> None:
    changes = [Change("ferry-saloon", SALOON), Change("harbour-hatch", HATCH, version=1)]
    with pytest.raises(ConflictError), kept.write(JORUN) as tx:
        tx.records.put_all(Vehicle, changes)
    with kept.read() as tx:
        assert [listed.id for listed in tx.records.listed(Vehicle)] == ["harbour-hatch"]


def test_the_same_id_twice_in_one_change_is_refused(store: Store) -> None:
    with pytest.raises(InputError, match="once"), store.write(JORUN) as tx:
        tx.records.put_all(Vehicle, [Change("a", HATCH), Change("a", SALOON)])


def test_many_hundred_at_once(store: Store) -> None:
    changes = [Change(f"v-{n}", noted(str(n))) for n in range(450)]
    with store.write(JORUN) as tx:
        assert tx.records.put_all(Vehicle, changes) == 450
        assert tx.records.put_all(Vehicle, [Change(c.id, c.record, 1) for c in changes]) == 0
    with store.read() as tx:
        assert len(tx.records.listed(Vehicle)) == 450
        assert tx.verify().whole


@pytest.mark.parametrize("id", ["", "Ä", "UPPER", "../up", "a b", "-a", "a" * 64, "nul\0"])
def test_an_id_is_a_plain_name(local: Store, id: str) -> None:
    with pytest.raises(InputError, match="id"), local.write(JORUN) as tx:
        tx.records.put(id, HATCH, version=0)
    with pytest.raises(NotFoundError), local.read() as tx:
        tx.records.get(Vehicle, id)


@pytest.mark.parametrize(("record", "only"), [(SHOP.about, "workshop"), (SHOP.policy, "policy")])
def test_there_is_one_workshop_and_one_policy(
    local: Store, record: WorkshopFile | Policy, only: str
) -> None:
    with pytest.raises(InputError, match=only), local.write(JORUN) as tx:
        tx.records.put("second", record, version=0)


def test_an_unknown_id_is_told_with_those_near_it(store: Store) -> None:
    with store.write(JORUN) as tx:
        fill(tx, SHOP)
    with store.read() as tx, pytest.raises(NotFoundError) as told:
        tx.records.get(Bay, "nort")
    assert "north" in told.value.known


def test_a_stored_record_that_cannot_be_read_any_more_says_so() -> None:
    with pytest.raises(StoreError, match="cannot be read by this version"):
        record_from(Adapter, '{"label": "x"}')
    with pytest.raises(StoreError, match="cannot be read by this version"):
        record_from(Policy, '{"gap_of_old": {"value": "1 mm"}}')
    assert issubclass(Job, object)
