from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from tests.judge_cases import bay, vehicle
from underset.errors import InputError
from underset.geometry import apply, disc_to_polygon
from underset.planner.tape import TapeReading, named_places, stop_from_tape
from underset.setting.place import TAIL_IN, Stop

BAY, CAR = bay(), vehicle()
PLACES = named_places(CAR)
FOUR = (("LF tyre", "left"), ("LR tyre", "left"), ("RF tyre", "right"), ("RR tyre", "right"))


def read(stop: Stop, tol: float = 0.005, off: dict[str, float] | None = None) -> list[TapeReading]:
    """Readings as an exact tape would give them, each off by what is told."""
    turned = {"left": "right", "right": "left"} if stop.heading == TAIL_IN else {}
    rows = []
    for place, side in FOUR:
        column = turned.get(side, side)
        outline = BAY.columns[0 if column == "left" else 1]
        distance = disc_to_polygon(apply(stop.pose, PLACES[place]), 0.0, outline)
        rows.append(TapeReading(place, column, distance + (off or {}).get(place, 0.0), tol))  # type: ignore[arg-type]
    return rows


def test_places_have_names() -> None:
    assert set(PLACES) >= {"LF tyre", "RR tyre", "LF sill", "RR sill"}
    assert PLACES["LF tyre"] == (0.0, 0.85)
    assert PLACES["RF sill"] == (-0.6, -0.87)


@pytest.mark.parametrize("heading", ["nose-in", "tail-in"])
@pytest.mark.parametrize(
    ("spot", "sideways", "yaw"), [(1.2, 0.0, 0.0), (0.7, 0.04, -0.02), (1.9, -0.06, 0.015)]
)
def test_exact_readings_give_the_stop_back(
    heading: str, spot: float, sideways: float, yaw: float
) -> None:
    stop = Stop(heading, spot if heading == "nose-in" else -spot, sideways, yaw)
    measured = stop_from_tape(read(stop), PLACES, BAY, heading, near=stop.spot)
    found = measured.stop
    assert (found.spot, found.sideways, found.yaw) == pytest.approx(
        (stop.spot, sideways, yaw), abs=1e-6
    )
    assert max(map(abs, measured.residuals)) < 1e-6


def test_the_tolerance_covers_what_the_readings_may_be_off() -> None:
    stop, rng = Stop("nose-in", 1.1, 0.03, 0.01), Random(4)
    for _ in range(10):
        off = {place: rng.uniform(-0.005, 0.005) for place, _ in FOUR}
        measured = stop_from_tape(read(stop, 0.005, off), PLACES, BAY, "nose-in", near=1.1)
        assert abs(measured.stop.spot - stop.spot) <= measured.spot_tol + 1e-6
        assert abs(measured.stop.sideways - stop.sideways) <= measured.sideways_tol + 1e-6
        assert abs(measured.stop.yaw - stop.yaw) <= measured.yaw_tol + 1e-6
    assert 0.0 < measured.spot_tol < 0.02


def test_a_reading_that_is_off_is_named() -> None:
    readings = read(Stop("nose-in", 1.1, 0.0, 0.0), off={"RF tyre": 0.12})
    with pytest.raises(InputError, match="off by") as told:
        stop_from_tape(readings, PLACES, BAY, "nose-in", near=1.1)
    assert "tyre" in told.value.field


def test_too_few_readings_are_told() -> None:
    readings = read(Stop("nose-in", 1.1, 0.0, 0.0))
    with pytest.raises(InputError, match="two to each column"):
        stop_from_tape(readings[:2], PLACES, BAY, "nose-in")


def test_an_unknown_place_is_told_with_those_known() -> None:
    readings = [replace(read(Stop("nose-in", 1.1))[0], place="mirror")]
    with pytest.raises(InputError, match="LF tyre"):
        stop_from_tape(readings, PLACES, BAY, "nose-in")


def test_a_distance_that_cannot_be() -> None:
    readings = [replace(r, distance=-0.1) for r in read(Stop("nose-in", 1.1))]
    with pytest.raises(InputError, match="less than 10 m"):
        stop_from_tape(readings, PLACES, BAY, "nose-in")
