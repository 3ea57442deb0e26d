"""One payload of every kind, sample records, and helpers for the tests of the store."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from underset.records import Workshop, read_workshop
from underset.store import (
    AccountChanged,
    Actor,
    AdapterInspection,
    AuthorisationGiven,
    AuthorisationWithdrawn,
    BookKept,
    CardPrinted,
    DailyCheck,
    DefectCleared,
    DefectReported,
    Examination,
    HoldPointSigned,
    HoldPointTicked,
    IntakeAnswered,
    ParkedAs,
    Payload,
    PlanMade,
    RecordChanged,
    Remark,
    Returned,
    RunFinished,
    RunStarted,
    SourceChecked,
    TakenOut,
    Training,
    Transaction,
    Weighing,
)

ROOT = Path(__file__).resolve().parents[1]
QUAYSIDE = ROOT / "examples" / "quayside"
DAY = dt.date(2026, 11, 20)
JORUN = Actor("jorun", "tablet-2")
TAVI = Actor("tavi", "tablet-1")
SHA = "0" * 63 + "a"

PAYLOADS: dict[str, Payload] = {
    payload.KIND: payload
    for payload in (
        PlanMade(
            plan="plan-1",
            vehicle="harbour-hatch",
            bay="north",
            job="hatch-engine-out",
            outcome="found",
            status="watch",
            invented=True,
            inputs={"vehicle": SHA, "bay": SHA},
            versions={"underset": "0.1.0"},
        ),
        CardPrinted(plan="plan-1"),
        RunStarted(
            run="run-1",
            plan="plan-1",
            vehicle="harbour-hatch",
            bay="north",
            points=("touch", "rock"),
        ),
        HoldPointTicked(run="run-1", point="touch", answer="done", shown=(("LF", "4.9 kN"),)),
        HoldPointSigned(run="run-1", point="rock", person="tavi", means="PIN", note="übergeben ✓"),
        RunFinished(run="run-1", ended="down"),
        ParkedAs(vehicle="harbour-hatch", bay="north", run="run-1", spot=1.234, sideways=-0.012),
        IntakeAnswered(vehicle="harbour-hatch", answers={"hidden_payload": "no"}),
        Weighing(
            vehicle="harbour-hatch",
            on=DAY,
            state="empty",
            method="axle scale",
            readings={"front": "720 ± 5 kg", "rear": "480 ± 5 kg"},
        ),
        DailyCheck(bay="north", on=DAY, fit=True, items={"arm restraints": "in order"}),
        Examination(bay="north", on=DAY, by="Sunniva", passed=True),
        AdapterInspection(adapter="screw-pad-short", on=DAY, by="Sunniva", seen=8),
        DefectReported(
            thing="bay", id="north", defect="d-1", text="oil at the column", stops_use=True
        ),
        DefectCleared(thing="bay", id="north", defect="d-1", how="seal replaced"),
        TakenOut(
            thing="adapter", id="screw-pad-short", reason="bent thread", count=2, where="shelf"
        ),
        Returned(thing="adapter", id="screw-pad-short", reason="replaced", count=2, where="shelf"),
        Training(person="tavi", on=DAY, by="Jorun"),
        AuthorisationGiven(person="tavi", lift_kind="long-arm two-post", on=DAY, by="Jorun"),
        AuthorisationWithdrawn(person="tavi", lift_kind="long-arm two-post", on=DAY, reason="left"),
        SourceChecked(vehicle="harbour-hatch", point_set="sills", on=DAY, by="Jorun"),
        RecordChanged(kind="vehicle", id="loose-end", version=1, sha=SHA, change="added"),
        AccountChanged(person="tavi", change="added", roles=("technician",)),
        BookKept(book="other", what="exported", events=3, head=SHA),
        Remark(subject="vehicle/harbour-hatch", text='line\nbreak, "quotes" and \u2028'),
    )
}


def check(day: int = 0, *, bay: str = "north", note: str = "") -> DailyCheck:
    """A daily check that can be told from others by its note or day."""
    return DailyCheck(bay=bay, on=DAY + dt.timedelta(days=day), fit=True, note=note)


def quayside() -> Workshop:
    """The sample workshop as read from its folder."""
    return read_workshop(QUAYSIDE)


def fill(tx: Transaction, workshop: Workshop) -> None:
    """Put every record of a workshop into an empty store."""
    from underset.records import Adapter, Bay, Job, Policy, Vehicle, WorkshopFile
    from underset.store import Change

    tx.records.put("workshop", workshop.about, version=0)
    tx.records.put("policy", workshop.policy, version=0)
    for kind, records in (
        (Vehicle, workshop.vehicles),
        (Bay, workshop.bays),
        (Adapter, workshop.adapters),
        (Job, workshop.jobs),
    ):
        tx.records.put_all(kind, [Change(id, record) for id, record in records.items()])
    assert {Policy, WorkshopFile} == {type(workshop.policy), type(workshop.about)}
