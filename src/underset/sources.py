"""Where a figure comes from.

A record lists its sources by a short name; each figure may name one, otherwise the record's
`source` stands for all. `seen=False` marks what was written down from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class SourceKind(StrEnum):
    """Kinds of source, best first."""

    MAKER = "maker's document"
    PLATE = "plate"
    WEIGHED = "weighed here"
    MEASURED = "measured here"
    PUBLISHED = "published"
    ESTIMATE = "estimate"
    INVENTED = "invented"
    MEMORY = "memory"


@dataclass(frozen=True, slots=True)
class Citation:
    """A published fact: document, where in it, and whether it was seen."""

    document: str
    where: str = ""
    address: str = ""
    seen: bool = True

    def __str__(self) -> str:
        head = f"{self.document}, {self.where}" if self.where else self.document
        return head if self.seen else f"{head} (from memory, not seen)"


@dataclass(frozen=True, slots=True)
class Age:
    """How old a source is on a given day."""

    stated: date
    today: date

    @property
    def months(self) -> float:
        """Age in mean months of 30.4375 days."""
        return (self.today - self.stated).days / 30.4375


SHOP = Citation("shop policy")
PRACTICE = Citation("common practice, no source")
DGUV_208_015 = Citation(
    "DGUV Information 208-015 (10/2019)", "section 3", "arbeitssicherheit.de/schriften"
)
DGUV_208_015_SYNC = Citation(
    "DGUV Information 208-015 (10/2019)", "section 5", "arbeitssicherheit.de/schriften"
)
DGUV_208_040 = Citation("DGUV Information 208-040", "section 5.7", "arbeitssicherheit.de/schriften")
DGUV_109_008 = Citation("DGUV Regel 109-008", "4.18.2", "arbeitssicherheit.de/schriften")
PAD_SLIP = Citation(
    "Burlet-Vienney et al., Safety 2022, 8(3), 58", "abstract", "mdpi.com/2313-576X/8/3/58"
)
PUSH_TABLE = Citation(
    "CCOHS push and pull force table (after Eastman Kodak 1986)",
    "standing, whole body",
    "ccohs.ca/oshanswers/ergonomics/push1.html",
)
FRICTION_TABLE = Citation(
    "Engineering guide, friction Table 7.21; VDI 2700-15 practice pages",
    "steel/steel greased, anti-slip rubber",
)
EULER = Citation("Equal springs under a rigid body (Euler 1773)", "doi 10.4236/am.2015.63055")
STATICS = Citation("Equilibrium of a rigid body", "statics handbooks")
