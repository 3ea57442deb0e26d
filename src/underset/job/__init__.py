"""The job as a run of states, its hold points, and support stands."""

from underset.job.holdpoints import arm_orders, hold_points
from underset.job.stands import StandAdvice, judged_with_stand, stand_advice, with_stand
from underset.job.states import first_state, states_of

__all__ = [
    "StandAdvice",
    "arm_orders",
    "first_state",
    "hold_points",
    "judged_with_stand",
    "stand_advice",
    "states_of",
    "with_stand",
]
