"""The sample workshop as plain data, ways to change it in one place, and strategies for records."""

from __future__ import annotations

import copy
import functools
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from underset.records import Adapter, Bay, Job, Record, Vehicle, Workshop, read_workshop
from underset.units import UNITS

ROOT = Path(__file__).parents[1]
QUAYSIDE = ROOT / "examples" / "quayside"
FOLDERS: dict[str, type[Record]] = {
    "vehicles": Vehicle,
    "bays": Bay,
    "adapters": Adapter,
    "jobs": Job,
}


@functools.cache
def quayside() -> Workshop:
    """The sample workshop, read once for all tests."""
    return read_workshop(QUAYSIDE)


@functools.cache
def _data(place: str) -> dict[str, Any]:
    return tomllib.loads((QUAYSIDE / place).read_text("utf-8"))


def data(place: str) -> dict[str, Any]:
    """A fresh copy of the plain data in one sample file."""
    return copy.deepcopy(_data(place))


def sample_files() -> list[str]:
    """Every record file of the sample, such as `vehicles/harbour-hatch.toml`."""
    found = [p for folder in FOLDERS for p in (QUAYSIDE / folder).glob("*.toml")]
    return sorted(p.relative_to(QUAYSIDE).as_posix() for p in found)


def model_of(place: str) -> type[Record]:
    """The kind of record that a sample file holds."""
    return FOLDERS[place.split("/", maxsplit=1)[0]]


Path_ = tuple[str | int, ...]


def leaves(item: Any, path: Path_ = ()) -> Iterator[tuple[Path_, Any]]:
    """Every value that is no table and no list, with the way to it."""
    if isinstance(item, dict):
        for key, value in item.items():
            yield from leaves(value, (*path, key))
    elif isinstance(item, list):
        for i, value in enumerate(item):
            yield from leaves(value, (*path, i))
    else:
        yield path, item


def put(item: Any, path: Path_, value: Any) -> None:
    """Write one value into plain data at the end of a path."""
    for step in path[:-1]:
        item = item[step]
    item[path[-1]] = value


def changed(place: str, changes: dict[str, Any]) -> dict[str, Any]:
    """Sample data with values at dotted paths changed: {"sizes.length": "4.2 m"}."""
    fresh = data(place)
    for dotted, value in changes.items():
        put(fresh, tuple(int(x) if x.isdigit() else x for x in dotted.split(".")), value)
    return fresh


_UNIT = "|".join(re.escape(u) for u in sorted(UNITS, key=len, reverse=True))
QUANTITY = re.compile(rf"[-+]?\d+(\.\d+)?( ± \d+(\.\d+)?)? ({_UNIT})")


def is_quantity(value: Any) -> bool:
    """Whether a leaf of the sample is a figure with its unit."""
    return isinstance(value, str) and QUANTITY.fullmatch(value) is not None


# --- strategies -----------------------------------------------------------------------------------


def numbers(low: float, high: float) -> st.SearchStrategy[str]:
    """Decimal figures as people write them."""
    return st.integers(int(100 * low), int(100 * high)).map(lambda n: f"{n / 100:.7g}")


@st.composite
def quantities(draw: st.DrawFn, unit: str, low: float, high: float) -> Any:
    """A figure in a unit, perhaps with a tolerance, perhaps with a source."""
    text = draw(numbers(low, high))
    if draw(st.booleans()):
        text += draw(st.sampled_from((" ± ", "±", " +/- "))) + draw(numbers(0.0, 0.1 * high))
    text += draw(st.sampled_from((" ", ""))) + unit
    return {"value": text, "source": "tape"} if draw(st.booleans()) else text


def lengths(low: float = 1.0, high: float = 900.0) -> st.SearchStrategy[Any]:
    """Lengths in any unit, between these bounds of that unit."""
    return st.sampled_from(("mm", "cm", "in", "m")).flatmap(
        lambda u: (
            quantities(u, max(low, -99.0), min(high, 99.0))
            if u == "m"
            else quantities(u, low, high)
        )
    )


