"""Mass of a vehicle known by tape measure alone, from the volume of the box around it.

Mass over length x width x height: 113.8 kg/m3 (sd 14.0, n 205; UCI Automobile set of 1985 import
cars), 123.7 (sd 21.7, n 81; petrol cars of qatarcars 2025), 148.7 (sd 21.3, n 10; battery-electric
cars of the same set). Decision: the two combustion sets are joined to one wide band that holds
both means ± 2 sd of the older set; vans, pickups and minibuses have no open data of this kind, so
no prior.
"""

from __future__ import annotations

from typing import Final

from underset.records.prior import Prior
from underset.records.vehicle import Body, Vehicle
from underset.units import Quantity

_CARS: Final = ("UCI Automobile 1985 and qatarcars 2025, mass over box volume", 118.0, 40.0)
_ELECTRIC: Final = ("qatarcars 2025, battery-electric, mass over box volume", 149.0, 45.0)


def mass_prior(vehicle: Vehicle) -> Prior | None:
    """Mass, kg, with half width, or None where sizes or open data are missing."""
    s = vehicle.sizes
    box = (s.length, s.width, s.height)
    if vehicle.body not in (Body.CAR, Body.SUV):
        return None
    volume = 1.0
    for side in box:
        if not isinstance(side, Quantity):
            return None
        volume *= side.value
    source, mean, half = _ELECTRIC if vehicle.propulsion == "battery-electric" else _CARS
    return Prior(mean * volume, half * volume, source, "weigh the axles: nothing narrows it more")
