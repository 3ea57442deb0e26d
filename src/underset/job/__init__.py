"""The job as a run of states, its hold points, and support stands."""

from underset.job.holdpoints import arm_orders, hold_points
from underset.job.states import first_state, states_of

__all__ = ["arm_orders", "first_state", "hold_points", "states_of"]