def maybe(figures: st.SearchStrategy[Any], *, none: bool = False) -> st.SearchStrategy[Any]:
    """A figure, or nobody said, or (where it may be) known not to be there."""
    words = ["not given", "not given: ask at the counter"] + ["none"] * none
    return figures | st.sampled_from(words)


TEXTS = st.text(
    st.characters(exclude_categories=("Cs",)), min_size=1, max_size=40
)  # any sign but halves of surrogate pairs, which UTF-8 cannot hold
NAMES = st.from_regex(r"[a-z0-9][a-z0-9-]{0,20}", fullmatch=True)

SOURCES = st.fixed_dictionaries(
    {"kind": st.sampled_from(("plate", "weighed here", "memory")), "document": TEXTS},
    optional={"by": TEXTS, "date": st.dates(), "edition": TEXTS, "seen": st.booleans()},
).map(lambda s: {"tape": s})


def adapters() -> st.SearchStrategy[dict[str, Any]]:
    """Plain data of heads with every optional field at will."""
    lot = st.fixed_dictionaries(
        {"count": st.integers(0, 1000)},
        optional={"where": TEXTS, "in_service": st.booleans(), "inspected": st.dates()},
    )
    return st.fixed_dictionaries(
        {
            "label": TEXTS,
            "role": st.just("head"),
            "below": st.just("pin-60"),
            "height": lengths(),
            "rating": quantities("kg", 1.0, 5000.0),
            "maker_rated": st.booleans(),
            "sources": SOURCES,
        },
        optional={
            "above": st.just("pad-120"),
            "travel": maybe(lengths()),
            "thread": maybe(lengths()),
            "width": maybe(lengths()),
            "contacts": st.lists(st.sampled_from(("flat boss", "peg hole")), max_size=3),
            "lots": st.lists(lot, max_size=3),
            "price": st.floats(0, 1e6, allow_nan=False),
            "interval_months": st.integers(1, 120),
            "notes": TEXTS,
            "source": st.just("tape"),
        },
    )


def vehicles() -> st.SearchStrategy[dict[str, Any]]:
    """Plain data of vehicles: points, zones, doors and weights at will, with not given and none."""
    place, signed = lengths(), lengths(-900.0, 900.0)
    # Three corners never cross each other; outlines that do are refused, which has its own test.
    outline = st.lists(st.tuples(signed, signed).map(list), min_size=3, max_size=3)
    zone = st.fixed_dictionaries(
        {"id": NAMES, "kind": st.sampled_from(("skirt", "battery")), "outline": outline,
         "underside": place},
        optional={"touch": st.booleans(), "high_voltage": st.booleans()},
    )  # fmt: skip
    point = st.fixed_dictionaries(
        {"aft": signed, "side": signed, "up": place, "contact": st.just("pinch weld"),
         "along": place, "across": place},
        optional={"flange_depth": maybe(place), "limit": maybe(quantities("kN", 1.0, 40.0))},
    )  # fmt: skip
    points = st.tuples(point, point, point, point).map(
        lambda four: [
            {"corner": c, **p} for c, p in zip(("RR", "LF", "LR", "RF"), four, strict=True)
        ]
    )
    point_sets = st.fixed_dictionaries({"id": st.just("set"), "label": TEXTS, "points": points})
    sizes = st.fixed_dictionaries(
        {"wheelbase": place}, optional={"height": maybe(place), "sill_height": maybe(place)}
    )
    weights = st.fixed_dictionaries(
        {"state": TEXTS},
        optional={
            "front": maybe(quantities("lb", 1, 9000)),
            "front_share": maybe(quantities("%", 1, 99)),
        },
    )  # fmt: skip
    return st.fixed_dictionaries(
        {"label": TEXTS, "sizes": sizes, "weights": weights, "sources": SOURCES,
         "point_sets": point_sets.map(lambda p: [p])},
        optional={
            "zones": st.lists(zone, max_size=2, unique_by=lambda z: z["id"]),
            "doors": st.just([]),
            "roof_load_height": maybe(place, none=True),
            "body_twist_low": maybe(quantities("kN m/deg", 1.0, 50.0)),
            "drive": st.sampled_from(("front", "not known")),
            "invented": st.booleans(),
        },
    )  # fmt: skip
