"""From a plan to the card's view: choice of what matters, rounding, units and words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from underset.card.cautions import cautions
from underset.card.corners import corner_boxes, corner_statuses
from underset.card.figures import UNKNOWN_FIGURE, Figures
from underset.card.record import plan_digest
from underset.card.sheet import NO_WINDOW
from underset.card.view import (
    CardView,
    CheckLine,
    Fact,
    HoldLine,
    MissingLine,
    Picture,
    RefusalLine,
    RemedyLine,
    SourceLine,
    Spot,
    StateRow,
    Titles,
)
from underset.card.words import words_in
from underset.card.writer import RANK, Writer
from underset.setting import (
    CORNERS,
    Check,
    Evaluation,
    HoldPoint,
    Outcome,
    Plan,
    Refusal,
    Remedy,
    Setting,
    StateResult,
    Status,
)

LEAST_MARGINS: Final = 4
_NO_SLACK: Final = 1e9


@dataclass(frozen=True, slots=True)
class About:
    """What a plan's result does not know of itself: labels, date, and its place in the book.

    Empty labels fall back to the ids in the result; an empty digest to that of the plan's JSON.
    `parked`: the vehicle has stopped, so a refusal is one of that place alone.
    """

    vehicle: str = ""
    bay: str = ""
    job: str = ""
    workshop: str = ""
    date: str = ""
    reference: str = ""
    digest: str = ""
    parked: bool = False


def build_view(
    plan: Plan, about: About | None = None, *, units: str = "metric", language: str = "en"
) -> CardView:
    """The card's view of a plan. Raises InputError for an unknown unit system or language."""
    w = Writer(Figures(units, language), words_in(language))
    about = about or About()
    best = shown_setting(plan)
    shown = best.setting if best else None
    status = worst(plan)
    check_lines = checks_that_matter(w, plan)
    return CardView(
        language=language,
        units=units,
        title=w.words["title"],
        workshop=about.workshop,
        invented=w.words["invented"] if plan.invented else "",
        advice=w.words["advice"],
        outcome=plan.outcome.value,
        outcome_word=outcome_word(w, plan),
        status=w.status(status),
        verdict=verdict(w, plan, about.parked),
        bay=Fact(w.words["bay"], about.bay or (shown.bay if shown else w.words["bay.any"]), ""),
        vehicle=Fact(
            w.words["vehicle"], about.vehicle or (shown.vehicle if shown else UNKNOWN_FIGURE), ""
        ),
        job=Fact(
            w.words["job"], about.job or ((shown.job if shown else "") or w.words["job.none"]), ""
        ),
        spot=_spot(w, plan, shown, about.parked),
        heading=_heading(w, shown),
        seat=_seat(w, shown),
        rise=_rise(w, plan),
        point_set=Fact(w.words["point_set"], shown.point_set if shown else UNKNOWN_FIGURE, ""),
        has_setting=shown is not None,
        corners=corner_boxes(w, best) if best else (),
        states=_states(w, best) if best else (),
        checks=check_lines,
        hold_points=_hold_points(w, plan.hold_points) if best else (),
        cautions=tuple(w.words[f"caution.{key}"] for key in cautions(plan)),
        refusals=_refusals(w, plan),
        remedies=tuple(
            RemedyLine(r.text, _remedy_outcome(w, r))
            for r in sorted(plan.remedies, key=lambda r: r.effort)
        ),
        missing=tuple(MissingLine(f"{m.record}: {m.field}", m.why, m.how) for m in plan.missing),
        notes=plan.notes,
        sources=tuple(SourceLine(n, text) for text, n in w.sources.items()),
        qr=_payload(plan, about, status),
        reference=about.reference or w.words["reference.none"],
        date=about.date or w.words["date.none"],
        tool=w.tool,
        titles=_titles_for(w, plan),
        picture=_picture(plan, best),
    )


# --- outcome --------------------------------------------------------------------------------------


def shown_setting(plan: Plan) -> Evaluation | None:
    """The setting a page may show.

    Decision: the nearest miss of a refusal is told by its checks, never by figures that somebody
    could set an arm by. One that lacks figures is shown, marked as not known, to be completed.
    """
    return plan.best if plan.outcome in (Outcome.FOUND, Outcome.INCOMPLETE) else None


def worst(plan: Plan) -> Status:
    """Status of the page: that of the setting when one was found, else of the outcome."""
    if plan.outcome is Outcome.FOUND and plan.best is not None:
        return plan.best.status
    return Status.STOPS if plan.outcome is Outcome.NONE else Status.NOT_KNOWN


