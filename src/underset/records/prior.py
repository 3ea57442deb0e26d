"""Centre of gravity where nobody has weighed: mean and spread by body class and drive.

Front axle share: NHTSA NCAP 2004 rollover measurements (front axle share from wheelbase and CG
distance), the NHTSA Light Vehicle Inertial Parameter Database (shares solved back from inertias)
and nine rows of the Canadian Vehicle Specifications 2011. CG height over roof height: NHTSA NCAP
rollover measurements, model years 2001-2021. US market, empty cargo space, a driver-sized load on
board of the NCAP rows; nothing over 3.6 t and no loaded van among them.

Band: mean ± 2 sd. Where fewer than ten vehicles were measured, the 95 % prediction interval for
one more vehicle, t(0.975, n-1) sd sqrt(1 + 1/n), stands in its place: it is wider, and it knows how
few they were (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, table of t).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

from underset.records.vehicle import Body, Drive, Vehicle
from underset.units import Quantity

_SHARE: Final = "NHTSA NCAP 2004, NHTSA inertial parameter database, CVS 2011"
_HEIGHT: Final = "NHTSA NCAP rollover measurements, model years 2001-2021"
_SIDE: Final = "NHTSA NCAP 2004, less an assumed driver of 75 kg"
_EMPTY: Final = "cargo space empty; weigh the axles to narrow it"

# Two-sided 95 % quantile of Student's t by degrees of freedom.
_T_975: Final = {1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 6: 2.447, 7: 2.365, 8: 2.306}
_FEW: Final = 10


@dataclass(frozen=True, slots=True)
class Prior:
    """A figure nobody measured here: mean, half width of its band (SI or ratio), where from."""

    mean: float
    half_width: float
    source: str
    note: str = ""

    @property
    def low(self) -> float:
        """Lower end of the band."""
        return self.mean - self.half_width

    @property
    def high(self) -> float:
        """Upper end of the band."""
        return self.mean + self.half_width


@dataclass(frozen=True, slots=True)
class ClassFigure:
    """One class of the open data: number of vehicles, mean, sd between them, least, greatest."""

    count: int
    mean: float
    sd: float
    least: float
    most: float

    @property
    def half_width(self) -> float:
        """2 sd, or the 95 % prediction interval for one more vehicle where n is below ten."""
        if self.count >= _FEW:
            return 2.0 * self.sd
        return _T_975[self.count - 1] * self.sd * sqrt(1.0 + 1.0 / self.count)


FRONT_SHARES: Final[dict[tuple[Body, Drive], ClassFigure]] = {
    (Body.CAR, Drive.FRONT): ClassFigure(46, 0.6148, 0.0193, 0.5784, 0.6581),
    (Body.CAR, Drive.REAR): ClassFigure(14, 0.5470, 0.0191, 0.5077, 0.5745),
    (Body.CAR, Drive.ALL): ClassFigure(4, 0.5676, 0.0206, 0.5469, 0.5900),
    (Body.SUV, Drive.FRONT): ClassFigure(3, 0.5826, 0.0213, 0.5580, 0.5955),
    (Body.SUV, Drive.ALL): ClassFigure(7, 0.5658, 0.0164, 0.5454, 0.5930),
    (Body.SUV, Drive.REAR): ClassFigure(7, 0.5271, 0.0148, 0.5069, 0.5520),
    (Body.SUV, Drive.FOUR): ClassFigure(8, 0.5465, 0.0200, 0.5211, 0.5854),
    (Body.PICKUP, Drive.REAR): ClassFigure(35, 0.5779, 0.0241, 0.5178, 0.6262),
    (Body.PICKUP, Drive.FOUR): ClassFigure(35, 0.5779, 0.0241, 0.5178, 0.6262),
    (Body.MINIVAN, Drive.FRONT): ClassFigure(10, 0.5884, 0.0156, 0.5672, 0.6224),
    (Body.VAN, Drive.REAR): ClassFigure(8, 0.5561, 0.0165, 0.5350, 0.5821),
}

# Two rear- or mid-engined cars of the open data: enough to know they are different, no more.
REAR_ENGINE_CARS: Final = ClassFigure(2, 0.4234, 0.0142, 0.4134, 0.4335)

HEIGHT_RATIOS: Final[dict[str, ClassFigure]] = {
    "battery-electric": ClassFigure(11, 0.3382, 0.0141, 0.3161, 0.3638),
    "car": ClassFigure(353, 0.3773, 0.0091, 0.3521, 0.4109),
    "minivan": ClassFigure(29, 0.3738, 0.0090, 0.3552, 0.3912),
    "pickup": ClassFigure(110, 0.3847, 0.0093, 0.3643, 0.4063),
    "SUV": ClassFigure(404, 0.3884, 0.0089, 0.3557, 0.4156),
    "high-roof van": ClassFigure(10, 0.3497, 0.0139, 0.3290, 0.3727),
    "van": ClassFigure(17, 0.3769, 0.0111, 0.3501, 0.3988),
}
HIGH_ROOF: Final = 2.3  # m, where the open data parts vans by roof height

# Decision: no open front share of a battery-electric vehicle was found, so the shop's own wide
# band stands there. A hybrid carries its battery somewhere no data tells: 100 kg over the rear
# axle of a 1.7 t car moves the share by 0.036, so its band is widened by that much.
_ELECTRIC_SHARE: Final = Prior(
    0.52, 0.10, "shop policy: no open data of battery-electric vehicles", _EMPTY
)
_HYBRID_MORE: Final = 0.036


def front_share_prior(vehicle: Vehicle) -> Prior | None:
    """Front axle load over total load, or None where no open data speaks for the class.

    None for rear-engined cars, front-drive vans and bodies of no class: weigh those.
    """
    engine = _engine_share(vehicle)
    if vehicle.propulsion == "combustion":
        return engine
    if vehicle.propulsion == "hybrid":
        return _wider(engine, _HYBRID_MORE, "hybrid: battery place not in the open data")
    if vehicle.body not in (Body.CAR, Body.SUV):
        return None
    if vehicle.propulsion == "battery-electric":
        return _ELECTRIC_SHARE
    return _joined(engine, _ELECTRIC_SHARE)


def height_prior(vehicle: Vehicle) -> Prior | None:
    """CG height above floor, m, from the roof height H; None where H is not given."""
    roof = vehicle.sizes.height
    if not isinstance(roof, Quantity):
        return None
    ratio = _height_ratio(vehicle, roof.value)
    half = ratio.half_width * roof.value + ratio.mean * roof.tol
    return Prior(ratio.mean * roof.value, half, ratio.source, ratio.note)


def side_prior(vehicle: Vehicle) -> Prior:
    """CG left of the middle, m, of a vehicle with nobody in it.

    10 mm toward the driver's place, sd 10 mm, from 52 NCAP rows with an assumed driver taken away;
    that a right-hand driver's place mirrors it is an assumption, no data.
    """
    if vehicle.steering == "not known":
        return Prior(0.0, 0.030, _SIDE, "driver's side not known")
    toward = 0.010 if vehicle.steering == "left" else -0.010
    return Prior(toward, 0.020, _SIDE, "nobody in the vehicle")


def _engine_share(vehicle: Vehicle) -> Prior | None:
    row = FRONT_SHARES.get((vehicle.body, vehicle.drive))
    if row is not None:
        return _from_class(row, _SHARE, f"{vehicle.body.value}, {vehicle.drive.value} drive")
    if vehicle.drive is not Drive.UNKNOWN:
        return None
    rows = [r for (body, _), r in FRONT_SHARES.items() if body is vehicle.body]
    if vehicle.body is Body.CAR:
        rows.append(REAR_ENGINE_CARS)
    return _spanned(rows) if rows else None


def _from_class(row: ClassFigure, source: str, which: str) -> Prior:
    return Prior(row.mean, row.half_width, f"{source}: {which}, n {row.count}", _EMPTY)


def _spanned(rows: list[ClassFigure]) -> Prior:
    # Decision: with the driven axle not known, everything the class ever showed, and one sd more.
    more = max(r.sd for r in rows)
    low, high = min(r.least for r in rows) - more, max(r.most for r in rows) + more
    note = "driven axle not known: asking for it narrows this most"
    return Prior((low + high) / 2, (high - low) / 2, _SHARE, note)


def _height_ratio(vehicle: Vehicle, roof: float) -> Prior:
    electric = _from_class(HEIGHT_RATIOS["battery-electric"], _HEIGHT, "battery-electric")
    engine = _engine_ratio(vehicle.body, roof)
    if vehicle.propulsion in ("combustion", "hybrid"):
        return engine
    if vehicle.propulsion == "battery-electric" and vehicle.body is Body.CAR:
        return electric
    return _joined(engine, electric) or engine


def _engine_ratio(body: Body, roof: float) -> Prior:
    name = "high-roof van" if body is Body.VAN and roof >= HIGH_ROOF else body.value
    row = HEIGHT_RATIOS.get(name)
    if row is not None:
        return _from_class(row, _HEIGHT, name)
    # 0.316 to 0.433 is the range of all 1,270 rows, model years 1971-2021.
    return Prior(
        0.3745, 0.0585, "NHTSA measurements 1971-2021, all classes", "body class not known"
    )


def _wider(prior: Prior | None, more: float, note: str) -> Prior | None:
    if prior is None:
        return None
    return Prior(prior.mean, prior.half_width + more, prior.source, f"{prior.note}; {note}")


def _joined(a: Prior | None, b: Prior | None) -> Prior | None:
    if a is None or b is None:
        return None
    low, high = min(a.low, b.low), max(a.high, b.high)
    note = "propulsion or class not settled: both bands joined"
    return Prior((low + high) / 2, (high - low) / 2, f"{a.source}; {b.source}", note)


__all__ = [
    "FRONT_SHARES",
    "HEIGHT_RATIOS",
    "HIGH_ROOF",
    "REAR_ENGINE_CARS",
    "ClassFigure",
    "Prior",
    "front_share_prior",
    "height_prior",
    "side_prior",
]
