"""`parked`, `weigh` and `plan --chances`, called as people call them."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from tests.store_cases import DAY, JORUN, QUAYSIDE, fill, quayside
from underset.cli import main
from underset.records import read_vehicle
from underset.store import DailyCheck, open_store

PARKED = ("parked", "--vehicle", "harbour-hatch", "--bay", "north")
WEIGH = ("--vehicle", "harbour-hatch", "--by", "Tavi", "--on", "2026-11-20")


def test_a_vehicle_askew_in_its_window_gets_new_teeth(tmp_path: Path) -> None:
    out = tmp_path / "parked.json"
    stop = ("--spot", "240 ± 5 mm", "--sideways", "12 mm", "--yaw", "0.3 deg")
    assert main([*PARKED, *stop, "--json", str(out)]) == 0
    setting = json.loads(out.read_text("utf-8"))["setting"]
    assert setting["spot_m"] == pytest.approx(1.240)  # the stud lies at 1000 mm
    assert setting["sideways_m"] == pytest.approx(0.012)
    assert setting["yaw_deg"] == pytest.approx(0.3)
    # Shifted to the left, the right arms reach farther than the left ones.
    assert setting["arms"]["RF"]["reach_m"] > setting["arms"]["LF"]["reach_m"]


def test_too_far_back_is_told_how_far_to_move(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*PARKED, "--spot", "-400 mm"]) == 3
    told = capsys.readouterr().out
    assert "Move the vehicle" in told
    assert "forward" in told


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (("--tape", "LF tyre, middle, 2 mm"), "--tape"),
        (("--tape", "LF tyre, left, 412"), "--tape"),
        (("--spot", "240"), "--spot"),
        (("--spot", "240 mm", "--yaw", "3 mm"), "--yaw"),
        ((), "spot"),
    ],
)
def test_a_stop_that_cannot_be_read_is_refused(
    arguments: tuple[str, ...], named: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*PARKED, *arguments]) == 2
    assert named in capsys.readouterr().err


def test_where_the_shop_wants_it_somebody_has_to_be_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = Path(shutil.copytree(QUAYSIDE, tmp_path / "shop"))
    about = shop / "workshop.toml"
    rule = "require_authorisation = true\n"
    about.write_text(rule + about.read_text(encoding="utf-8"), encoding="utf-8")
    at = ("--vehicle", "harbour-hatch", "--bay", "north", "--workshop", str(shop))
    for command in (("plan", *at), ("parked", *at, "--spot", "240 mm")):
        assert main([*command, "--no-remedies"] if command[0] == "plan" else [*command]) == 5
        assert "nobody has said who lifts" in capsys.readouterr().out
        assert main([*command, "--person", "tavi"]) == 0
        assert main([*command, "--person", "brand"]) == 3  # of the compact lift alone
        assert main([*command, "--person", "nobody"]) == 2
        assert "on file: brand, jorun" in capsys.readouterr().err


def test_a_plan_from_a_store_knows_what_its_book_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "book.db"
    with open_store(path) as store, store.write(JORUN) as tx:
        fill(tx, quayside())
        tx.book.append(DailyCheck(bay="north", on=DAY, fit=False, note="cable frayed"))
    at = ("plan", "--vehicle", "harbour-hatch", "--bay", "north", "--no-remedies")
    assert main([*at]) == 0
    assert main([*at, "--store", str(path)]) == 3
    assert "out of service" in capsys.readouterr().out.lower()
    assert main([*at, "--store", str(path), "--workshop", str(QUAYSIDE)]) == 2
    assert main([*at, "--store", str(tmp_path / "none.db")]) == 6


def test_two_load_states_agree_and_give_a_record(tmp_path: Path) -> None:
    out = tmp_path / "weighed.toml"
    loads = (
        "--load",
        "kerb: 782 ± 3 kg, 521 ± 3 kg",
        "--load",
        "with driver: 822 ± 3 kg, 556 ± 3 kg",
    )
    aboard = ("--aboard", "with driver: driver, 75 ± 2 kg, 1240 mm, 350 mm")
    assert main(["weigh", "scales", *WEIGH, *loads, *aboard, "--write", str(out)]) == 0
    vehicle = read_vehicle(out)
    assert vehicle.weights.front.value == pytest.approx(782.0, abs=2.0)  # type: ignore[union-attr]
    assert any("Tavi" in s.by for s in vehicle.sources.values())


def test_scales_tell_mass_and_balance(capsys: pytest.CaptureFixture[str]) -> None:
    """By moments about the front axle: 2.600 m times 520 of 1300 kg is 1.040 m."""
    assert main(["weigh", "scales", *WEIGH, "--load", "kerb: 780 ± 3 kg, 520 ± 3 kg"]) == 0
    told = capsys.readouterr().out
    assert "Mass 1300 ± 6 kg" in told
    assert "Balance 1040 ± " in told
    assert "60.0 % of the weight on it" in told


def test_a_load_state_that_does_not_fit_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    loads = ("--load", "kerb: 782 ± 3 kg, 521 ± 3 kg", "--load", "again: 840 ± 3 kg, 521 ± 3 kg")
    assert main(["weigh", "scales", *WEIGH, *loads]) == 3
    assert "does not fit" in capsys.readouterr().out


def test_axle_lift_prints_height_and_residuals(capsys: pytest.CaptureFixture[str]) -> None:
    steps = ("rear: 400 mm, 796 kg", "rear: 600 mm, 806 kg", "rear: 750 mm, 813.5 kg")
    raised = [part for step in steps for part in ("--raised", step)]
    assert main(["weigh", "height", *WEIGH, *raised, "--radii", "305 mm, 305 mm"]) == 0
    told = capsys.readouterr().out
    assert "CG height" in told
    assert "residuals" in told


def test_gauges_accept_the_prediction_and_refuse_a_wrong_total() -> None:
    gauges = ("weigh", "gauges", *WEIGH, "--bay", "north", "--read")
    assert main([*gauges, "4.5 kN, 4.4 kN, 1.95 kN, 1.85 kN"]) == 0
    assert main([*gauges, "5.5 kN, 5.4 kN, 2.95 kN, 2.85 kN"]) == 3


def test_chances_are_the_same_twice(capsys: pytest.CaptureFixture[str]) -> None:
    told = []
    for _ in range(2):
        assert (
            main(["plan", "--vehicle", "harbour-hatch", "--bay", "north", "--chances", "500"]) == 0
        )
        told.append(capsys.readouterr().out.partition("Chance that")[2])
    assert told[0] == told[1]
    assert "What the least margin hangs on most" in told[0]


def test_chances_leave_printed_json_whole(capsys: pytest.CaptureFixture[str]) -> None:
    at = ("plan", "--vehicle", "harbour-hatch", "--bay", "north", "--no-remedies")
    assert main([*at, "--chances", "100", "--json", "-"]) == 0
    out, err = capsys.readouterr()
    assert json.loads(out)["outcome"] == "found"
    assert "Chance that" in err
    assert "Least pad load (as it stands): " in err


def test_weighing_is_told_in_the_units_of_the_shop(capsys: pytest.CaptureFixture[str]) -> None:
    load = ("--load", "kerb: 1721 ± 10 lb, 1146 ± 10 lb", "--units", "inch")
    assert main(["weigh", "scales", *WEIGH, *load]) == 0
    told = capsys.readouterr().out
    assert "1721 ± 11 lb" in told
    assert "Mass 2867 ± " in told
    assert " in behind the front axle" in told
    assert main(["weigh", "scales", *WEIGH, "--load", "kerb: 782 kg, 521 kg, 9 kg"]) == 2
    assert "received '3 loads'" in capsys.readouterr().err


def test_gauges_may_show_the_mass_that_weighs_as_much(capsys: pytest.CaptureFixture[str]) -> None:
    at = ("weigh", "gauges", *WEIGH, "--bay", "north", "--read")
    told = []
    for read in ("4.51 kN, 4.51 kN, 1.87 kN, 1.87 kN", "459.9 kg, 459.9 kg, 190.7 kg, 190.7 kg"):
        assert main([*at, read]) == 0
        told.append(capsys.readouterr().out)
    assert told[0] == told[1] == "accepted\n"
    assert main([*at, "4.51 kN, 4.51 kN, 1.87 kN, 1.87"]) == 2


def test_nothing_is_weighed_on_a_day_to_come(capsys: pytest.CaptureFixture[str]) -> None:
    load = ("--load", "kerb: 780 ± 3 kg, 520 ± 3 kg", "--on", "9999-12-31")
    assert main(["weigh", "scales", *WEIGH, *load]) == 2
    assert "--on: received '9999-12-31'; today, " in capsys.readouterr().err
