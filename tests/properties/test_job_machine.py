"""Random jobs as a machine: whatever the order, the ledger holds what is still on the vehicle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from tests.judge_cases import vehicle
from underset.errors import InputError
from underset.job.states import states_of
from underset.records.job import (
    AddLoad,
    Job,
    MoveLoad,
    PutOn,
    RemoveLoad,
    StandAway,
    StandSet,
    TakeOff,
)
from underset.setting.state import State
from underset.statics import Item, total
from underset.units import quantity

PARTS = {
    "engine": Item("engine", 180.0, 8.0, (0.1, -0.05, 0.55), (0.03, 0.02, 0.03)),
    "axle": Item("axle", 110.0, 5.0, (-2.6, 0.0, 0.33), (0.02, 0.01, 0.02)),
    "wheel": Item("wheel", 19.0, 1.0, (0.0, 0.75, 0.31), (0.01, 0.01, 0.01)),
}
SPARE = Item("rack", 24.0, 1.0, (-1.5, 0.0, 1.5), (0.05, 0.02, 0.02))  # not on when it was weighed
CAR = vehicle(parts=(*((n, i, True) for n, i in PARTS.items()), ("rack", SPARE, False)))


@dataclass
class Load:
    """A load put in: kg at (x, y) in V."""

    mass: float
    x: float
    y: float


def metres(value: float) -> Any:
    return quantity(round(value * 1000.0), "mm")


class JobMachine(RuleBasedStateMachine):
    """A model of what is on, beside the states the job gives."""

    def __init__(self) -> None:
        super().__init__()
        self.steps: list[Any] = []
        self.on = dict.fromkeys(PARTS, True) | {"rack": False}
        self.elsewhere: dict[str, tuple[float, float]] = {}
        self.loads: dict[str, Load] = {}
        self.stands: dict[str, float] = {}

    def states(self) -> tuple[State, ...]:
        return states_of(CAR, Job(label="random", vehicle="hatch", steps=tuple(self.steps)))

    def last(self) -> State:
        return self.states()[-1]

    # --- steps that can be done ---

    @precondition(lambda self: any(self.on.values()))
    @rule(data=st.data())
    def take_off(self, data: st.DataObject) -> None:
        name = data.draw(st.sampled_from([n for n, on in self.on.items() if on]))
        self.steps.append(TakeOff(kind="take off", component=name))
        self.on[name] = False
        self.elsewhere.pop(name, None)

    @precondition(lambda self: not all(self.on.values()) or self.elsewhere)
    @rule(data=st.data())
    def put_on(self, data: st.DataObject) -> None:
        off = [n for n, on in self.on.items() if not on]
        name = data.draw(st.sampled_from(off + sorted(self.elsewhere)))
        self.steps.append(PutOn(kind="put on", component=name))
        self.on[name] = True
        self.elsewhere.pop(name, None)

    @rule(
        mass=st.integers(5, 200), aft=st.integers(-500, 3500), side=st.integers(-500, 500),
        name=st.sampled_from(("a", "b", "c")),
    )  # fmt: skip
    def add_load(self, mass: int, aft: int, side: int, name: str) -> None:
        step = AddLoad(
            kind="add load", id=name, label=name, mass=quantity(mass, "kg"),
            aft=quantity(aft, "mm"), side=quantity(side, "mm"), up=quantity(900, "mm"),
        )  # fmt: skip
        if name in self.loads:
            self.refused(step)
            return
        self.steps.append(step)
        self.loads[name] = Load(float(mass), -aft / 1000.0, side / 1000.0)

    @precondition(lambda self: self.loads)
    @rule(data=st.data())
    def remove_load(self, data: st.DataObject) -> None:
        name = data.draw(st.sampled_from(sorted(self.loads)))
        self.steps.append(RemoveLoad(kind="remove load", id=name))
        del self.loads[name]

    @precondition(lambda self: self.loads or any(self.on[n] for n in PARTS))
    @rule(data=st.data(), aft=st.integers(0, 3000), side=st.integers(-400, 400))
    def move(self, data: st.DataObject, aft: int, side: int) -> None:
        name = data.draw(st.sampled_from(sorted(self.loads) + [n for n in PARTS if self.on[n]]))
        self.steps.append(
            MoveLoad(
                kind="move load", id=name, aft=quantity(aft, "mm"), side=quantity(side, "mm"),
                up=quantity(700, "mm"),
            )
        )  # fmt: skip
        at = (-aft / 1000.0, side / 1000.0)
        if name in self.loads:
            self.loads[name] = Load(self.loads[name].mass, *at)
        else:
            self.elsewhere[name] = at

    @rule(force=st.integers(200, 3000))
    def stand(self, force: int) -> None:
        if "prop" in self.stands:
            self.steps.append(StandAway(kind="stand away", id="prop"))
            del self.stands["prop"]
        else:
            self.steps.append(
                StandSet(
                    kind="stand set", id="prop", preload=quantity(force, "N"),
                    aft=quantity(1000, "mm"), side=quantity(0, "mm"),
                )
            )  # fmt: skip
            self.stands["prop"] = float(force)

    # --- steps that cannot ---

    @precondition(lambda self: not all(self.on.values()))
    @rule(data=st.data())
    def take_off_what_is_off(self, data: st.DataObject) -> None:
        name = data.draw(st.sampled_from([n for n, on in self.on.items() if not on]))
        self.refused(TakeOff(kind="take off", component=name))

    @rule()
    def take_off_what_there_is_not(self) -> None:
        self.refused(TakeOff(kind="take off", component="anchor"))

    def refused(self, step: Any) -> None:
        """The step is told as wrong, by its number, and nothing else changes."""
        self.steps.append(step)
        with pytest.raises(InputError, match=f"step {len(self.steps)} "):
            self.states()
        self.steps.pop()

    # --- what always holds ---

    def expected(self) -> tuple[float, float, float]:
        """Mass and first moments of what is still on."""
        assert CAR.kerb is not None
        rows = [(CAR.kerb.mass, *CAR.kerb.place[:2])]
        for name, item in PARTS.items():
            if not self.on[name]:
                rows.append((-item.mass, *item.place[:2]))
            elif name in self.elsewhere:
                rows.append((-item.mass, *item.place[:2]))
                rows.append((item.mass, *self.elsewhere[name]))
        if self.on["rack"]:
            rows.append((SPARE.mass, *SPARE.place[:2]))
        rows += [(load.mass, load.x, load.y) for load in self.loads.values()]
        return (
            sum(m for m, _, _ in rows),
            sum(m * x for m, x, _ in rows),
            sum(m * y for m, _, y in rows),
        )

    @invariant()
    def total_is_what_is_on(self) -> None:
        mass, about_x, about_y = self.expected()
        whole = total(self.last().items)
        assert whole.mass == pytest.approx(mass, abs=1e-9)
        assert whole.mass * whole.cg[0] == pytest.approx(about_x, abs=1e-6)
        assert whole.mass * whole.cg[1] == pytest.approx(about_y, abs=1e-6)

    @invariant()
    def one_state_for_each_step(self) -> None:
        states = self.states()
        assert len(states) == len(self.steps) + 1
        assert all(s.lifted for s in states)

    @invariant()
    def stands_are_there(self) -> None:
        assert {s.name: s.force for s in self.last().supports} == self.stands

    @invariant()
    def putting_everything_back_restores_every_figure(self) -> None:
        back = list(self.steps)
        back += [RemoveLoad(kind="remove load", id=name) for name in sorted(self.loads)]
        back += [PutOn(kind="put on", component=n) for n in PARTS if not self.on[n]]
        back += [PutOn(kind="put on", component=n) for n in sorted(self.elsewhere)]
        if self.on["rack"]:
            back.append(TakeOff(kind="take off", component="rack"))
        states = states_of(CAR, Job(label="back", vehicle="hatch", steps=tuple(back)))
        assert total(states[-1].items) == total(states[0].items)
        assert states[-1].top == states[0].top


def test_whatever_the_steps_the_states_are_theirs() -> None:
    run_state_machine_as_test(
        JobMachine, settings=settings(max_examples=40, stateful_step_count=14)
    )
