"""Words of the pages, English. Each page module adds its own below its heading."""

from __future__ import annotations

from typing import Final

WORDS_EN: Final[dict[str, str]] = {
    # frame
    "product": "Underset",
    "today": "Today",
    "vehicles": "Vehicles",
    "jobs": "Jobs",
    "lifts": "Lifts",
    "shelf": "Shelf",
    "people": "People",
    "book": "Book",
    "coverage": "Coverage",
    "day": "Day board",
    "settings": "Settings",
    "menu": "Menu",
    "skip": "Skip to content",
    "invented": "Invented sample data: not for use",
    "advice": "This tool advises. The vehicle maker's service information, the lift maker's instructions, local law and a qualified inspector decide. No verdict is a permission.",
    "signed_in": "Signed in:",
    "nobody": "nobody named",
    "refused": "Not done",
    "back": "Back to today",
    "received": "Received",
    "allowed": "Allowed",
    "remedy": "What to do",
    # today
    "today.plan": "Plan a lift",
    "today.vehicle": "Vehicle",
    "today.job": "Job",
    "today.no_job": "lift only",
    "today.bays": "Bays",
    "today.in_service": "in service",
    "today.out": "out of service",
    "today.defect": "defect reported",
    "today.examined": "examined",
    "today.not_on_file": "not on file",
    "today.rated": "rated",
    "today.go": "Show the bays",
}  # fmt: skip
