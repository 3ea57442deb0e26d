"""CG priors against the rows they come from: NHTSA NCAP 2004 and the class figures of 2001-2021.

United States National Highway Traffic Safety Administration, New Car Assessment Program 2004,
rollover measurements, read in a hand copy (github kktse/stunning-octo-doodle-ncap, commit 6cf0479,
2004_ncap_ssf.csv): front share = 1 - CG distance behind the front axle / wheelbase. One row that
the source labels front-drive is a rear-drive car; it stands here as rear.
"""

from __future__ import annotations

from statistics import fmean, stdev

import pytest
from scipy import stats

from tests.record_cases import changed
from underset.records import Vehicle, front_share_prior, height_prior, side_prior
from underset.records.prior import FRONT_SHARES, HEIGHT_RATIOS, REAR_ENGINE_CARS, Prior

# Vehicle, body class, driven axle, front share.
NCAP_2004 = [
    ("Toyota Tacoma XCab SR5", "pickup", "four-wheel", 0.5881),
    ("Toyota 4Runner SR5", "SUV", "rear", 0.5165),
    ("Toyota 4Runner SR5", "SUV", "four-wheel", 0.5423),
    ("Toyota Tacoma SR5", "pickup", "rear", 0.5711),
    ("Ford Explorer Sport Trac XLS", "SUV", "rear", 0.5520),
    ("Ford Explorer Sport Trac XLS", "SUV", "four-wheel", 0.5624),
    ("Jeep Liberty Sport", "SUV", "rear", 0.5221),
    ("Jeep Liberty Sport", "SUV", "four-wheel", 0.5375),
    ("Ford Focus", "car", "front", 0.5841),
    ("Subaru Outback", "car", "all-wheel", 0.5469),
    ("Nissan Murano SL", "SUV", "front", 0.5944),
    ("Nissan Murano SL", "SUV", "all-wheel", 0.5930),
    ("Honda Pilot LX", "SUV", "all-wheel", 0.5593),
    ("Chrysler Pacifica", "SUV", "all-wheel", 0.5528),
    ("Chrysler Pacifica", "SUV", "front", 0.5580),
    ("Chevrolet Silverado", "pickup", "rear", 0.5830),
    ("Chevrolet Silverado", "pickup", "four-wheel", 0.6007),
    ("Chevrolet Trail Blazer LS", "SUV", "rear", 0.5274),
    ("Volvo XC 90", "SUV", "all-wheel", 0.5454),
    ("Chevrolet Trail Blazer LS", "SUV", "four-wheel", 0.5375),
    ("Ford Explorer", "SUV", "rear", 0.5256),
    ("Ford Explorer", "SUV", "four-wheel", 0.5335),
    ("Toyota Echo", "car", "front", 0.6034),
    ("Nissan Maxima 3.5 SE", "car", "front", 0.6056),
    ("Mazda RX-8", "car", "rear", 0.5221),
    ("Mazda 3", "car", "front", 0.6150),
    ("Hyundai Elantra", "car", "front", 0.6210),
    ("Acura TSX", "car", "front", 0.5914),
    ("Acura RL", "car", "front", 0.6093),
    ("Toyota Camry Solara SLE", "car", "front", 0.6183),
    ("Chevrolet Malibu LS", "car", "front", 0.6209),
    ("Hyundai Tiburon", "car", "front", 0.6169),
    ("Hyundai Accent", "car", "front", 0.6098),
    ("Hyundai XG350L", "car", "front", 0.6194),
    ("Kia Amanti", "car", "front", 0.6160),
    ("Chevrolet Aveo", "car", "front", 0.6227),
    ("Volkswagen New Beetle GLS", "car", "front", 0.6095),
    ("Pontiac Grand Prix GT", "car", "front", 0.6248),
    ("Toyota Prius", "car", "front", 0.5881),
    ("Suzuki Forenza", "car", "front", 0.6135),
    ("Chevrolet Tahoe", "SUV", "four-wheel", 0.5211),
    ("Chevrolet Tahoe", "SUV", "rear", 0.5069),
    ("Dodge Durango", "SUV", "four-wheel", 0.5526),
    ("Dodge Durango", "SUV", "rear", 0.5391),
    ("Ford F-150 XL Triton", "pickup", "four-wheel", 0.5745),
    ("Ford F-150 XL Triton", "pickup", "rear", 0.5643),
    ("Ford Freestar", "minivan", "front", 0.5969),
    ("Toyota Sienna CE", "minivan", "front", 0.5784),
    ("Ford Escape", "SUV", "front", 0.5955),
    ("Ford Escape", "SUV", "four-wheel", 0.5854),
    ("Nissan Quest 3.5S", "minivan", "front", 0.5850),
    ("Scion xA", "car", "front", 0.5964),
]


