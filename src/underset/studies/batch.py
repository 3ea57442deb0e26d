"""Many vehicles at once: the batch's judge over a fleet or a table, in chunks of bounded memory.

The kernels run compiled where the extra "speed" is installed and as plain Python elsewhere, with
equal answers. Chunks run through the executor, so that a run may be spread, watched, broken off and
taken up again. The batch checks `batch_columns.CHECKED` and nothing else: what it takes still has
to pass the planner's full judge (papers, doors, roof, way in, parking) before it is lifted.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import file_digest, sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from underset.studies import batch_columns as at
from underset.studies import batch_compile
from underset.studies.batch_build import BatchBay
from underset.studies.batch_fleet import rows_of
from underset.studies.batch_table import Vehicles, read_table, rows_in
from underset.studies.executor import HERE, Place, Watch, run
from underset.studies.fleet import CHUNK, Fleet
from underset.studies.journal import Journal

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]


NOT_CHECKED = ("papers", "doors", "roof", "way in", "parking", "other columns")


@dataclass(frozen=True, slots=True)
class Chunk:
    """Some vehicles of a fleet by number, or rows of a table as read."""

    bays: tuple[BatchBay, ...]
    twist: float
    size: int
    fleet: Fleet | None = None
    start: int = 0
    rows: Vehicles | None = None
    compiled: bool = True

    def vehicles(self) -> Vehicles:
        """The rows of these vehicles."""
        if self.rows is not None:
            return self.rows
        assert self.fleet is not None
        columns = self.fleet.columns(self.start, self.start + self.size)
        return Vehicles(*rows_of(columns, self.twist))


@dataclass(frozen=True, slots=True)
class Tally:
    """What some vehicles came to: counts by bay, and how many any bay takes.

    `reasons` has a row for each bay: how often each of `batch_columns.REASONS` refused.
    """

    vehicles: int
    found: tuple[int, ...]
    incomplete: tuple[int, ...]
    anywhere: int
    reasons: tuple[tuple[int, ...], ...]

    def plus(self, other: Tally) -> Tally:
        """Both together."""
        return Tally(
            self.vehicles + other.vehicles,
            _sum(self.found, other.found),
            _sum(self.incomplete, other.incomplete),
            self.anywhere + other.anywhere,
            tuple(_sum(a, b) for a, b in zip(self.reasons, other.reasons, strict=True)),
        )


def _sum(a: Sequence[int], b: Sequence[int]) -> tuple[int, ...]:
    return tuple(x + y for x, y in zip(a, b, strict=True))


def nothing(bays: int) -> Tally:
    """No vehicle yet."""
    return Tally(0, (0,) * bays, (0,) * bays, 0, ((0,) * len(at.REASONS),) * bays)


def answers(chunk: Chunk) -> Floats:
    """For each vehicle and bay the figures of `batch_columns.ANSWER_COLUMNS`."""
    kernels = batch_compile.plain()
    if chunk.compiled and batch_compile.can_compile():
        kernels = batch_compile.compiled()
    them = chunk.vehicles()
    found = np.zeros((len(chunk.bays), len(them.rows), at.ANSWER_WIDTH))
    for bay, here in zip(chunk.bays, found, strict=True):
        kernels.plan_many(them.rows, them.zones, them.counts, bay.lift, bay.profiles, here)
    return found.transpose(1, 0, 2)


def tally_of(chunk: Chunk) -> Tally:
    """The answers of a chunk, counted."""
    found = answers(chunk)
    outcome, reason = found[:, :, 0], found[:, :, 11].astype(np.int64)
    taken = outcome == at.FOUND
    counts = [
        np.bincount(reason[outcome[:, b] == at.NONE, b], minlength=len(at.REASONS))
        for b in range(len(chunk.bays))
    ]
    return Tally(
        len(found),
        tuple(int(n) for n in taken.sum(axis=0)),
        tuple(int(n) for n in (outcome == at.INCOMPLETE).sum(axis=0)),
        int(taken.any(axis=1).sum()),
        tuple(tuple(int(n) for n in row) for row in counts),
    )


@dataclass(frozen=True, slots=True)
class Survey:
    """A batch to run: bays, and a fleet or the path of a table (.csv or .parquet)."""

    bays: tuple[BatchBay, ...]
    twist: float
    source: Fleet | Path
    size: int = CHUNK
    compiled: bool = True

    def chunks(self) -> Iterator[Chunk]:
        """The work in pieces, one in memory at a time."""
        if isinstance(self.source, Fleet):
            for start in range(0, self.source.count, self.size):
                size = min(self.size, self.source.count - start)
                yield Chunk(self.bays, self.twist, size, self.source, start, compiled=self.compiled)
            return
        start = 0
        for rows in read_table(self.source, self.size, self.twist):
            size = len(rows.rows)
            yield Chunk(self.bays, self.twist, size, None, start, rows, self.compiled)
            start += size

    def digest(self) -> str:
        """What all answers depend on; a journal of another study is refused by it."""
        told = sha256(repr((self.source, self.size, self.twist)).encode())
        if isinstance(self.source, Path) and self.source.exists():
            with self.source.open("rb") as file:
                told.update(file_digest(file, sha256).digest())
        for bay in self.bays:
            told.update(bay.id.encode())
            for table in (*bay.lift, bay.profiles):
                told.update(np.ascontiguousarray(table).tobytes())
        return told.hexdigest()

    def plans(self) -> int:
        """Vehicle x bay plans of the whole batch; 0 where a table does not say how many rows."""
        if isinstance(self.source, Fleet):
            return self.source.count * len(self.bays)
        return rows_in(self.source) * len(self.bays)


def size_of(chunk: Chunk) -> int:
    """How much of a run one chunk is: its vehicle x bay plans."""
    return chunk.size * len(chunk.bays)


def survey(
    asked: Survey, on: Place = HERE, watch: Watch[Chunk] | None = None, file: Path | None = None
) -> Tally:
    """Run a batch; with a journal on `file` it may be broken off and goes on where it stopped."""
    journal: Journal[Tally] | None = None
    if file is not None:
        journal = Journal(file, asked.digest(), _encoded, _decoded)
    total = nothing(len(asked.bays))
    for tally in run(tally_of, asked.chunks(), on, watch, journal):
        total = total.plus(tally)
    return total


def _encoded(tally: Tally) -> list[Any]:
    reasons = [list(row) for row in tally.reasons]
    return [tally.vehicles, list(tally.found), list(tally.incomplete), tally.anywhere, reasons]


def _decoded(kept: list[Any]) -> Tally:
    vehicles, found, incomplete, anywhere, reasons = kept
    rows = tuple(tuple(row) for row in reasons)
    return Tally(vehicles, tuple(found), tuple(incomplete), anywhere, rows)


def as_json(asked: Survey, told: Tally) -> str:
    """The counts as JSON: a list of bays, each with what it takes and what refuses the rest."""
    bays = [
        {
            "bay": bay.id,
            "fit": told.found[b],
            "not_known": told.incomplete[b],
            "refused_by": {
                name: n for name, n in zip(at.REASONS, told.reasons[b], strict=True) if n
            },
        }
        for b, bay in enumerate(asked.bays)
    ]
    whole = {
        "vehicles": told.vehicles,
        "fit_some_bay": told.anywhere,
        "bays": bays,
        "not_checked": NOT_CHECKED,
    }
    return json.dumps(whole, indent=2) + "\n"


def as_csv(asked: Survey, told: Tally) -> str:
    """The counts as CSV: a row for each bay, a column for each check that refuses."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["bay", "vehicles", "fit", "not_known", *at.REASONS[1:]])
    for b, bay in enumerate(asked.bays):
        row = [told.vehicles, told.found[b], told.incomplete[b], *told.reasons[b][1:]]
        writer.writerow([bay.id, *row])
    return out.getvalue()


def as_lines(asked: Survey, told: Tally) -> list[str]:
    """Counts by bay, the checks that refuse most, and what was not checked."""
    lines = [f"{told.anywhere} of {told.vehicles} vehicles fit some bay by the core checks"]
    for b, bay in enumerate(asked.bays):
        most = sorted(zip(told.reasons[b], at.REASONS, strict=True), reverse=True)[:3]
        why = ", ".join(f"{name} {n}" for n, name in most if n)
        lines.append(f"  {bay.id}: {told.found[b]}; refused by {why or 'nothing'}")
        if told.incomplete[b]:
            lines.append(f"      not known: {told.incomplete[b]}")
    return [*lines, f"Not checked here: {', '.join(NOT_CHECKED)}."]
