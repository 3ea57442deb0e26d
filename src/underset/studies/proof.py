"""How a study's solver ended, with the bound it proved; never mixed up with one another."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from importlib.util import find_spec

from underset.errors import InputError


class Proof(StrEnum):
    """OPTIMAL and INFEASIBLE are proved; FEASIBLE has an answer and a gap; LIMIT has neither."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    LIMIT = "limit"

    @property
    def has_answer(self) -> bool:
        """Whether an answer stands beside this word."""
        return self in (Proof.OPTIMAL, Proof.FEASIBLE)

    @property
    def proved(self) -> bool:
        """Whether the solver went all the way."""
        return self in (Proof.OPTIMAL, Proof.INFEASIBLE)


@dataclass(frozen=True, slots=True)
class Goal:
    """One aim of a study: what was reached and what no answer can beat.

    Value and bound are NaN where the solver has none. `gap` is the distance between the two as a
    part of the value's size (of 1 where the value is smaller than that).
    """

    name: str
    value: float
    bound: float

    @property
    def gap(self) -> float:
        """0 when proved; NaN when there is no value or no bound."""
        return abs(self.value - self.bound) / max(1.0, abs(self.value))


def require_extra(module: str, extra: str) -> None:
    """Raise InputError when an optional part of the installation is missing."""
    if find_spec(module) is None:
        raise InputError(
            "installation",
            f"no {module}",
            f'this study needs the extra "{extra}"',
            f"Install underset[{extra}].",
        )
