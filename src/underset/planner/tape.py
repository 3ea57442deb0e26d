"""Where a vehicle stands, from tape readings between named places on it and the two columns.

A reading is the least distance in plan from a place of the vehicle to the face of a column, as a
tape held level finds it. Three unknowns (spot, sideways, yaw) need three readings; four, two to
each column, leave one over as a check. Solved by least squares (Gauss 1809), step by step from
several starts; the tolerance is the worst case of the readings' own, to first order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot, radians
from typing import Literal

from underset.errors import InputError, said
from underset.geometry import Point, apply, disc_to_polygon
from underset.setting.numbers import BayNumbers, VehicleNumbers
from underset.setting.place import Stop

STARTS = tuple(0.8 * k for k in range(-5, 6))  # m: spots from which the solving starts
FAR_OFF = 0.8  # m sideways: no vehicle between columns stands farther off the line
ASKEW = radians(12.0)
SAME = 0.003  # m: solutions nearer than that are one
READ = 0.003  # m: what a reading may disagree beside its tolerance (rounding, bent tape)


@dataclass(frozen=True, slots=True)
class TapeReading:
    """One reading: a named place of the vehicle, the column, distance and its tolerance in m."""

    place: str
    column: Literal["left", "right"]
    distance: float
    tol: float = 0.005


@dataclass(frozen=True, slots=True)
class MeasuredStop:
    """A stop with half widths of its tolerance, m and rad."""

    stop: Stop
    spot_tol: float = 0.0
    sideways_tol: float = 0.0
    yaw_tol: float = 0.0
    residuals: tuple[float, ...] = ()


def named_places(vehicle: VehicleNumbers) -> dict[str, Point]:
    """Places a tape can be held at, in V: outer tyre faces at the hubs, sills at the points."""
    places: dict[str, Point] = {}
    corners = ("LF", "RF", "LR", "RR")
    for corner, tyre in zip(corners, vehicle.tyres or (), strict=False):
        x, y = tyre.centre
        places[f"{corner} tyre"] = (x, y + (tyre.width / 2 if y > 0.0 else -tyre.width / 2))
    if vehicle.outline is not None:
        half = vehicle.outline[2]
        for point in vehicle.point_sets[0].points:
            side = half if point.place[1] > 0.0 else -half
            places[f"{point.corner} sill"] = (point.place[0], side)
    return places


def stop_from_tape(
    readings: Sequence[TapeReading],
    places: Mapping[str, Point],
    bay: BayNumbers,
    heading: str,
    near: float | None = None,
) -> MeasuredStop:
    """The stop that fits the readings. `near` is a spot the vehicle is known to stand near.

    Raises InputError for an unknown place, too few readings, readings that do not agree (naming the
    one that is off most), and readings that more than one stop fits.
    """
    _check(readings, places)
    fit = _Fit(tuple(readings), places, bay, heading)
    found = _distinct([s for s in (fit.solved(start) for start in STARTS) if s is not None])
    good = [s for s in found if fit.agrees(s)]
    if not good:
        raise _disagreement(fit, found)
    if near is not None:
        good.sort(key=lambda s: abs(s[0] - near))
    elif len(good) > 1:
        told = ", ".join(f"{s[0]:+.2f} m" for s in good)
        raise InputError(
            "tape readings", len(readings),
            said("one stop fits them, not several ({told})", told=told),
            "Say about where it stands, or add a reading to another place.",
        )  # fmt: skip
    return fit.measured(good[0])


_Solution = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class _Fit:
    readings: tuple[TapeReading, ...]
    places: Mapping[str, Point]
    bay: BayNumbers
    heading: str

    def off(self, s: _Solution) -> list[float]:
        """What each distance would be at a stop, less what was read."""
        pose = Stop(self.heading, *s).pose
        rows = []
        for r in self.readings:
            column = self.bay.columns[0 if r.column == "left" else 1]
            at = apply(pose, self.places[r.place])
            rows.append(disc_to_polygon(at, 0.0, column) - r.distance)
        return rows

    def slopes(self, s: _Solution) -> list[list[float]]:
        """Change of each distance with spot, sideways and yaw, by central differences."""
        step = 1e-6
        columns = []
        for k in range(3):
            up = tuple(v + (step if i == k else 0.0) for i, v in enumerate(s))
            down = tuple(v - (step if i == k else 0.0) for i, v in enumerate(s))
            rows = zip(self.off(up), self.off(down), strict=True)  # type: ignore[arg-type]
            columns.append([(a - b) / (2 * step) for a, b in rows])
        return [list(row) for row in zip(*columns, strict=True)]

    def solved(self, start: float) -> _Solution | None:
        """Least squares from one start, or None where it does not settle on a possible stop."""
        import numpy as np

        s = np.array([start, 0.0, 0.0])
        for _ in range(60):
            rows = np.array(self.off(tuple(s)))
            move, *_ = np.linalg.lstsq(np.array(self.slopes(tuple(s))), -rows, rcond=1e-9)
            move *= min(1.0, 0.3 / max(float(np.abs(move).max()), 1e-12))
            s = s + move
            if float(np.abs(move).max()) < 1e-10:
                break
        spot, sideways, yaw = (float(v) for v in s)
        possible = abs(sideways) <= FAR_OFF and abs(yaw) <= ASKEW
        return (spot, sideways, yaw) if possible else None

    def agrees(self, s: _Solution) -> bool:
        """Whether every reading is met within its tolerance."""
        return all(
            abs(off) <= r.tol + READ for off, r in zip(self.off(s), self.readings, strict=True)
        )

    def measured(self, s: _Solution) -> MeasuredStop:
        """The solution with its tolerance: the worst that all readings' tolerances can do."""
        import numpy as np

        slopes = np.array(self.slopes(s))
        if float(np.linalg.svd(slopes, compute_uv=False)[-1]) < 1e-3:
            raise InputError(
                "tape readings", [r.place for r in self.readings],
                "places whose distances fix spot, sideways and yaw together",
                "Measure from one place ahead and one behind, to each column.",
            )  # fmt: skip
        spread = np.abs(np.linalg.pinv(slopes)) @ np.array([r.tol for r in self.readings])
        spot_tol, sideways_tol, yaw_tol = (float(v) for v in spread)
        stop = Stop(self.heading, *s)
        return MeasuredStop(stop, spot_tol, sideways_tol, yaw_tol, tuple(self.off(s)))


