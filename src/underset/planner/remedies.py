"""What would make it work: the smallest changes after which the judge finds a usable setting.

Every remedy was judged again with its change before it is shown: on the setting that came nearest,
or by a new search where windows or stacks change. Where a change leaves nothing that stops but
something that is not known, it is shown after the others, as incomplete, with what is still asked.
Work is counted in judged settings, not in seconds, so that the same question always gets the same
answer; a count that runs out is told.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations

from underset.job.stands import StandAdvice, stand_advice
from underset.planner.changes import (
    BEARING,
    EFFORT,
    STACKS,
    Change,
    Voice,
    leave_on,
    load_out,
    of_the_load,
    of_the_shelf,
    work_lower,
)
from underset.planner.search import Found, Limits, search
from underset.planner.telling import most_telling
from underset.planner.verify import proved, verified
from underset.setting.bearing import bearing_checks, bearing_status
from underset.setting.evaluate import Case, evaluate, with_ways
from underset.setting.numbers import AdapterNumbers
from underset.setting.result import Evaluation, Outcome, Plan, Remedy, Setting, Status
from underset.setting.wording import title

WORK = 260  # settings judged for one refused plan: about two seconds
WAY = 8  # a way in costs as much as so many settings
TRIED = 24  # settings that one new search may judge
SHOWN = 8
LEAST_PART = 1.0 / 128.0  # of a load: how finely the part to take out is found


@dataclass(frozen=True, slots=True)
class Proposals:
    """Remedies by rising effort, and whether the count of work ran out before all were tried."""

    remedies: tuple[Remedy, ...]
    cut: bool = False


@dataclass(frozen=True, slots=True)
class Asking:
    """What beside the refused cases may be looked at, and how remedies are told.

    `found`: the searches that refused, by bay; `limits`: what they were restricted to; `elsewhere`:
    cases of bays that were not asked for; `catalogue`: adapter types the shop does not own.
    """

    found: Mapping[str, Found] = field(default_factory=dict)
    limits: Limits | None = None
    elsewhere: Sequence[Case] = ()
    catalogue: Sequence[AdapterNumbers] = ()
    voice: Voice = field(default_factory=Voice)
    work: int = WORK


def remedies(cases: Sequence[Case], plan: Plan, asking: Asking | None = None) -> tuple[Remedy, ...]:
    """The remedies of `propose` alone."""
    return propose(cases, plan, asking).remedies


def propose(cases: Sequence[Case], plan: Plan, asking: Asking | None = None) -> Proposals:
    """Changes that make a setting exist where a plan found none, each judged again.

    Nothing is proposed for a plan that was found or that stopped at its limit.
    """
    asked = asking or Asking()
    if plan.outcome not in (Outcome.NONE, Outcome.INCOMPLETE):
        return Proposals(())
    bench = _Bench(asked, doubtful=plan.outcome is Outcome.NONE)
    bench.widen(cases)
    for case in sorted(cases, key=bench.distance):
        bench.mend(case)
    if not bench.found:
        bench.abroad = {case.bay.id: case.bay.label for case in asked.elsewhere}
        for case in sorted(asked.elsewhere, key=bench.distance):
            bench.mend(case)
    found = sorted(bench.found, key=_rank)
    return Proposals(tuple(found[:SHOWN]), bench.cut)


def _rank(r: Remedy) -> tuple[object, ...]:
    slack = -round(r.evaluation.least_slack, 3) if r.evaluation else 0.0
    doubtful = r.evaluation is not None and not r.evaluation.usable
    return doubtful, r.effort, r.outcome is not Outcome.FOUND, slack, r.bay, r.text


@dataclass(slots=True)
class _Bench:
    """Changes are tried here; work left, what was found, and whether something was left out.

    `doubtful`: whether a change that leaves something not known is worth showing, as it is where
    something stops today.
    """

    asked: Asking
    doubtful: bool = False
    found: list[Remedy] = field(default_factory=list)
    abroad: dict[str, str] = field(default_factory=dict)
    spent: int = 0
    cut: bool = False

    @property
    def spare(self) -> bool:
        """Whether work is left; remembers that something had to be left out."""
        self.cut = self.cut or self.spent >= self.asked.work
        return self.spent < self.asked.work

    def keep(self, change: Change | str, text: str, evaluation: Evaluation, effort: int) -> None:
        """A change after which nothing stops."""
        kind = change if isinstance(change, str) else change.kind
        bay, say = evaluation.setting.bay, self.asked.voice
        if bay in self.abroad:
            there = say("bay", bay=self.abroad[bay], heading=say(evaluation.setting.heading))
            kind, effort = f"bay+{kind}", effort + EFFORT["bay"]
            text = say("both", first=there, second=text)
        outcome = Outcome.FOUND if evaluation.usable else Outcome.INCOMPLETE
        if outcome is Outcome.INCOMPLETE:
            text = say("unclear", change=text, checks=_unknowns(evaluation, say.language))
        if all(r.text != text or r.bay != bay for r in self.found):
            self.found.append(Remedy(kind, text, effort, outcome, bay, evaluation))

    def nothing_stops(self, evaluation: Evaluation | None) -> bool:
        """Whether a setting is usable, or would be but for what is not known."""
        if evaluation is None or evaluation.usable:
            return evaluation is not None
        return self.doubtful and evaluation.status is Status.NOT_KNOWN

    # --- elsewhere -------------------------------------------------------------------------------

    def widen(self, cases: Sequence[Case]) -> None:
        """Other headings and point sets where the question was restricted, and other bays."""
        say, limits = self.asked.voice, self.asked.limits
        if limits is not None and (limits.point_set or len(limits.headings) == 1):
            for case in cases:
                best = self.searched(case, Limits(candidates=TRIED, choices=1))
                if best is not None:
                    s = best.setting
                    other = limits.point_set is not None and s.point_set != limits.point_set
                    kind = "point-set" if other else "heading"
                    points = case.point_set(s.point_set).label
                    text = say(kind, heading=say(s.heading), points=points)
                    self.keep(kind, text, best, EFFORT[kind])
        for case in self.asked.elsewhere:
            best = self.searched(case, Limits(candidates=TRIED, choices=1))
            if best is not None:
                text = say("bay", bay=case.bay.label, heading=say(best.setting.heading))
                self.keep("bay", text, best, EFFORT["bay"])

    def searched(self, case: Case, limits: Limits) -> Evaluation | None:
        """The best setting of a search elsewhere; bounded by itself, so not counted."""
        found = search([case], limits)
        self.cut = self.cut or (found.at_limit and not found.choices)
        choices = proved(case, found)
        best = choices[0].evaluation if choices else found.best_unclear()
        return best if self.nothing_stops(best) else None

    # --- in this bay -----------------------------------------------------------------------------

    def start(self, case: Case) -> Evaluation | None:
        """The setting that came nearest in a bay."""
        found = self.asked.found.get(case.bay.id)
        if found is None:
            found = search([case], self.asked.limits or Limits(candidates=TRIED))
            self.spent += found.count
            self.asked = replace(self.asked, found={**self.asked.found, case.bay.id: found})
        return min(found.stopped, key=_stopped_by, default=None) or found.best_unclear()

    def distance(self, case: Case) -> tuple[int, str]:
        """Bays whose nearest setting is stopped by fewest checks are mended first."""
        start = self.start(case)
        return (99 if start is None else len(stops_of(start))), case.bay.id

    def mend(self, case: Case) -> None:
        """Try every change on one bay's nearest setting: alone, then two together."""
        start, say = self.start(case), self.asked.voice
        shelf = list(of_the_shelf(case, self.asked.catalogue, say))
        refused = {name for _, name in self.asked.found[case.bay.id].refused}
        if start is None:
            for change in shelf if refused & STACKS else ():
                self.tried_anew(case, (change,))
            return
        stops = stops_of(start)
        self.stands(case, start)
        self.measure(case, start)
        changes = [*of_the_load(case, say), *work_lower(case, start, say)]
        changes += leave_on(case, start, say)
        changes += shelf if stops - BEARING else []
        partly = []
        for change in (self.enough(case, start, c) for c in changes):
            if change.cures & stops:
                left = self.tried(case, start, (change,))
                if left and left < stops:  # what cures all by itself needs no second change
                    partly.append((change, left))
        for (a, left_a), (b, left_b) in combinations(partly, 2):
            if not (left_a & left_b) and a.kind != b.kind:
                self.tried(case, start, (a, b))

    def tried(
        self, case: Case, start: Evaluation, changes: tuple[Change, ...]
    ) -> frozenset[str] | None:
        """Judge changes together; what still stops, or None when the work is used up."""
        if not self.spare:
            return None
        if any(c.anew for c in changes):
            return self.tried_anew(case, changes)
        changed = _applied(case, changes)
        self.spent += 1
        judged = evaluate(changed, start.setting, complete=False)
        if judged.status is Status.STOPS:
            left = stops_of(judged)
            # Another balance may want another spot.
            moved = all(c.load is not None for c in changes) and not left & BEARING - {"cg_window"}
            return self.tried_anew(case, changes) if moved else left
        self.spent += WAY
        judged = with_ways(changed, judged)
        if judged.status is Status.STOPS:  # arms blocked on their way in: elsewhere they may not be
            return self.tried_anew(case, changes)
        if self.nothing_stops(judged):
            least = tuple(self.least(case, start, changes, c) for c in changes)
            self.told(_applied(case, least), least, start.setting)
        return stops_of(judged)

    def tried_anew(self, case: Case, changes: tuple[Change, ...]) -> frozenset[str] | None:
        """Search again with the changes; what stops the nearest setting."""
        if not self.spare:
            return None
        changed = _applied(case, changes)
        found = search([changed], Limits(candidates=TRIED, choices=1))
        self.spent += found.count + WAY * (1 + found.blocked)
        best = found.ranked()[0].evaluation if found.choices else found.best_unclear()
        if best is not None and self.nothing_stops(best):
            least = tuple(self.least(case, best, changes, c) for c in changes)
            self.told(_applied(case, least), least, best.setting)
            return frozenset()
        nearest = min(found.stopped, key=_stopped_by, default=None)
        return None if nearest is None else stops_of(nearest)

    def told(self, changed: Case, changes: tuple[Change, ...], setting: Setting) -> None:
        """Show changes that work, in the amounts found, with the window proved as in a plan."""
        judged = evaluate(changed, setting)
        if judged.usable:
            judged = verified(changed, judged)
        if not self.nothing_stops(judged):
            return
        say = self.asked.voice
        texts = [c.tell(judged.setting) for c in changes]
        text = texts[0] if len(texts) == 1 else say("both", first=texts[0], second=texts[1])
        kind = "+".join(c.kind for c in changes)
        self.keep(kind, text, judged, sum(c.effort for c in changes))

    def enough(self, case: Case, start: Evaluation, change: Change) -> Change:
        """The least eighths of a load after which loads and stability no longer stop."""
        item, say = change.load, self.asked.voice
        if item is None:
            return change
        for k in range(1, 8):
            self.spent += 1
            part = load_out(case, item, k / 8, say)
            stops = {
                c.name
                for c in bearing_checks(part.apply(case), start.setting)
                if c.status is Status.STOPS
            }
            if stops <= {"cg_window"}:
                return part
        return change

    def least(
        self, case: Case, start: Evaluation, changes: tuple[Change, ...], change: Change
    ) -> Change:
        """The least part of a load that has to come out, the other changes made as they are."""
        item = change.load
        if item is None:
            return change
        others = _applied(case, tuple(c for c in changes if c is not change))
        say = self.asked.voice

        def works(part: float) -> bool:
            self.spent += 1
            trial = load_out(case, item, part, say).apply(others)
            return bearing_status(trial, start.setting) in (Status.HOLDS, Status.WATCH)

        return load_out(case, item, _least_part(works, item.mass), say)

    # --- stands and measuring --------------------------------------------------------------------

    def stands(self, case: Case, start: Evaluation) -> None:
        """Support stands for what stops in later states."""
        if not self.spare:
            return
        for advice in stand_advice(case, start):
            self.spent += 10
            if advice.holds and advice.evaluation is not None and advice.evaluation.usable:
                text = _stand_text(advice, case, self.asked.voice)
                self.keep("stand", text, advice.evaluation, EFFORT["stand"])

    def measure(self, case: Case, start: Evaluation) -> None:
        """The one measurement that may make the nearest setting usable."""
        if not self.spare:
            return
        say = self.asked.voice
        telling = most_telling(case, start, say.language)
        self.spent += 20
        if telling is None or telling.usable <= 0.0 or not telling.answers:
            return
        text = say(
            "measure", field=telling.missing.field, record=telling.missing.record,
            part=say.figure(telling.usable, "1"),
        )  # fmt: skip
        self.found.append(
            Remedy(
                "measure", text, EFFORT["measure"], Outcome.INCOMPLETE, case.bay.id,
                details=(("how", telling.missing.how),),
            )
        )  # fmt: skip


