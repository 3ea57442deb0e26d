"""Figures from which synthetic vehicles are drawn, with where they come from.

Sizes: AllCarsDB body table (CC BY-SA 4.0, credit "AllCarsDB contributors"), body rows last sold in
2005 or later, by body style, unweighted by sales; means, spreads and straight lines on the
wheelbase computed from its rows. Masses of vehicles with an engine: NHTSA NCAP rollover
measurements, model years 2005-2021, line on track times roof height, less 66 kg for the
driver-sized load on board (mean difference to Canadian kerb masses of five models in both sets).
Battery-electric cars: emobpy 0.6.2 vehicle table (MIT), line on length times width. Front axle
share and CG height over roof height: class means of the same NHTSA measurements, the inertial
parameter database and the 2011 Canadian Vehicle Specifications sample. Front overhang over both
overhangs: nine rows of that sample.

No open data were found for lifting points, underbody, droop, tyres or the mix of a shop. Those
figures are invented, chosen to be plausible, and marked "assumed" below. Nothing here is a limit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from underset.records.vehicle import Body, Contact, Drive


@dataclass(frozen=True, slots=True)
class Spread:
    """Mean and standard deviation, cut off at low and high."""

    mean: float
    sd: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Line:
    """a + b x, with the standard deviation about it, cut off at low and high."""

    a: float
    b: float
    sd: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class FleetClass:
    """One class of vehicle. Lengths in mm, masses in kg, lines on the wheelbase in mm.

    `mass` is a line on track times height in m2, or on length times width where `mass_on_plan`.
    `contacts` are shares of contact kinds, `points_side` the distance of the points from the body
    side (pinch welds, bosses, pegs) or from the middle (frame rails).
    """

    name: str
    share: float
    body: Body
    drive: Drive
    frame: bool
    battery: bool
    wheelbase: Spread
    length: Line
    width: Line
    height: Line
    track_share: Spread
    track_step: Spread
    mass: Line
    mass_on_plan: bool
    front_share: Spread
    cg_share: Spread
    contacts: tuple[tuple[Contact, float], ...]
    tyre_width: tuple[float, float]
    tyre_diameter: tuple[float, float]
    points_up: tuple[float, float]


DRIVER: Final = 66.0  # kg
HATCH_LENGTH = Line(-1709, 2.284, 112, 3550, 5170)
HATCH_WIDTH = Line(627.5, 0.433, 48, 1590, 1930)
HATCH_HEIGHT = Line(1688, -0.0747, 78, 1310, 1700)
SEDAN_LENGTH = Line(993, 1.362, 108, 4150, 5480)
SEDAN_WIDTH = Line(998, 0.2953, 43, 1640, 2080)
SEDAN_HEIGHT = Line(1259, 0.0719, 39, 1360, 1640)
SUV_LENGTH = Line(569, 1.469, 112, 4040, 5270)
SUV_WIDTH = Line(631, 0.4491, 43, 1720, 2100)
SUV_HEIGHT = Line(1369, 0.1017, 43, 1500, 1720)
TALL_LENGTH = Line(175, 1.633, 149, 3880, 5770)
TALL_WIDTH = Line(1123, 0.2832, 63, 1770, 2150)
TALL_HEIGHT = Line(1150, 0.2334, 70, 1720, 2080)
CAR_CG = Spread(0.3773, 0.0091, 0.352, 0.411)
SUV_CG = Spread(0.3884, 0.0089, 0.356, 0.416)
ELECTRIC_CG = Spread(0.3382, 0.0141, 0.317, 0.364)
SEDAN_MASS = Line(-1254 - DRIVER, 1260, 180, 880, 2200)
SUV_MASS = Line(-1627 - DRIVER, 1290, 160, 1150, 2750)
# assumed: contact kinds, tyres, heights of points
SILL = ((Contact.PINCH, 0.78), (Contact.BOSS, 0.18), (Contact.PEG, 0.04))
MIXED = ((Contact.PINCH, 0.5), (Contact.BOSS, 0.45), (Contact.PEG, 0.05))
RAIL = ((Contact.RAIL, 0.9), (Contact.BOSS, 0.1))
LOW_TYRE, LOW_WHEEL = (175.0, 245.0), (580.0, 680.0)
TALL_TYRE, TALL_WHEEL = (215.0, 285.0), (680.0, 800.0)
VAN_TYRE, VAN_WHEEL = (205.0, 245.0), (660.0, 740.0)
LOW_SILL, TALL_SILL, FRAME_UP = (165.0, 240.0), (210.0, 320.0), (380.0, 520.0)

CLASSES: Final = (
    FleetClass(
        "hatch, front drive", 0.20, Body.CAR, Drive.FRONT, False, False,
        Spread(2614, 154, 2300, 3070), HATCH_LENGTH, HATCH_WIDTH, HATCH_HEIGHT,
        Spread(0.8615, 0.0157, 0.80, 0.893), Spread(-6, 20, -60, 30),
        Line(-879 - DRIVER, 1002, 146, 850, 1800), False,
        Spread(0.6148, 0.0193, 0.578, 0.658), CAR_CG, SILL, LOW_TYRE, LOW_WHEEL, LOW_SILL,
    ),
    FleetClass(
        "saloon, front drive", 0.14, Body.CAR, Drive.FRONT, False, False,
        Spread(2820, 189, 2370, 3210), SEDAN_LENGTH, SEDAN_WIDTH, SEDAN_HEIGHT,
        Spread(0.8554, 0.0169, 0.809, 0.893), Spread(0.5, 17, -70, 50), SEDAN_MASS, False,
        Spread(0.6148, 0.0193, 0.578, 0.658), CAR_CG, SILL, LOW_TYRE, LOW_WHEEL, LOW_SILL,
    ),
    FleetClass(
        "saloon, rear drive", 0.05, Body.CAR, Drive.REAR, False, False,
        Spread(2820, 189, 2370, 3210), SEDAN_LENGTH, SEDAN_WIDTH, SEDAN_HEIGHT,
        Spread(0.8554, 0.0169, 0.809, 0.893), Spread(0.5, 17, -70, 50), SEDAN_MASS, False,
        Spread(0.547, 0.0191, 0.508, 0.575), CAR_CG, SILL, LOW_TYRE, LOW_WHEEL, LOW_SILL,
    ),
    FleetClass(
        "estate, all-wheel drive", 0.05, Body.CAR, Drive.ALL, False, False,
        Spread(2746, 129, 2480, 3050), Line(1167, 1.286, 121, 4230, 5050),
        Line(726.5, 0.3931, 32, 1690, 1940), Line(1690, -0.0715, 57, 1390, 1640),
        Spread(0.8555, 0.0117, 0.824, 0.892), Spread(0.6, 19, -60, 60),
        Line(-69 - DRIVER, 721, 149, 1100, 1950), False,
        Spread(0.5676, 0.0206, 0.527, 0.608), CAR_CG, SILL, LOW_TYRE, LOW_WHEEL, LOW_SILL,
    ),
    FleetClass(
        "SUV, front drive", 0.12, Body.SUV, Drive.FRONT, False, False,
        Spread(2760, 134, 2490, 3220), SUV_LENGTH, SUV_WIDTH, SUV_HEIGHT,
        Spread(0.8546, 0.0165, 0.80, 0.893), Spread(3.7, 17, -50, 70), SUV_MASS, False,
        Spread(0.5826, 0.0213, 0.54, 0.625), SUV_CG, MIXED, TALL_TYRE, TALL_WHEEL, TALL_SILL,
    ),
    FleetClass(
        "SUV, all-wheel drive", 0.12, Body.SUV, Drive.ALL, False, False,
        Spread(2948, 211, 2420, 3460), TALL_LENGTH, TALL_WIDTH, TALL_HEIGHT,
        Spread(0.8483, 0.0157, 0.80, 0.893), Spread(-2, 13, -40, 40), SUV_MASS, False,
        Spread(0.5658, 0.0164, 0.545, 0.593), SUV_CG, MIXED, TALL_TYRE, TALL_WHEEL, TALL_SILL,
    ),
    FleetClass(
        "SUV on a frame, four-wheel drive", 0.05, Body.SUV, Drive.FOUR, True, False,
        Spread(2948, 211, 2420, 3460), TALL_LENGTH, TALL_WIDTH, TALL_HEIGHT,
        Spread(0.8483, 0.0157, 0.80, 0.893), Spread(-2, 13, -40, 40), SUV_MASS, False,
        Spread(0.5465, 0.02, 0.521, 0.585), SUV_CG, RAIL, TALL_TYRE, TALL_WHEEL, FRAME_UP,
    ),
    FleetClass(
        "pickup, four-wheel drive", 0.08, Body.PICKUP, Drive.FOUR, True, False,
        Spread(3688, 380, 2650, 4450), Line(1737, 1.112, 83, 4760, 6760),
        Line(1625, 0.1024, 66, 1700, 2190), Line(1355, 0.1517, 79, 1560, 2080),
        Spread(0.8524, 0.0203, 0.79, 0.893), Spread(-10, 34, -80, 140),
        Line(-1466 - DRIVER, 1238, 225, 1450, 3450), False,
        Spread(0.5779, 0.0241, 0.518, 0.626), Spread(0.3847, 0.0093, 0.364, 0.406), RAIL,
        (235.0, 285.0), (740.0, 840.0), FRAME_UP,
    ),
    FleetClass(
        "people carrier, front drive", 0.05, Body.MINIVAN, Drive.FRONT, False, False,
        Spread(3024, 91, 2750, 3100), Line(670.5, 1.458, 101, 4590, 5220),
        Line(631, 0.4324, 67, 1750, 2020), Line(710, 0.3475, 38, 1620, 1830),
        Spread(0.8582, 0.0133, 0.834, 0.88), Spread(0.7, 11, -20, 20),
        Line(-308 - DRIVER, 818, 109, 1700, 2350), False,
        Spread(0.5884, 0.0156, 0.567, 0.622), Spread(0.3738, 0.009, 0.355, 0.391), SILL,
        VAN_TYRE, LOW_WHEEL, LOW_SILL,
    ),
    FleetClass(
        "van, rear drive", 0.06, Body.VAN, Drive.REAR, False, False,
        Spread(3391, 290, 2820, 3940), Line(806, 1.376, 188, 4730, 6200),
        Line(1567, 0.1271, 58, 1730, 2050), Line(1440, 0.1875, 113, 1860, 2250),
        Spread(0.8678, 0.0173, 0.825, 0.887), Spread(-29, 36, -90, 20),
        Line(1111 - DRIVER, 425, 269, 1600, 3200), False,
        Spread(0.5561, 0.0165, 0.535, 0.582), Spread(0.3769, 0.0111, 0.35, 0.393), MIXED,
        VAN_TYRE, VAN_WHEEL, TALL_SILL,
    ),
    FleetClass(  # front share: no data for high roofs, that of standard vans with twice its spread
        "van with high roof, rear drive", 0.04, Body.VAN, Drive.REAR, False, False,
        Spread(3819, 295, 3450, 4040), Line(1152, 1.236, 144, 5410, 6360),
        Line(2045, 0.0, 5, 2040, 2050), Line(2520, 0.0, 60, 2400, 2800),
        Spread(0.8851, 0.0022, 0.88, 0.889), Spread(-20, 5, -40, 0),
        Line(1111 - DRIVER, 425, 269, 1900, 3200), False,
        Spread(0.5561, 0.033, 0.49, 0.62), Spread(0.3497, 0.0139, 0.329, 0.37), MIXED,
        VAN_TYRE, VAN_WHEEL, TALL_SILL,
    ),
    FleetClass(  # front share of battery cars: no open data found; assumed near the middle
        "battery car, front drive", 0.03, Body.CAR, Drive.FRONT, False, True,
        Spread(2614, 154, 2300, 3070), HATCH_LENGTH, HATCH_WIDTH, HATCH_HEIGHT,
        Spread(0.8615, 0.0157, 0.80, 0.893), Spread(-6, 20, -60, 30),
        Line(-680, 287, 117, 1150, 2300), True,
        Spread(0.50, 0.03, 0.44, 0.58), ELECTRIC_CG, MIXED, LOW_TYRE, LOW_WHEEL, LOW_SILL,
    ),
    FleetClass(
        "battery SUV, all-wheel drive", 0.01, Body.SUV, Drive.ALL, False, True,
        Spread(2760, 134, 2490, 3220), SUV_LENGTH, SUV_WIDTH, SUV_HEIGHT,
        Spread(0.8546, 0.0165, 0.80, 0.893), Spread(3.7, 17, -50, 70),
        Line(-1020, 348, 142, 1400, 2700), True,
        Spread(0.49, 0.03, 0.43, 0.56), ELECTRIC_CG, MIXED, TALL_TYRE, TALL_WHEEL, TALL_SILL,
    ),
)  # fmt: skip

PACK_SHARE: Final = Spread(0.232, 0.055, 0.147, 0.36)  # traction battery over kerb mass, emobpy
FRONT_OVERHANG: Final = Spread(0.488, 0.011, 0.46, 0.52)  # of both overhangs, nine rows
CG_SIDE: Final = Spread(10.0, 10.0, -20.0, 40.0)  # mm to the left, NHTSA 2004 less a driver