def vehicle(**fields: str) -> Vehicle:
    changes = {"drive": "front", "body": "car", "propulsion": "combustion", **fields}
    return Vehicle.model_validate(changed("vehicles/harbour-hatch.toml", changes))


def share(**fields: str) -> Prior:
    prior = front_share_prior(vehicle(**fields))
    assert prior is not None
    return prior


@pytest.mark.parametrize(("name", "body", "drive", "measured"), NCAP_2004)
def test_every_measured_row_lies_in_the_band_of_its_class(
    name: str, body: str, drive: str, measured: float
) -> None:
    prior = share(body=body, drive=drive)
    assert prior.low <= measured <= prior.high


@pytest.mark.parametrize(
    ("body", "drive", "mean", "sd", "count"),
    [("SUV", "front", 0.583, 0.021, 3), ("SUV", "rear", 0.527, 0.015, 7),
     ("SUV", "four-wheel", 0.547, 0.020, 8), ("car", "front", 0.610, 0.012, 19)],
)  # fmt: skip
def test_class_means_of_the_rows_are_those_published(body, drive, mean, sd, count) -> None:
    rows = [f for _, b, d, f in NCAP_2004 if (b, d) == (body, drive)]
    assert (len(rows), fmean(rows), stdev(rows)) == (
        count, pytest.approx(mean, abs=6e-4), pytest.approx(sd, abs=6e-4),
    )  # fmt: skip


@pytest.mark.parametrize("key", [k for k in FRONT_SHARES if k[0] == "SUV" and k[1] != "all-wheel"])
def test_classes_that_are_ncap_alone_match_their_rows(key) -> None:
    rows = [f for _, b, d, f in NCAP_2004 if (b, d) == (key[0].value, key[1].value)]
    figure = FRONT_SHARES[key]
    assert figure.count == len(rows)
    assert (figure.mean, figure.sd) == pytest.approx((fmean(rows), stdev(rows)), abs=6e-5)
    assert (figure.least, figure.most) == (min(rows), max(rows))


@pytest.mark.parametrize("figure", [*FRONT_SHARES.values(), REAR_ENGINE_CARS])
def test_the_band_is_two_sd_or_the_wider_prediction_interval(figure) -> None:
    if figure.count >= 10:
        assert figure.half_width == pytest.approx(2 * figure.sd)
        return
    t = stats.t.ppf(0.975, figure.count - 1)
    expected = t * figure.sd * (1 + 1 / figure.count) ** 0.5
    assert figure.half_width == pytest.approx(expected, rel=1e-3)
    assert figure.half_width > 2 * figure.sd


@pytest.mark.parametrize("figure", [*FRONT_SHARES.values(), *HEIGHT_RATIOS.values()])
def test_class_figures_hang_together(figure) -> None:
    assert figure.least < figure.mean < figure.most
    assert figure.sd < (figure.most - figure.least)
    assert 0.0 < figure.half_width < 0.15


def test_front_drive_car_front_share() -> None:
    assert share().mean == pytest.approx(0.615, abs=1e-3)
    assert share().half_width == pytest.approx(0.0386)
    assert "n 46" in share().source


@pytest.mark.parametrize(
    "fields",
    [{"drive": "rear engine"}, {"body": "van", "drive": "front"}, {"body": "other"},
     {"body": "van", "drive": "rear", "propulsion": "battery-electric"},
     {"body": "pickup", "drive": "all-wheel"}, {"body": "minivan", "drive": "four-wheel"}],
)  # fmt: skip
def test_no_data_no_prior(fields: dict[str, str]) -> None:
    assert front_share_prior(vehicle(**fields)) is None