def _unknowns(evaluation: Evaluation, language: str) -> str:
    """Titles of the checks that are not known, the first three of them."""
    unknown = [c.name for c in evaluation.checks if c.status is Status.NOT_KNOWN]
    titles = [title(name, language) for name in dict.fromkeys(unknown)]
    return ", ".join([*titles[:3], *(["…"] if len(titles) > 3 else [])])


def stops_of(evaluation: Evaluation) -> frozenset[str]:
    """Names of the checks that stop."""
    return frozenset(c.name for c in evaluation.checks if c.status is Status.STOPS)


def _stopped_by(evaluation: Evaluation) -> tuple[int, float]:
    return len(stops_of(evaluation)), -evaluation.least_slack


def _applied(case: Case, changes: tuple[Change, ...]) -> Case:
    for change in changes:
        case = change.apply(case)
    return case


def _least_part(works: Callable[[float], bool], mass: float) -> float:
    """Least part that works, on a raster of eighths and then halved, rounded up to whole 5 kg."""
    first = next((k for k in range(1, 9) if works(k / 8)), 8)
    low, high = (first - 1) / 8, first / 8
    while high - low > LEAST_PART:
        middle = (low + high) / 2
        low, high = (low, middle) if works(middle) else (middle, high)
    rounded = min(1.0, -(-high * mass // 5.0) * 5.0 / mass)
    return rounded if works(rounded) else high


def _stand_text(advice: StandAdvice, case: Case, say: Voice) -> str:
    side = say("left" if advice.side >= 0.0 else "right", amount=say.figure(abs(advice.side), "m"))
    after = next(s.label for s in case.states if s.name == advice.set_in)
    return say(
        "stand", place=advice.label, aft=say.figure(advice.aft, "m"), side=side,
        low=say.figure(advice.preload_low, "N"), high=say.figure(advice.preload_high, "N"),
        least=say.figure(advice.load_low, "N"), most=say.figure(advice.load_high, "N"), after=after,
    )  # fmt: skip
