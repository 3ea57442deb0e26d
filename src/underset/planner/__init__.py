"""The planner: every candidate of a bay judged and ranked, refusals counted, remedies re-judged."""

from underset.planner.search import Found, Limits, search

__all__ = ["Found", "Limits", "search"]
