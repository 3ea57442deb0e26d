"""Headers of a fleet's table: other units, points aft and to the side, axle loads; and refusals."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from underset.errors import InputError
from underset.studies import batch_columns as at
from underset.studies.batch_headers import columns_in, header
from underset.studies.batch_table import read_table

IN, LB = 0.0254, 0.45359237
OURS = [header(n) for n in at.VEHICLE_COLUMNS]
ROW = {header(n): "0.5" for n in at.VEHICLE_COLUMNS} | {"contact": "flat boss", "battery": "0"}


def read(path: Path, row: dict[str, str]) -> np.ndarray:
    path.write_text("\n".join(",".join(x) for x in (row.keys(), row.values())), "utf-8")
    return next(read_table(path, 10, 1.0e6)).rows[0]


def without(*names: str) -> dict[str, str]:
    return {k: v for k, v in ROW.items() if k.partition(" [")[0] not in names}


def test_lengths_and_masses_in_another_unit(tmp_path: Path) -> None:
    other = {"wheelbase [in]": "102.4", "mass (lb)": "2867", "roof [mm]": "1490", "sill[cm]": "21"}
    row = read(tmp_path / "x.csv", without("wheelbase", "mass", "roof", "sill") | other)
    got = [row[k] for k in (at.WHEELBASE, at.MASS, at.ROOF, at.SILL)]
    assert got == pytest.approx([102.4 * IN, 2867 * LB, 1.49, 0.21], rel=1e-12)


def test_points_aft_and_to_the_side(tmp_path: Path) -> None:
    other = {
        "lf_aft [mm]": "600",
        "lf_side [mm]": "720",
        "rr_aft [in]": "80",
        "rr_side [in]": "-28",
    }
    row = read(tmp_path / "x.csv", without("lf_x", "lf_y", "rr_x", "rr_y") | other)
    x, y = row[at.POINT_X : at.POINT_X + 4], row[at.POINT_Y : at.POINT_Y + 4]
    assert [x[0], y[0], x[3], y[3]] == pytest.approx([-0.6, 0.72, -80 * IN, -28 * IN], rel=1e-12)


def test_axle_loads_tell_mass_and_balance_with_what_they_may_be_off(tmp_path: Path) -> None:
    """2.6 m, 780 and 520 kg: 1300 kg, 1.040 m behind the front axle; at worst 783 and 517 kg."""
    loads = {"front_axle [kg]": "780", "rear_axle [kg]": "520"}
    tols = {"front_axle_tol [kg]": "3", "rear_axle_tol [kg]": "3"}
    gone = without("mass", "cg_x", "mass_tol", "cg_x_tol", "wheelbase") | {"wheelbase [m]": "2.6"}
    row = read(tmp_path / "x.csv", gone | loads | tols)
    assert [row[at.MASS], row[at.CG_X], row[at.MASS_TOL]] == pytest.approx([1300.0, -1.04, 6.0])
    assert row[at.CG_X_TOL] == pytest.approx(1.04 - 2.6 * 517 / 1300, rel=1e-9)
    stated = gone | loads | {"mass_tol [kg]": "4", "cg_x_tol [m]": "0.01"}
    assert read(tmp_path / "x.csv", stated)[at.MASS_TOL] == 4.0
    unknown = read(tmp_path / "x.csv", gone | loads | tols | {"rear_axle [kg]": ""})
    assert np.isnan([unknown[at.MASS], unknown[at.CG_X], unknown[at.CG_X_TOL]]).all()


def test_every_missing_column_is_named_with_what_may_stand_for_it() -> None:
    with pytest.raises(InputError) as told:
        columns_in([h for h in OURS if not h.startswith(("mass", "lf_", "roof"))], "table x.csv")
    for name in ("mass [kg]", "mass_tol [kg]", "lf_x [m]", "lf_y [m]", "lf_up [m]", "roof [m]"):
        assert name in told.value.allowed
    assert told.value.value == "6 columns missing"
    assert "front_axle and rear_axle" in told.value.remedy


@pytest.mark.parametrize(
    ("names", "words"),
    [
        ([*OURS, "wheelbase [in]"], "each figure once; wheelbase"),
        ([*OURS, "lf_aft [mm]"], "each figure once; lf_x"),
        ([*OURS, "front_axle [kg]", "rear_axle [kg]"], "either the loads of both axles"),
        (["wheelbase", *OURS[1:]], "units here are m, cm, mm, in, ft"),
        (["wheelbase [lb]", *OURS[1:]], "a column wheelbase"),
        ([*OURS, "zone9_x_low [m]"], "8 zones"),
        ([*OURS, OURS[0]], "each column once"),
    ],
)
def test_what_could_mean_two_things_is_refused(names: list[str], words: str) -> None:
    with pytest.raises(InputError, match=words):
        columns_in(names, "table x.csv")


def test_columns_of_other_people_are_left_alone() -> None:
    found = columns_in(["make", "height", *OURS], "table x.csv")
    assert set(found) == set(at.VEHICLE_COLUMNS)


def test_a_figure_out_of_bounds_is_told_in_the_unit_of_the_bound(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"roof \[mm\]: received '900000'; more than 0 to 100 m"):
        read(tmp_path / "x.csv", without("roof") | {"roof [mm]": "900000"})
