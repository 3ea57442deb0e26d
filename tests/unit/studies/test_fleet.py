"""The synthetic fleet: the same vehicle anywhere, figures of its class, records like columns."""

from __future__ import annotations

import pickle
from dataclasses import fields
from datetime import date

import numpy as np
import pytest

from underset.errors import InputError
from underset.records.plausibility import complaints
from underset.records.vehicle import Contact, Vehicle
from underset.studies.fleet import CONTACTS, ZONES, Columns, Fleet
from underset.studies.fleet_data import CLASSES
from underset.studies.fleet_records import name_of, vehicle_of, vehicles

STATED = date(2026, 3, 1)


def same(a: Columns, b: Columns) -> bool:
    return all(
        np.array_equal(getattr(a, f.name), getattr(b, f.name), equal_nan=True) for f in fields(a)
    )


def part(columns: Columns, start: int, stop: int) -> Columns:
    return Columns(**{f.name: getattr(columns, f.name)[start:stop] for f in fields(columns)})


@pytest.fixture(scope="module")
def many() -> Columns:
    return Fleet(30_000, seed=3).columns(0, 30_000)


def test_a_vehicle_is_the_same_alone_in_any_chunk_and_in_a_larger_fleet():
    whole = Fleet(2000, seed=11).columns(0, 2000)
    for i in (0, 1, 777, 1999):
        assert same(Fleet(10**6, seed=11).columns(i, i + 1), part(whole, i, i + 1))
    begin = 0
    for chunk in Fleet(2000, seed=11).chunks(size=333):
        assert same(chunk, part(whole, begin, begin + len(chunk)))
        begin += len(chunk)
    assert begin == 2000
    assert same(pickle.loads(pickle.dumps(Fleet(2000, seed=11))).columns(5, 9), part(whole, 5, 9))


def test_another_seed_gives_other_vehicles():
    a, b = (Fleet(500, seed=s).columns(0, 500) for s in (1, 2))
    assert np.mean(a.wheelbase == b.wheelbase) < 0.1


def test_streams_of_neighbours_and_of_figures_do_not_hang_together(many: Columns):
    x = many.droop_front
    assert abs(np.corrcoef(x[1:], x[:-1])[0, 1]) < 0.02
    assert abs(np.corrcoef(x, many.droop_rear)[0, 1]) < 0.02
    counts = np.bincount(np.round(x * 1000).astype(int))[51:110]  # 59 whole millimetres of 60
    assert counts.min() > 0.8 * len(x) / 60
    assert counts.max() < 1.2 * len(x) / 60


def test_first_vehicle_of_seed_zero_stays_as_it_is():
    """A change of the streams would silently change every study: it must be meant."""
    row = Fleet(1).columns(0, 1).row(0)
    said = (CLASSES[row["kind"]].name, CONTACTS[row["contact"]].value)
    sizes = tuple(round(1000 * row[n]) for n in ("wheelbase", "length", "width", "height"))
    assert (*said, *sizes, row["front_mass"], row["rear_mass"]) == FIRST


@pytest.mark.parametrize("kind", range(len(CLASSES)), ids=[c.name for c in CLASSES])
def test_each_class_has_the_figures_it_was_given(many: Columns, kind: int):
    about = CLASSES[kind]
    rows = many.kind == kind
    n = rows.sum()
    assert n == pytest.approx(30_000 * about.share, rel=0.25)
    slack = 4 / np.sqrt(n)
    base = np.round(many.wheelbase[rows] * 1000)
    near_edge = about.wheelbase.sd * 0.4  # cut-off at the ends moves the mean a little
    assert abs(base.mean() - about.wheelbase.mean) < slack * about.wheelbase.sd + near_edge
    assert base.min() >= about.wheelbase.low
    assert base.max() <= about.wheelbase.high
    share = many.front_mass[rows] / (many.front_mass[rows] + many.rear_mass[rows])
    assert abs(share.mean() - about.front_share.mean) < (slack + 0.15) * about.front_share.sd
    assert share.min() >= about.front_share.low - 0.001
    ratio = many.cg_height[rows] / many.height[rows]
    assert abs(ratio.mean() - about.cg_share.mean) < (slack + 0.15) * about.cg_share.sd + 0.0005
    pinch = np.mean(many.contact[rows] == CONTACTS.index(Contact.PINCH))
    assert pinch == pytest.approx(dict(about.contacts).get(Contact.PINCH, 0.0), abs=2 / np.sqrt(n))
    assert np.isnan(many.pack_mass[rows]).all() != about.battery


