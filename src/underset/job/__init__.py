"""The job as a run of states, its hold points, and support stands."""

from underset.job.states import first_state, states_of

__all__ = ["first_state", "states_of"]