def proved(plan: Plan) -> bool:
    """Whether the setting holds, so that its window may be parked by."""
    return plan.outcome is Outcome.FOUND and plan.best is not None and plan.best.usable


def outcome_word(w: Writer, plan: Plan) -> str:
    """The outcome in words; a setting that is shown but does not hold is told so."""
    shown_but_not_usable = plan.outcome is Outcome.FOUND and plan.best and not plan.best.usable
    return w.words["outcome.unusable" if shown_but_not_usable else f"outcome.{plan.outcome.value}"]


def verdict(w: Writer, plan: Plan, parked: bool = False) -> str:
    """Outcome and status in one sentence."""
    if plan.outcome is Outcome.NONE:
        if parked:
            return w.words["verdict.parked"]
        return w.words.count("verdict.none", plan.candidates)
    if plan.outcome is Outcome.LIMIT:
        return w.words.count("verdict.limit", plan.candidates)
    if plan.missing and plan.outcome is Outcome.INCOMPLETE:
        return w.words.count("verdict.incomplete", len(plan.missing))
    if plan.best is None:
        return w.words["verdict.nothing"]
    return _found_verdict(w, plan.best)


def _found_verdict(w: Writer, best: Evaluation) -> str:
    failing = best.first_failing_state
    if failing is not None:
        return w.words.fill("verdict.stops", state=w.step(failing))
    counts = {s: len({(c.name, c.where) for c in best.checks if c.status is s}) for s in Status}
    if counts[Status.NOT_KNOWN]:
        return w.words.count("verdict.unknown", counts[Status.NOT_KNOWN])
    if counts[Status.WATCH]:
        return w.words.count("verdict.watch", counts[Status.WATCH])
    return w.words.count("verdict.holds", len(best.states))


# --- where ----------------------------------------------------------------------------------------


def _spot(w: Writer, plan: Plan, shown: Setting | None, parked: bool) -> Spot:
    """Where to stop, with its window, if that is proved; one that stands was judged there alone."""
    if shown is None:
        return Spot(w.words["spot"], UNKNOWN_FIGURE, "", "")
    mark = plan.scene.mark if plan.scene else None
    name, x = mark or (w.words["spot.column_line"], 0.0)
    distance = shown.spot - x
    low, high = shown.window[0] - x, shown.window[1] - x
    window = f"{w.words['spot.window']} {_window(w, low, high)}"
    if parked or not proved(plan):
        window = w.words["spot.measured" if parked else "spot.unproved"]
    return Spot(
        label=w.words["spot.stands" if parked else "spot"],
        value=w.figures.length(abs(distance)),
        place=f"{_beyond_or_before(w, distance)} {name}",
        window=window,
    )


def _beyond_or_before(w: Writer, distance: float) -> str:
    return w.words["spot.beyond"] if distance >= 0.0 else w.words["spot.before"]


def _window(w: Writer, low: float, high: float) -> str:
    """An interval of distances from the mark; signed when the mark lies inside it."""
    if low >= 0.0:
        return w.figures.span(low, high)
    if high < 0.0:
        return w.figures.span(-high, -low)
    return f"{w.figures.span(low, high)} {w.words['spot.signed']}"


def _heading(w: Writer, shown: Setting | None) -> Fact:
    value = w.words.named("heading", shown.heading) if shown else UNKNOWN_FIGURE
    note = w.words["heading.askew"] if shown and shown.yaw else ""
    return Fact(w.words["heading"], value, note)


def _seat(w: Writer, shown: Setting | None) -> Fact:
    value = w.figures.length(shown.seat) if shown else UNKNOWN_FIGURE
    return Fact(w.words["seat"], value, w.words["seat.note"] if shown else "")


def _rise(w: Writer, plan: Plan) -> Fact:
    scene = plan.scene
    if scene is None or scene.rise_limit is None:
        return Fact(w.words["rise"], w.words["status.not known"] if scene else UNKNOWN_FIGURE, "")
    above = [(scene.ceiling, "rise.ceiling")] if scene.ceiling is not None else []
    above += [(scene.stop_bar[1], "rise.stop_bar")] if scene.stop_bar is not None else []
    lowest = min(above, default=None)
    note = w.words.fill(lowest[1], height=w.figures.length(lowest[0], "down")) if lowest else ""
    return Fact(w.words["rise"], w.figures.length(scene.rise_limit, "down"), note)