def test_battery_electric_share_is_a_wide_band_of_the_shop() -> None:
    prior = share(propulsion="battery-electric")
    assert (prior.low, prior.high) == pytest.approx((0.42, 0.62))
    assert "shop policy" in prior.source


def test_an_unknown_driven_axle_widens_the_band_to_all_that_was_ever_measured() -> None:
    unknown = share(drive="not known")
    assert unknown.low < REAR_ENGINE_CARS.least and unknown.high > 0.6581
    assert "driven axle" in unknown.note


def test_unknown_propulsion_and_hybrids_are_wider_than_combustion() -> None:
    plain, hybrid = share(), share(propulsion="hybrid")
    unknown = share(propulsion="not known")
    assert hybrid.half_width == pytest.approx(plain.half_width + 0.036)
    assert unknown.low <= 0.42 and unknown.high >= plain.high


# CG height over roof height: the class means printed for model years 2001-2021.
@pytest.mark.parametrize(
    ("fields", "ratio", "sd"),
    [({"body": "car"}, 0.377, 0.009), ({"body": "SUV"}, 0.388, 0.009),
     ({"body": "pickup"}, 0.385, 0.009), ({"body": "minivan"}, 0.374, 0.009),
     ({"body": "van"}, 0.377, 0.011), ({"propulsion": "battery-electric"}, 0.338, 0.014)],
)  # fmt: skip
def test_height_prior_is_the_class_ratio_times_the_roof(fields, ratio: float, sd: float) -> None:
    prior = height_prior(vehicle(**fields))
    roof, tol = 1.480, 0.005
    assert prior is not None
    assert prior.mean == pytest.approx(ratio * roof, abs=6e-4 * roof)
    assert prior.half_width == pytest.approx(2 * sd * roof + ratio * tol, abs=6e-4 * roof)


def test_high_roof_van_has_its_own_ratio() -> None:
    changes = {"body": "van", "propulsion": "combustion", "sizes.height": "2500 mm"}
    high = height_prior(Vehicle.model_validate(changed("vehicles/harbour-hatch.toml", changes)))
    assert high is not None
    assert high.mean == pytest.approx(0.3497 * 2.5)


# Battery-electric rows of NCAP: CG height over roof height of the least and the greatest.
@pytest.mark.parametrize("ratio", [0.316, 0.349, 0.352, 0.364])
def test_measured_electric_cars_lie_in_their_band_and_below_the_engine_cars(ratio: float) -> None:
    electric = height_prior(vehicle(propulsion="battery-electric"))
    engine = height_prior(vehicle())
    assert electric is not None and engine is not None
    assert electric.low <= ratio * 1.480 <= electric.high
    assert ratio * 1.480 < engine.mean


def test_unknown_body_or_propulsion_joins_bands() -> None:
    other = height_prior(vehicle(body="other"))
    unknown = height_prior(vehicle(propulsion="not known"))
    assert other is not None and unknown is not None
    assert (other.low / 1.48, other.high / 1.48) == pytest.approx((0.316, 0.433), abs=2e-3)
    assert unknown.low <= (0.3382 - 2 * 0.0141) * 1.48 and unknown.high >= 0.395 * 1.48


def test_without_a_roof_height_there_is_no_height_prior() -> None:
    bare = changed("vehicles/harbour-hatch.toml", {"sizes.height": "not given"})
    assert height_prior(Vehicle.model_validate(bare)) is None


def test_side_prior_leans_to_the_driver_and_is_wider_when_nobody_knows() -> None:
    left, right = side_prior(vehicle(steering="left")), side_prior(vehicle(steering="right"))
    unknown = side_prior(vehicle(steering="not known"))
    assert (left.mean, right.mean, unknown.mean) == (0.010, -0.010, 0.0)
    assert unknown.low <= right.low and unknown.high >= left.high


# NCAP 2004, driver on board: 10 to 46 mm to the driver's side. The driver taken off (75 kg at
# 0.36 m, an assumption) leaves mean 11, sd 8.5 mm.
def test_side_prior_covers_the_rows_less_their_driver() -> None:
    left = side_prior(vehicle(steering="left"))
    assert left.low <= 0.011 - 2 * 0.0085 + 0.005 and left.high >= 0.011 + 2 * 0.0085 - 0.005