def _check(readings: Sequence[TapeReading], places: Mapping[str, Point]) -> None:
    for r in readings:
        if r.place not in places:
            raise InputError(
                "place", r.place, said("places are {known}", known=", ".join(places) or "none")
            )
        if not 0.0 < r.distance < 10.0:
            raise InputError(f"reading at {r.place}", r.distance, "more than 0 and less than 10 m")
    columns = {r.column for r in readings}
    if len(readings) < 3 or len(columns) < 2:
        raise InputError(
            "tape readings", len(readings), "two to each column, from places ahead and behind"
        )


def _distinct(found: list[_Solution]) -> list[_Solution]:
    kept: list[_Solution] = []
    for s in found:
        if all(hypot(s[0] - k[0], s[1] - k[1]) > SAME or abs(s[2] - k[2]) > 0.01 for k in kept):
            kept.append(s)
    return kept


def _disagreement(fit: _Fit, found: list[_Solution]) -> InputError:
    remedy = "Measure again, tape level, from the same place of the vehicle."
    if not found:
        return InputError("tape readings", len(fit.readings), "no stop in this bay fits", remedy)
    best = min(found, key=lambda s: max(map(abs, fit.off(s))))
    worst = max(zip(map(abs, fit.off(best)), fit.readings, strict=True), key=lambda row: row[0])
    off, r = worst
    return InputError(
        f"reading at {r.place} to the {r.column} column", f"{r.distance:.3f} m",
        said("readings agree within their tolerances; this one is off by {off:.0f} mm",
             off=off * 1000),
        remedy,
    )  # fmt: skip