def _picture(plan: Plan, best: Evaluation | None) -> Picture | None:
    if plan.scene is None or best is None:
        return None
    setting = best.setting
    if not proved(plan):
        setting = replace(setting, window=NO_WINDOW, fixed_window=NO_WINDOW)
    return Picture(plan.scene, setting, corner_statuses(best))


# --- states, checks, hold points ------------------------------------------------------------------


def _states(w: Writer, best: Evaluation) -> tuple[StateRow, ...]:
    """All states in order; the first one and those least well off are the last to be left out."""
    order = sorted(range(1, len(best.states)), key=lambda i: _worst_off(best.states[i]))
    ranks = {i: rank for rank, i in enumerate([0, *order])}
    return tuple(_state(w, i, ranks[i], s) for i, s in enumerate(best.states))


def _worst_off(state: StateResult) -> tuple[int, float]:
    return (RANK[state.status], min(p.low for p in state.pads))


def _state(w: Writer, number: int, rank: int, state: StateResult) -> StateRow:
    f, known = w.figures, state.known
    least = min(range(len(state.pads)), key=lambda i: state.pads[i].low)
    unknown = UNKNOWN_FIGURE
    return StateRow(
        number=str(number),
        rank=rank,
        name=w.step(state),
        mass=f.mass(state.mass, unit=False) if known else unknown,
        cg=f.length(-state.cg_vehicle[0], unit=False) if known else unknown,
        side=f.length(state.cg_vehicle[1], unit=False) if known else unknown,
        least=f"{f.force(state.pads[least].low, 'down', unit=False)} {CORNERS[least]}"
        if known
        else unknown,
        split=_split(w, state),
        status=w.status(state.status),
    )


def _split(w: Writer, state: StateResult) -> str:
    """Front to rear share of the nominal pad loads."""
    total = sum(p.nominal for p in state.pads)
    if not state.known or total <= 0.0:
        return UNKNOWN_FIGURE
    front = 100.0 * (state.pads[0].nominal + state.pads[1].nominal) / total
    return f"{w.figures.number(front)} : {w.figures.number(100.0 - front)}"


def checks_that_matter(w: Writer, plan: Plan) -> tuple[CheckLine, ...]:
    """All that stop, are not known or want watching, then the least margins that hold.

    Of a nearest miss only what stops it or is not known.
    """
    best = plan.best
    if best is None:
        return ()
    ranked = ranked_checks(best)
    loud = [c for c in ranked if c.status is not Status.HOLDS]
    close = [c for c in ranked if c.status is Status.HOLDS and c.slack is not None]
    if shown_setting(plan) is None:
        loud, close = [c for c in loud if c.status is not Status.WATCH], []
    shown = (_together(c, loud) for c in (*loud, *close[:LEAST_MARGINS]))
    return tuple(
        check_line(w, them[0], best) if len(them) == 1 else _open_line(w, them, best)
        for them in dict.fromkeys(shown)
    )


def _together(check: Check, loud: list[Check]) -> tuple[Check, ...]:
    """The checks that one and the same missing figure leaves open, told once; others alone."""
    if not _left_open(check):
        return (check,)
    return tuple(c for c in loud if _left_open(c) and c.note == check.note)


def _left_open(check: Check) -> bool:
    return check.status is Status.NOT_KNOWN and check.demand is None and bool(check.note)


def _open_line(w: Writer, checks: tuple[Check, ...], best: Evaluation) -> CheckLine:
    """What is not known, which checks that leaves open, and at which steps."""
    why = w.note(checks[0])
    names = {c.name for c in checks}
    steps = [
        w.step(s)
        for s in best.states
        if any(c.name in names and _left_open(c) and c.note == checks[0].note for c in s.checks)
    ]
    every = len(steps) == len(best.states)
    heads = ", ".join(dict.fromkeys(w.head(c) for c in checks))
    return CheckLine(
        status=w.status(Status.NOT_KNOWN),
        title=why[:1].upper() + why[1:],
        sentence=w.words.fill("checks.open", checks=heads),
        state=w.words["checks.every_step"] if every else ", ".join(steps),
        sources=w.cite(tuple(s for c in checks for s in c.sources)),
    )


def checks_by_name(best: Evaluation) -> dict[str, list[tuple[StateResult, Check]]]:
    """All checks of all states with the state they belong to, by name, in order."""
    found: dict[str, list[tuple[StateResult, Check]]] = {}
    for state in best.states:
        for check in state.checks:
            found.setdefault(check.name, []).append((state, check))
    return found


