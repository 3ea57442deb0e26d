"""Changes that may make a refused vehicle fit: what each does to the case, and what it may cure.

A change is only a guess until it has been judged again: `remedies` does that.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from underset.planner.remedy_words import REMEDIES_DE, REMEDIES_EN
from underset.planner.search import OF_THE_STACK
from underset.planner.stacks import feasible
from underset.setting.bearing import taken_off
from underset.setting.catalogue import CHECKS
from underset.setting.evaluate import Case
from underset.setting.numbers import AdapterNumbers, Shelf
from underset.setting.result import Evaluation, Setting
from underset.setting.state import State
from underset.setting.wording import amount
from underset.statics import Item

BEARING = frozenset(n for n, kind in CHECKS.items() if kind.group in ("load", "stability"))
STACKS = frozenset(OF_THE_STACK) | {"maker_rated", "approved", "cradle_battery", "special_adapter"}
# Decision: parts named by one of these words are carried, not built in, and may come out in part.
CARRIED = (
    "cargo",
    "load",
    "luggage",
    "fuel",
    "tool",
    "freight",
    "water",
    "spare",
    "goods",
    "wheel",
)
MOST_PIECES = 8  # two in each stack

# Effort, in steps of nothing but our own order: what a shop would rather do comes first.
EFFORT = {
    "heading": 10, "point-set": 15, "bay": 20, "work-lower": 25, "load-out": 30, "measure": 35,
    "stand": 45, "adapter": 50, "part-first": 70, "leave-on": 90,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Voice:
    """Units and language in which sentences are written."""

    units: str = "metric"
    language: str = "en"

    def __call__(self, key: str, **filled: object) -> str:
        return (REMEDIES_DE if self.language == "de" else REMEDIES_EN)[key].format(**filled)

    def figure(self, value: float, unit: str) -> str:
        """A figure as the shop reads it."""
        return amount(value, unit, self.units, self.language)


@dataclass(frozen=True, slots=True)
class Change:
    """One change: the case it makes, the checks it may cure, and how it is told once it works.

    `anew` says whether windows, stacks or spots change, so that the search must run again; `tell`
    makes the sentence from the setting that works.
    """

    kind: str
    effort: int
    cures: frozenset[str]
    apply: Callable[[Case], Case]
    tell: Callable[[Setting], str]
    anew: bool = False
    load: Item | None = None
    """The load that comes out, where a part of it may be enough."""


# --- load and parts ------------------------------------------------------------------------------


def of_the_load(case: Case, voice: Voice) -> Iterator[Change]:
    """Everything carried, out altogether; and parts that no step touches, off on the floor."""
    for name, item, on in case.vehicle.parts:
        if on and not touched(case, name):
            if _carried(name):
                yield load_out(case, item, 1.0, voice)
            elif case.job is not None:
                yield _part_first(item, voice)
    added = {i.name: i for s in case.states for i in s.items if i.mass > 0.0}
    parts = {item.name for _, item, _ in case.vehicle.parts}
    kerb = case.vehicle.kerb.name if case.vehicle.kerb else ""
    for name, item in added.items():
        if name != kerb and name not in parts and not name.endswith(" moved"):
            yield load_out(case, item, 1.0, voice)


def touched(case: Case, name: str) -> bool:
    """Whether a step of the job takes a component off or elsewhere."""
    return any(i.name in (f"{name} off", f"{name} moved") for s in case.states for i in s.items)


def _carried(name: str) -> bool:
    return any(word in name for word in CARRIED)


def load_out(case: Case, item: Item, part: float, voice: Voice) -> Change:
    """A part of a load taken out before lifting."""
    mass = part * item.mass
    cures = BEARING | {"overhead"}

    def tell(setting: Setting) -> str:
        return voice(
            "load-out", amount=voice.figure(mass, "kg"), load=item.name,
            whole=voice.figure(item.mass, "kg"),
        )  # fmt: skip

    return Change(
        "load-out", EFFORT["load-out"], cures, lambda c: without(c, item, part), tell, load=item
    )


def _part_first(item: Item, voice: Voice) -> Change:
    def tell(setting: Setting) -> str:
        return voice("part-first", part=item.name, amount=voice.figure(item.mass, "kg"))

    return Change(
        "part-first", EFFORT["part-first"], BEARING, lambda c: without(c, item, 1.0), tell
    )


def without(case: Case, item: Item, part: float) -> Case:
    """The case with a part of an entry gone from every state it is in."""
    mass, tol = part * item.mass, part * item.mass_tol
    gone = Item(f"{item.name} out", -mass, tol, item.place, item.place_tol)
    return replace(case, states=tuple(_lightened(s, item, gone) for s in case.states))


def _lightened(state: State, item: Item, gone: Item) -> State:
    names = {i.name for i in state.items}
    if item.name in names:  # a load of its own in the ledger
        left = replace(item, mass=item.mass + gone.mass, mass_tol=item.mass_tol - gone.mass_tol)
        kept = tuple(left if i.name == item.name else i for i in state.items)
        return replace(state, items=tuple(i for i in kept if i.mass > 1e-9 or i.name != item.name))
    if taken_off(item).name in names:  # off already in this state
        return state
    return replace(state, items=(*state.items, gone))


def leave_on(case: Case, evaluation: Evaluation, voice: Voice) -> Iterator[Change]:
    """Parts that are off in the state that fails first, left on instead."""
    failing = evaluation.first_failing_state
    if failing is None:
        return
    state = next(s for s in case.states if s.name == failing.name)
    for item in state.items:
        if item.mass < 0.0 and item.name.endswith(" off"):
            name = item.name.removesuffix(" off")

            def tell(setting: Setting, name: str = name) -> str:
                return voice("leave-on", part=name)

            def apply(c: Case, gone: str = item.name) -> Case:
                return replace(c, states=tuple(_kept_on(s, gone) for s in c.states))

            yield Change("leave-on", EFFORT["leave-on"], BEARING, apply, tell)


def _kept_on(state: State, gone: str) -> State:
    return replace(state, items=tuple(i for i in state.items if i.name != gone))


def work_lower(case: Case, evaluation: Evaluation, voice: Voice) -> Iterator[Change]:
    """The seat height that the room overhead allows, where the job asks for more."""
    check = next((c for c in evaluation.checks if c.name == "overhead" and c.demand), None)
    highest = max((s.seat for s in case.states if s.seat is not None), default=None)
    if check is None or check.demand is None or highest is None or check.demand >= highest:
        return
    usable = int(check.demand * 100.0) / 100.0

    def tell(setting: Setting) -> str:
        return voice(
            "work-lower", amount=voice.figure(usable, "m"), wanted=voice.figure(highest, "m")
        )

    def apply(c: Case) -> Case:
        return replace(c, states=tuple(_lower(s, usable) for s in c.states))

    yield Change("work-lower", EFFORT["work-lower"], frozenset({"overhead"}), apply, tell)


def _lower(state: State, usable: float) -> State:
    return state if state.seat is None else replace(state, seat=min(state.seat, usable))


# --- adapters ------------------------------------------------------------------------------------


def of_the_shelf(case: Case, catalogue: Sequence[AdapterNumbers], voice: Voice) -> Iterator[Change]:
    """Types of which more would help: one alone, then two together; each must make a new stack."""
    known = dict(case.shelf.types)
    offered = {t.id: t for t in catalogue if t.id not in known}
    types = [t for t in (*known.values(), *offered.values()) if _worth_adding(case, t)]
    useful = [t for t in types if _makes_stacks(case, (t,))]
    for t in useful:
        yield _more_of((t,), offered, voice)
    for pair in combinations(types, 2):
        if not all(t in useful for t in pair) and _makes_stacks(case, pair):
            yield _more_of(pair, offered, voice)


def _worth_adding(case: Case, t: AdapterNumbers) -> bool:
    allowed = not case.bay.approved or t.id in case.bay.approved
    cradle = t.cradle and case.vehicle.battery is not False
    return t.maker_rated and allowed and not cradle and t.count < MOST_PIECES


def _makes_stacks(case: Case, more: tuple[AdapterNumbers, ...]) -> bool:
    """Whether these give some lifting point a stack that the shelf cannot make yet."""
    stocked = with_more(case, more)
    wanted = {t.id for t in more}
    stacks = (
        r.stack.ids
        for points in case.vehicle.point_sets
        for point in points.points
        for r in feasible(stocked, point)
    )
    none_yet = any(t.count == 0 for t in more)
    return any(wanted <= set(ids) and (none_yet or _short(case, ids)) for ids in stacks)


def _short(case: Case, ids: tuple[str, ...]) -> bool:
    """Whether the shelf is short of pieces for four stacks of this kind."""
    types = case.shelf.types
    return any(i in types and 4 * n > types[i].count for i, n in Counter(ids).items())


def with_more(case: Case, more: Sequence[AdapterNumbers]) -> Case:
    """The case with plenty of these types on the shelf, newly inspected."""
    added = {t.id: replace(t, count=MOST_PIECES, inspected_months=0.0) for t in more}
    return replace(case, shelf=Shelf({**case.shelf.types, **added}))


def _more_of(
    more: tuple[AdapterNumbers, ...], offered: dict[str, AdapterNumbers], voice: Voice
) -> Change:
    def tell(setting: Setting) -> str:
        used = Counter(i for a in setting.arms for i in a.stack_ids)
        rows = [
            _wanted(t, used[t.id], t.id in offered, voice) for t in more if used[t.id] > t.count
        ]
        return " ".join(rows)

    return Change(
        "adapter", EFFORT["adapter"] + 5 * (len(more) - 1), STACKS | {"way_in"},
        lambda c: with_more(c, more), tell, anew=True,
    )  # fmt: skip


def _wanted(t: AdapterNumbers, used: int, new: bool, voice: Voice) -> str:
    key = "adapter.new" if new else "adapter.back" if t.out_of_service else "adapter.own"
    where = voice(key, have=t.count, out=t.out_of_service)
    return voice("adapter", count=used - t.count, adapter=t.label, where=where)
