"""The judge: records turned into numbers once, and one evaluator of a setting."""

from underset.setting.standing import (
    ANY_KIND,
    SHELF,
    PiecesOut,
    Standing,
    due_on,
    standing_on_file,
)

__all__ = [
    "ANY_KIND",
    "SHELF",
    "PiecesOut",
    "Standing",
    "due_on",
    "standing_on_file",
]
