"""Measured mass properties of vehicles: axle loads, CG and static stability.

United States National Highway Traffic Safety Administration, New Car Assessment Program 2004,
rollover static measurements: wheelbase, tracks, test weight, CG behind the front axle, left of the
middle, and height; a driver-sized load is on board. Read in a hand copy of the agency's tables
(github kktse/stunning-octo-doodle-ncap, commit 6cf0479, 2004_ncap_ssf.csv). Inches and pounds; six
rows of unlike vehicles. The source counts the side from left (-) to right, ours is left positive.
Static stability factor SSF = mean track / (2 CG height), as in the agency's notice
(nhtsa.dot.gov/cars/rules/rulings/Rollover/Chapt05.html).
"""

from __future__ import annotations

from math import tan

import pytest

from tests.reference.claims import READ, claim
from underset.statics import even_loads, from_corners, front_share, hull, lean_to_tip

SOURCE = "NHTSA NCAP 2004 rollover measurements"
ROWS = [
    (
        "2003 Toyota Tacoma XCab SR5 4WD",
        (59.3, 59.0),
        122.6,
        3833.9,
        (50.5, 1.3, 26.33),
        1.123,
        0.5881,
    ),
    ("2003 Toyota 4Runner SR5 RWD", (62.2, 62.2), 109.0, 4162.1, (52.7, 1.7, 27.05), 1.15, 0.5165),
    ("2003 Ford Focus FWD", (58.3, 58.2), 102.9, 2914.8, (42.8, 0.8, 22.48), 1.295, 0.5841),
    ("2003 Subaru Outback AWD", (58.2, 58.0), 104.4, 3651.0, (47.3, 0.9, 22.97), 1.264, 0.5469),
    ("2003 Toyota Echo FWD", (56.9, 55.7), 93.3, 2359.9, (37.0, 1.1, 21.94), 1.282, 0.6034),
    ("2004 Ford Freestar FWD", (64.6, 62.9), 121.3, 4416.0, (48.9, 0.7, 24.94), 1.278, 0.5969),
]


@pytest.mark.parametrize(("name", "tracks", "wheelbase", "weight", "cg", "ssf", "share"), ROWS)
def test_measured_vehicle(
    name: str,
    tracks: tuple[float, float],
    wheelbase: float,
    weight: float,
    cg: tuple[float, float, float],
    ssf: float,
    share: float,
) -> None:
    aft, left, height = cg
    wheels = (
        (0.0, tracks[0] / 2.0),
        (0.0, -tracks[0] / 2.0),
        (-wheelbase, tracks[1] / 2.0),
        (-wheelbase, -tracks[1] / 2.0),
    )
    loads = even_loads(wheels, weight, (-aft, left))
    claim(
        f"ncap2004-share-{name}",
        f"{name}: front share from the measured CG {aft} in behind the front axle",
        source=SOURCE,
        where="row of the table",
        seen=READ,
        printed=share,
        ours=front_share(loads),
        tolerance=0.0006,
        reason="CG and wheelbase printed to 0.1 in",
    )
    back = from_corners(loads, tracks, wheelbase)
    assert back.side is not None
    claim(
        f"ncap2004-back-{name}",
        f"{name}: weight in lb, CG behind the front axle and left of the middle in in, from its "
        "wheel loads",
        source=SOURCE,
        where="row of the table",
        seen=READ,
        printed=(weight, aft, left),
        ours=(back.mass.value, back.aft.value, back.side.value),
        tolerance=1e-9,
        reason="round trip",
    )
    mean = sum(tracks) / 2.0
    square = hull([(x, mean / 2.0 if y > 0.0 else -mean / 2.0) for x, y in wheels])
    claim(
        f"ncap2004-ssf-{name}",
        f"{name}: static stability factor as tan of the lean to tip, CG in the middle",
        source=SOURCE,
        where="row of the table",
        seen=READ,
        printed=ssf,
        ours=tan(lean_to_tip(square, (-aft, 0.0), height)),
        tolerance=0.002,
        reason="track printed to 0.1 in, SSF to 0.001",
    )
