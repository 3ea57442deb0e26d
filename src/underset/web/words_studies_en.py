"""Words of the coverage and day pages, English."""

from __future__ import annotations

from typing import Final

STUDIES_EN: Final[dict[str, str]] = {
    "coverage.title": "Coverage: which bay takes which vehicle",
    "coverage.vehicle": "Vehicle",
    "coverage.visits": "Visits a year",
    "coverage.card": "Card",
    "coverage.holds": "takes it",
    "coverage.watch": "takes it, watch",
    "coverage.none": "no",
    "coverage.incomplete": "not known",
    "coverage.limit": "search stopped",
    "coverage.margin": "least margin {margin}",
    "coverage.served": "{served} of {all} vehicles can be lifted here.",
    "coverage.share": "That is {share} of all visits.",
    "day.title": "Day board",
    "day.from": "From",
    "day.to": "To",
    "day.bay": "Bay",
    "day.job": "Job",
    "day.person": "Person",
    "day.pieces": "Pieces",
    "day.late": "Late",
    "day.refused": "Not on the board",
    "day.nothing": "No job is on the board.",
}  # fmt: skip
