"""The planner: every candidate of a bay judged and ranked, refusals counted, remedies re-judged."""

from underset.planner.candidates import Approach, setting_at, spot_windows_of
from underset.planner.changes import Voice
from underset.planner.missing import missing
from underset.planner.parked import AsParked, Move, as_parked
from underset.planner.remedies import Asking, propose, remedies
from underset.planner.search import Found, Limits, rank_key, search
from underset.planner.stacks import StackChoice, stack_choices, stacks_for
from underset.planner.tape import MeasuredStop, TapeReading, named_places, stop_from_tape
from underset.planner.telling import Telling, most_telling
from underset.planner.verify import proved

__all__ = [
    "Approach",
    "AsParked",
    "Asking",
    "Found",
    "Limits",
    "MeasuredStop",
    "Move",
    "StackChoice",
    "TapeReading",
    "Telling",
    "Voice",
    "as_parked",
    "missing",
    "most_telling",
    "named_places",
    "propose",
    "proved",
    "rank_key",
    "remedies",
    "search",
    "setting_at",
    "spot_windows_of",
    "stack_choices",
    "stacks_for",
    "stop_from_tape",
]