def ranked_checks(best: Evaluation) -> tuple[Check, ...]:
    """One check for each name and place, its worst over the states, worst first."""
    worst_of: dict[tuple[str, str], Check] = {}
    for state in best.states:
        for check in state.checks:
            key = (check.name, check.where)
            if key not in worst_of or _weight(check) < _weight(worst_of[key]):
                worst_of[key] = check
    return tuple(sorted(worst_of.values(), key=_weight))


def _weight(check: Check) -> tuple[int, float]:
    return (RANK[check.status], _NO_SLACK if check.slack is None else check.slack)


def check_line(w: Writer, check: Check, best: Evaluation | None = None) -> CheckLine:
    """A check as shown."""
    sentence, state = w.detail(check), _state_label(w, check, best)
    return CheckLine(
        status=w.status(check.status),
        title=w.head(check),
        sentence=sentence,
        state="" if state in sentence else state,
        sources=w.cite(check.sources),
    )


def _state_label(w: Writer, check: Check, best: Evaluation | None) -> str:
    """The step it happens in, when there is more than one."""
    if best is None or len(best.states) < 2:
        return ""
    found = next((s for s in best.states if check in s.checks), None)
    return w.step(found) if found is not None and found is not best.states[0] else ""


def _hold_points(w: Writer, points: tuple[HoldPoint, ...]) -> tuple[HoldLine, ...]:
    order = sorted(range(len(points)), key=lambda i: not points[i].sign)
    ranks = {i: rank for rank, i in enumerate(order)}
    return tuple(_hold(w, i + 1, ranks[i], h) for i, h in enumerate(points))


def _hold(w: Writer, number: int, rank: int, point: HoldPoint) -> HoldLine:
    facts = tuple(f"{name} {w.figures.token(value)}" for name, value in point.facts)
    title = f"{point.corner}: {point.title}" if point.corner else point.title
    return HoldLine(str(number), rank, title, point.text, facts, point.sign)


def _remedy_outcome(w: Writer, remedy: Remedy) -> str:
    outcome = w.words[f"outcome.{remedy.outcome.value}"]
    return f"{remedy.bay}: {outcome}" if remedy.bay else outcome


def _refusals(w: Writer, plan: Plan) -> tuple[RefusalLine, ...]:
    """What refused, most first. Decision: beside a setting found it is left to the working."""
    if plan.outcome is Outcome.FOUND:
        return ()
    ordered = sorted(plan.refusals, key=lambda r: (-r.count, r.check, r.bay))
    return tuple(_refusal(w, r) for r in ordered)


def _refusal(w: Writer, refusal: Refusal) -> RefusalLine:
    miss = refusal.nearest
    nearest = "" if miss is None else f"{w.where(miss)} {w.detail(miss)}".strip()
    title = w.title(refusal.check)
    title = f"{title} ({refusal.bay})" if refusal.bay else title
    return RefusalLine(title, w.figures.number(refusal.count), nearest)


# --- the rest -------------------------------------------------------------------------------------


def _payload(plan: Plan, about: About, status: Status) -> str:
    """Reference, hash and short facts in SI, one a line: what a scanner shows without the tool."""
    rows = [
        "UNDERSET 1",
        f"ref {about.reference or '-'}",
        f"sha256 {(about.digest or plan_digest(plan))[:32]}",
        f"outcome {plan.outcome.value} {status.value}",
    ]
    best = shown_setting(plan)
    if best is not None:
        s = best.setting
        rows.append(f"{s.vehicle[:24]} @ {s.bay[:24]}")
        rows.append(f"spot {1000 * s.spot:.0f} mm seat {1000 * s.seat:.0f} mm {s.heading}")
    if plan.invented:
        rows.append("INVENTED SAMPLE DATA")
    return "\n".join(rows)


def _titles_for(w: Writer, plan: Plan) -> Titles:
    """Headings of the page; over the checks of a nearest miss stands which one it is."""
    page = titles(w)
    if plan.best is None or shown_setting(plan) is not None:
        return page
    s = plan.best.setting
    heading = w.words.named("heading", s.heading)
    return replace(page, checks=w.words.fill("titles.nearest_checks", bay=s.bay, heading=heading))


def titles(w: Writer) -> Titles:
    """Headings and labels of the page."""
    f = w.figures
    units = {"length": f.length_unit, "force": f.force_unit, "mass": f.mass_unit}
    return Titles(
        **{n: _with_units(w.words[f"titles.{n}"], units) for n in Titles.__dataclass_fields__}
    )


def _with_units(words: str, units: dict[str, str]) -> str:
    for name, unit in units.items():
        words = words.replace(f"{{{name}}}", unit)
    return words
