"""Vehicles as lists and single pages show them: figures, sources with their age, every version."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from underset.app.entry import COPIED
from underset.app.entry_check import vehicle_drawing
from underset.app.shop import Shop
from underset.records import Complaint, Source, Vehicle, Zone, complaints, figures
from underset.sources import Age
from underset.store import Kept


@dataclass(frozen=True, slots=True)
class VehicleLine:
    """One vehicle in the list; `months` is the age of its oldest dated source."""

    id: str
    label: str
    wheelbase: str
    months: int | None
    unverified: bool


@dataclass(frozen=True, slots=True)
class SourceLine:
    """One source of a record: what it is, its age, how many figures rest on it."""

    name: str
    kind: str
    told: str
    memory: bool
    months: int | None
    figures: int
    main: bool
    unverified: bool


@dataclass(frozen=True, slots=True)
class VersionLine:
    """One version: number, who, when, at which device."""

    version: int
    person: str
    device: str
    at: str
    removed: bool


@dataclass(frozen=True, slots=True)
class VehiclePage:
    """Everything one vehicle's page shows."""

    id: str
    version: int
    record: Vehicle
    drawing: str
    sources: tuple[SourceLine, ...]
    history: tuple[VersionLine, ...]
    looks: tuple[Complaint, ...]
    zones: tuple[Zone, ...] | None


def vehicle_lines(shop: Shop, part: str = "") -> tuple[VehicleLine, ...]:
    """Vehicles whose name or id holds a part, by name."""
    wanted, day = part.casefold().strip(), shop.day()
    found = [
        VehicleLine(id, v.label, str(v.sizes.wheelbase), _oldest(v, day), COPIED in _used(v))
        for id, v in shop.workshop().vehicles.items()
        if wanted in v.label.casefold() or wanted in id
    ]
    return tuple(sorted(found, key=lambda v: (v.label.casefold(), v.id)))


def vehicle_page(shop: Shop, id: str, words: Mapping[str, str]) -> VehiclePage:
    """One vehicle; NotFoundError when it is not on file."""
    with shop.store.read() as tx:
        kept = tx.records.get(Vehicle, id)
        history = tx.records.history(Vehicle, id)
    return VehiclePage(
        id=id,
        version=kept.version,
        record=kept.record,
        drawing=vehicle_drawing(kept.record, words),
        sources=_sources(kept.record, shop.day()),
        history=tuple(map(_version, history)),
        looks=complaints(kept.record),
        zones=kept.record.zones,
    )


def _version(kept: Kept[Vehicle]) -> VersionLine:
    when = f"{kept.at:%Y-%m-%d %H:%M} UTC"
    return VersionLine(kept.version, kept.person, kept.device, when, kept.removed)


def _used(record: Vehicle) -> Counter[str]:
    """How many figures rest on each source."""
    return Counter(q.source or record.source for _, q in figures(record))


def _sources(record: Vehicle, day: date) -> tuple[SourceLine, ...]:
    used = _used(record)
    return tuple(
        SourceLine(
            name,
            s.kind.value,
            _told(s),
            not s.seen,
            months(s.date, day),
            used[name],
            name == record.source,
            name == COPIED,
        )
        for name, s in record.sources.items()
    )


def _told(source: Source) -> str:
    """What a source is, without its kind, which pages word in their language."""
    return str(source).removeprefix(f"{source.kind.value}: ").removesuffix(" (from memory)")


def _oldest(record: Vehicle, day: date) -> int | None:
    used = _used(record)
    days = [s.date for name, s in record.sources.items() if s.date and used[name]]
    return months(min(days), day) if days else None


def months(stated: date | None, day: date) -> int | None:
    """Whole months since a source's date; None without one."""
    return None if stated is None else max(0, int(Age(stated, day).months))


__all__ = [
    "SourceLine",
    "VehicleLine",
    "VehiclePage",
    "VersionLine",
    "vehicle_lines",
    "vehicle_page",
]