def test_nothing_is_out_of_proportion(many: Columns):
    points = many.points
    assert (points[:, :2, 0] < points[:, 2:, 0]).all()
    assert (points[:, :, 0] > 0).all()
    assert (points[:, :, 0] < many.wheelbase[:, None]).all()
    assert (np.abs(points[:, :, 1]) < many.width[:, None] / 2).all()
    assert np.array_equal(points[:, 0, 1], -points[:, 1, 1])
    assert (many.length > many.wheelbase).all()
    assert (many.track_rear + many.tyre_width <= many.width + 0.05).all()
    for name in ("wheelbase", "height", "along", "droop_rear", "bonnet_open"):
        assert np.isfinite(getattr(many, name)).all()
    low, high, inner, outer = (many.zones[:, :, k] for k in range(4))
    there = ~np.isnan(low)
    assert (low[there] < high[there]).all()
    assert (inner[there] < outer[there]).all()
    assert there[:, ZONES.index("tank")].sum() + there[:, ZONES.index("battery")].sum() == 30_000


def test_the_mix_may_be_the_shop_s_own():
    mix = {"pickup, four-wheel drive": 3.0, "van, rear drive": 1.0}
    columns = Fleet(4000, seed=5, shares=mix).columns(0, 4000)
    names, counts = np.unique(columns.kind, return_counts=True)
    found = {CLASSES[k].name: c / 4000 for k, c in zip(names, counts, strict=True)}
    assert set(found) == set(mix)
    assert found["pickup, four-wheel drive"] == pytest.approx(0.75, abs=0.03)


def figures(record: Vehicle) -> dict[str, object]:
    points = record.point_sets[0].points
    return {
        **{n: getattr(record.sizes, n).value for n in ("wheelbase", "length", "width", "height")},
        **{n: getattr(record.sizes, n).value for n in ("track_front", "track_rear", "sill_height")},
        "front_mass": record.weights.front.value,
        "rear_mass": record.weights.rear.value,
        "cg_height": record.balance.height.value,
        "cg_side": record.balance.side.value,
        "along": points[0].along.value,
        "across": points[0].across.value,
        "droop_front": record.suspension.droop_front.value,
        "door_length": record.doors[0].length.value,
        "tail_open": record.lids[1].open_height.value,
    }


def test_records_read_back_exactly_what_the_columns_hold():
    columns = Fleet(300, seed=9).columns(0, 300)
    for i in range(300):
        record = vehicle_of(columns, i, STATED)
        for name, value in figures(record).items():
            assert value == getattr(columns, name)[i], (i, name)
        places = [(p.aft.value, p.side.value, p.up.value) for p in record.point_sets[0].points]
        assert np.array_equal(places, columns.points[i])
        zones = {z.id.replace("-", " "): z.underside.value for z in record.zones}
        for k, zone in enumerate(ZONES):
            assert zones.get(zone) == (
                None if np.isnan(columns.zones[i, k, 4]) else columns.zones[i, k, 4]
            )


def test_records_are_marked_invented_and_look_like_vehicles():
    odd = 0
    for name, record in vehicles(Fleet(400, seed=2), STATED):
        assert record.invented
        assert record.sources["fleet"].kind.value == "invented"
        assert name.startswith("synthetic-")
        odd += bool(complaints(record))
    assert name == name_of(399)
    assert odd <= 8  # a heavy van now and then: rare, not wrong


@pytest.mark.parametrize(
    "wrong",
    [
        {"count": -1},
        {"count": 1, "seed": -1},
        {"count": 1, "shares": {"spaceship": 1.0}},
        {"count": 1, "shares": {"van, rear drive": -1.0}},
        {"count": 1, "shares": {"van, rear drive": 0.0}},
    ],
)
def test_a_fleet_that_cannot_be_is_refused(wrong: dict):
    with pytest.raises(InputError):
        Fleet(**wrong)


def test_rows_beyond_the_fleet_are_refused():
    with pytest.raises(InputError):
        Fleet(10).columns(5, 11)


FIRST = ("hatch, front drive", "flat boss", 2470, 3982, 1702, 1442, 797, 476)
