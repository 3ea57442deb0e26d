"""How a check is put together from a demand and its limits."""

from __future__ import annotations

from functools import cache
from math import isfinite

from underset.errors import InternalError
from underset.setting.catalogue import CHECKS
from underset.setting.result import Check, Status

Inputs = tuple[tuple[str, float | str, str], ...]
Figures = tuple[float | None, float | None, float | None, float | None, float | None]
EPSILON = 1e-9
SLACK = 1e-6  # m or rad: what rounding may move without meaning anything
MONTH = 30.4375 * 86400.0  # s
_NO_FIGURES: Figures = (None, None, None, None, None)


def at_most(
    name: str,
    demand: float,
    limit: float,
    *,
    watch: float | None = None,
    nominal: float | None = None,
    where: str = "",
    note: tuple[str, ...] = (),
    inputs: Inputs = (),
    sources: tuple[str, ...] = (),
) -> Check:
    """Holds up to `watch` (or the limit), wants watching up to `limit`, stops beyond."""
    if watch is not None and demand > watch + EPSILON and demand <= limit + EPSILON:
        status = Status.WATCH
    else:
        status = Status.HOLDS if demand <= limit + EPSILON else Status.STOPS
    slack = 1.0 - demand / limit if limit > 0.0 else -demand
    figures = (demand, limit, limit - demand, slack, nominal)
    return _made(name, status, figures, where, note, inputs, sources)


def at_least(
    name: str,
    demand: float,
    limit: float,
    *,
    watch: float | None = None,
    nominal: float | None = None,
    where: str = "",
    note: tuple[str, ...] = (),
    inputs: Inputs = (),
    sources: tuple[str, ...] = (),
) -> Check:
    """Holds from `watch` (or the limit) up, wants watching from `limit` up, stops below."""
    if watch is not None and demand < watch - EPSILON and demand >= limit - EPSILON:
        status = Status.WATCH
    else:
        status = Status.HOLDS if demand >= limit - EPSILON else Status.STOPS
    figures = (demand, limit, demand - limit, _slack_above(demand, limit), nominal)
    return _made(name, status, figures, where, note, inputs, sources)


def _slack_above(demand: float, limit: float) -> float | None:
    # A limit of zero has no scale to be measured against: such a check ranks only when it stops.
    if limit > 0.0:
        return max(-10.0, 1.0 - limit / demand) if demand > 0.0 else -10.0
    return None if demand >= 0.0 else demand


def yes(
    name: str,
    ok: bool,
    *,
    otherwise: Status = Status.STOPS,
    where: str = "",
    note: tuple[str, ...] = (),
    inputs: Inputs = (),
    sources: tuple[str, ...] = (),
) -> Check:
    """A plain question: holds, or `otherwise`."""
    status = Status.HOLDS if ok else otherwise
    return _made(name, status, _NO_FIGURES, where, note, inputs, sources)


def not_known(
    name: str,
    *note: str,
    where: str = "",
    inputs: Inputs = (),
    sources: tuple[str, ...] = (),
) -> Check:
    """A figure or an answer is missing: never holds."""
    return _made(name, Status.NOT_KNOWN, _NO_FIGURES, where, note, inputs, sources)


def at_best(check: Check, *missing: str) -> Check:
    """A check worked out with the kindest value of a figure that is not given.

    What stops even so stops; what held or wanted watching is not known, with the note `missing`.
    Without a note nothing is missing and the check stands as it is.
    """
    if not missing or check.status in (Status.STOPS, Status.NOT_KNOWN):
        return check
    return not_known(check.name, *missing, where=check.where, inputs=check.inputs)


def _made(
    name: str,
    status: Status,
    figures: Figures,
    where: str,
    note: tuple[str, ...],
    inputs: Inputs,
    sources: tuple[str, ...],
) -> Check:
    demand, limit, margin, slack, nominal = figures
    for figure in (demand, limit, margin):
        if figure is not None and not isfinite(figure):
            raise InternalError(f"check {name}: figure {figure} is not finite; result withheld")
    unit, ranked, cited = _about(name)
    return Check(
        name, status, demand, limit, margin, slack if ranked else None, unit, nominal, "", where,
        note, inputs, sources or cited,
    )  # fmt: skip


# Decision: settings are ranked by what the setting can change, not by papers or the room's size.
_RANKED = ("placing", "load", "stability", "clearance")
_UNRANKED = ("width", "door", "clear_space", "drive_through", "carriage_level", "rated_load")


@cache
def _about(name: str) -> tuple[str, bool, tuple[str, ...]]:
    """Unit of a check, whether it ranks settings, and what it cites."""
    kind = CHECKS[name]
    ranked = kind.group in _RANKED and name not in _UNRANKED
    return kind.unit, ranked, tuple(str(s) for s in kind.sources)
