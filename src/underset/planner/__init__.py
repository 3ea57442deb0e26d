"""The planner: every candidate of a bay judged and ranked, refusals counted, remedies re-judged."""

from underset.planner.candidates import Approach, setting_at, spot_windows_of
from underset.planner.missing import missing
from underset.planner.remedies import remedies
from underset.planner.search import Found, Limits, rank_key, search
from underset.planner.stacks import stack_choices
from underset.planner.verify import verified

__all__ = [
    "Approach",
    "Found",
    "Limits",
    "missing",
    "rank_key",
    "remedies",
    "search",
    "setting_at",
    "spot_windows_of",
    "stack_choices",
    "verified",
]
