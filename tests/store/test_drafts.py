"""Drafts: a form is kept as typed, and two people at one form are told apart."""

from __future__ import annotations

import pytest

from tests.store_cases import JORUN, TAVI
from underset.errors import ConflictError, InputError, NotFoundError
from underset.store import Store

TYPED = {"label": "Hatch", "wheelbase": "26", "points": [{"aft": ""}], "ü": None}


def test_a_draft_comes_back_as_typed_however_wrong(store: Store) -> None:
    with store.write(JORUN) as tx:
        saved = tx.drafts.save("vehicle", "new-1", TYPED, version=0)
    with store.read() as tx:
        assert tx.drafts.get("vehicle", "new-1") == saved
    assert (saved.body, saved.version, saved.person) == (TYPED, 1, "jorun")


def test_saving_over_a_version_makes_the_next(store: Store, clock: object) -> None:
    with store.write(JORUN) as tx:
        tx.drafts.save("vehicle", "a", {}, version=0)
        tx.drafts.save("vehicle", "b", {}, version=0)
    clock.move(minutes=1)
    with store.write(TAVI) as tx:
        assert tx.drafts.save("vehicle", "a", TYPED, version=1).version == 2
        assert [draft.id for draft in tx.drafts.listed("vehicle")] == ["a", "b"]
        assert tx.drafts.listed("bay") == ()


@pytest.mark.parametrize("version", [0, 2])
def test_the_second_is_told_and_nothing_is_overwritten(store: Store, version: int) -> None:
    with store.write(JORUN) as tx:
        tx.drafts.save("vehicle", "a", TYPED, version=0)
    words = "saved by jorun, 2026-11-20 08:00"
    with pytest.raises(ConflictError, match=words), store.write(TAVI) as tx:
        tx.drafts.save("vehicle", "a", {}, version=version)
    with store.read() as tx:
        assert tx.drafts.get("vehicle", "a").body == TYPED


def test_a_draft_that_became_a_record_is_gone(store: Store) -> None:
    with store.write(JORUN) as tx:
        tx.drafts.save("vehicle", "a", TYPED, version=0)
        tx.drafts.discard("vehicle", "a", version=1)
    with store.read() as tx, pytest.raises(NotFoundError, match="draft of vehicle"):
        tx.drafts.get("vehicle", "a")
    with pytest.raises(ConflictError, match="gone"), store.write(TAVI) as tx:
        tx.drafts.save("vehicle", "a", TYPED, version=1)


def test_a_draft_has_a_bound(local: Store) -> None:
    with pytest.raises(InputError, match="characters"), local.write(JORUN) as tx:
        tx.drafts.save("vehicle", "a", {"x": "y" * 1_000_001}, version=0)


def test_a_draft_has_a_printable_id(local: Store) -> None:
    with pytest.raises(InputError, match="draft"), local.write(JORUN) as tx:
        tx.drafts.save("vehicle", "a\0", {}, version=0)
