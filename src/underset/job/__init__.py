"""The job as a run of states, its hold points, and support stands."""

from underset.job.holdpoints import arm_orders, hold_points
from underset.job.stands import StandAdvice, stand_advice, with_stand
from underset.job.states import states_of

__all__ = [
    "StandAdvice",
    "arm_orders",
    "hold_points",
    "stand_advice",
    "states_of",
    "with_stand",
]
