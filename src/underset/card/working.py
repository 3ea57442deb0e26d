"""The working: the whole result with every formula, its figures and its source, as one view.

For trainer and inspector. `working_pages` writes its blocks as Markdown, HTML and PDF.
"""

from __future__ import annotations

from underset.card.build import About, checks_by_name, outcome_word, proved, verdict, worst
from underset.card.cautions import KEYS
from underset.card.figures import Figures
from underset.card.record import plan_digest
from underset.card.view import Block, Formula, Heading, Items, Para, Table, WorkingView
from underset.card.words import words_in
from underset.card.writer import Writer
from underset.setting import (
    CHECKS,
    CORNERS,
    GROUPS,
    ArmSetting,
    Check,
    Evaluation,
    Plan,
    Setting,
    StateResult,
    figure_name,
    source_word,
)


def working_view(
    plan: Plan, about: About | None = None, *, units: str = "metric", language: str = "en"
) -> WorkingView:
    """The working of a plan. Raises InputError for an unknown unit system or language."""
    w = Writer(Figures(units, language), words_in(language))
    about = about or About()
    best = plan.best
    vehicle = about.vehicle or (best.setting.vehicle if best else "")
    bay = about.bay or (best.setting.bay if best else "")
    digest = about.digest or plan_digest(plan)
    blocks = [*_summary(w, plan)]
    if best is not None:
        blocks += [*_setting(w, best.setting, proved(plan)), *_states(w, best), *_checks(w, best)]
    blocks += [*_search(w, plan), *_hold_points(w, plan), *_cautions(w), *_sources(w)]
    return WorkingView(
        language=language,
        units=units,
        title=": ".join((w.words["work.title"], ", ".join(x for x in (vehicle, bay) if x) or "–")),
        status=w.status(worst(plan)),
        verdict=verdict(w, plan),
        invented=w.words["invented"] if plan.invented else "",
        advice=w.words["advice"],
        page=w.words["titles.page"],
        tool=" · ".join(x for x in (w.tool, about.date, about.reference, digest[:16]) if x),
        blocks=tuple(blocks),
    )


# --- summary and setting --------------------------------------------------------------------------


def _summary(w: Writer, plan: Plan) -> list[Block]:
    words = w.words
    rows = (
        (words["work.status"], f"{words[f'status.{worst(plan).value}']}, {outcome_word(w, plan)}"),
        (words["work.candidates"], w.figures.number(plan.candidates)),
    )
    heads = (words["work.item"], words["work.value"])
    return [Heading(2, words["work.summary"]), Table(heads, rows), Para(words["work.units"])]


def _setting(w: Writer, s: Setting, held: bool) -> list[Block]:
    f, words = w.figures, w.words
    windows = [f.span(*s.window), f.span(*s.fixed_window)]
    if not held:
        windows = [words.fill("spot.unproved.mark", span=span) for span in windows]
    rows = (
        (words["vehicle"], s.vehicle),
        (words["bay"], s.bay),
        (words["job"], s.job or words["job.none"]),
        (words["heading"], words.named("heading", s.heading)),
        (words["point_set"], s.point_set),
        (words["work.spot"], f.fine_length(s.spot)),
        (words["work.window"], windows[0]),
        (words["work.fixed"], windows[1]),
        (words["work.sideways"], f.fine_length(s.sideways)),
        (words["work.yaw"], f.angle(s.yaw)),
        (words["seat"], f.fine_length(s.seat)),
    )
    return [
        Heading(2, words["work.setting"]),
        Table((words["work.item"], words["work.value"]), rows),
        Heading(3, words["work.arms"]),
        _arms(w, s),
        Heading(3, words["work.stacks"]),
        _stacks(w, s),
    ]


def _arms(w: Writer, s: Setting) -> Table:
    words, t = w.words, ("corner", "arm", "pad", "off")
    corner, arm, pad, off = (words[f"work.{name}"] for name in t)
    heads = (
        corner,
        arm,
        words["corner.tooth"],
        words["corner.swing"],
        words["corner.reach"],
        pad,
        off,
    )
    return Table(heads, tuple(_arm_row(w, a) for a in s.arms))


def _arm_row(w: Writer, a: ArmSetting) -> tuple[str, ...]:
    f = w.figures
    return (
        a.corner,
        w.words.named("arm", a.arm),
        w.words["corner.no_tooth"] if a.tooth is None else str(a.tooth),
        f.angle(a.swing),
        f.fine_length(a.reach),
        f"{f.fine_length(a.pad[0])}, {f.fine_length(a.pad[1])}",
        f"{f.fine_length(a.along)}, {f.fine_length(a.across)}",
    )


def _stacks(w: Writer, s: Setting) -> Table:
    f, words = w.figures, w.words
    heads = tuple(words[f"work.{n}"] for n in ("corner", "piece", "from", "to", "screw", "turns"))
    rows = tuple(
        (
            a.corner,
            p.label,
            f.fine_length(p.bottom),
            f.fine_length(p.top),
            f.fine_length(p.screw) if p.role == "head" or p.screw else "–",
            f.turns(p.turns),
        )
        for a in s.arms
        for p in a.stack
    )
    return Table(heads, rows)


# --- states ---------------------------------------------------------------------------------------


def _states(w: Writer, best: Evaluation) -> list[Block]:
    blocks: list[Block] = [Heading(2, w.words["work.states"]), Para(w.words["work.residuals.note"])]
    for number, state in enumerate(best.states):
        blocks += _state(w, number, state)
    return blocks


def _state(w: Writer, number: int, state: StateResult) -> list[Block]:
    title = f"{number}. {w.step(state)}: {w.words[f'status.{state.status.value}']}"
    if not state.known:
        return [Heading(3, title), Para(w.words["work.void"])]
    heads = (w.words["work.item"], w.words["work.value"])
    return [Heading(3, title), Table(heads, _balance(w, state)), _pads(w, state)]


def _balance(w: Writer, state: StateResult) -> tuple[tuple[str, str], ...]:
    f, words, r = w.figures, w.words, state.residuals
    x, y, z = state.cg_vehicle
    mass = f"{f.mass(state.mass)} ({f.mass_range(state.mass_low, state.mass_high)})"
    return (
        (words["work.mass"], mass),
        (words["work.cg"], _coordinates(w, state.cg)),
        (words["work.low"], _coordinates(w, state.cg_low)),
        (words["work.high"], _coordinates(w, state.cg_high)),
        (words["work.cg_vehicle"], _coordinates(w, (-x, y, z))),
        (words["work.residuals"], f"{r.force:.1e} N, {r.moment_x:.1e} N m, {r.moment_y:.1e} N m"),
    )


def _pads(w: Writer, state: StateResult) -> Table:
    f, words = w.figures, w.words
    heads = (words["work.pads"], words["work.nominal"], words["work.low"], words["work.high"])
    pads = tuple(
        (corner, f.force(p.nominal), f.force(p.low, "down"), f.force(p.high, "up"))
        for corner, p in zip(CORNERS, state.pads, strict=True)
    )
    supports = tuple(
        (f"{words.named('support', s.kind)} {s.name}", f.force(s.force), "", "")
        for s in state.supports
    )
    return Table(heads, pads + supports)


def _coordinates(w: Writer, place: tuple[float, float, float]) -> str:
    return ", ".join(w.figures.fine_length(c) for c in place)


# --- checks ---------------------------------------------------------------------------------------


def _checks(w: Writer, best: Evaluation) -> list[Block]:
    """Every check of every state, by group, with formula, figures, limit and source."""
    blocks: list[Block] = [Heading(2, w.words["work.checks"])]
    by_name = checks_by_name(best)
    known = [n for g in GROUPS for n, kind in CHECKS.items() if kind.group == g and n in by_name]
    for name in (*known, *(n for n in by_name if n not in CHECKS)):
        blocks += _check(w, name, by_name[name])
    return blocks


def _check(w: Writer, name: str, found: list[tuple[StateResult, Check]]) -> list[Block]:
    words, kind = w.words, CHECKS.get(name)
    group = words[f"group.{kind.group}"] if kind else words["group.other"]
    blocks: list[Block] = [Heading(3, f"{group}: {w.title(name)}")]
    if kind is not None:
        blocks.append(Formula(words["work.formula"], kind.formula))
    blocks.append(Table(_check_heads(w), tuple(_check_row(w, s, c) for s, c in found)))
    sources = tuple(dict.fromkeys(source for _, c in found for source in c.sources))
    cited = f" {w.cite(sources)}" if sources else ""
    worst_one = min(found, key=lambda pair: _by_slack(pair[1]))[1]
    blocks.append(Para(w.say(worst_one) + cited))
    return blocks


def _by_slack(check: Check) -> float:
    return check.slack if check.slack is not None else 1e9


def _check_heads(w: Writer) -> tuple[str, ...]:
    names = ("state", "where", "demand", "limit", "margin", "status", "inputs")
    return tuple(w.words[f"work.{name}"] for name in names)


def _check_row(w: Writer, state: StateResult, c: Check) -> tuple[str, ...]:
    f = w.figures
    found = f.in_kind(c.demand, c.unit)
    if c.nominal is not None:
        found += f" ({w.words['work.nominal']} {f.in_kind(c.nominal, c.unit)})"
    used = "; ".join(_figure(w, *given) for given in c.inputs)
    return (
        w.step(state),
        w.where(c) or "–",
        found,
        f.in_kind(c.limit, c.unit),
        f.in_kind(c.margin, c.unit),
        w.words[f"status.{c.status.value}"],
        used or "–",
    )


def _figure(w: Writer, name: str, value: float | str, unit: str) -> str:
    language = w.figures.language
    told = value if isinstance(value, str) else w.figures.in_kind(value, unit)
    return f"{figure_name(name, language)} = {source_word(told, language)}"


# --- search, hold points, cautions, sources -------------------------------------------------------


def _search(w: Writer, plan: Plan) -> list[Block]:
    words, t = w.words, "titles."
    blocks: list[Block] = [Heading(2, words["work.search"])]
    if plan.choices:
        blocks += [Heading(3, words["work.choices"]), _choices(w, plan)]
    if plan.refusals:
        rows = tuple(
            (
                w.title(r.check),
                r.bay or "–",
                w.figures.number(r.count),
                w.say(r.nearest) if r.nearest else "–",
            )
            for r in plan.refusals
        )
        heads = (words[t + "refusals"], words["bay"], words["work.count"], words[t + "nearest"])
        blocks.append(Table(heads, rows))
    remedies = tuple(
        f"{r.text} ({words[f'outcome.{r.outcome.value}']}){_details(w, r.details)}"
        for r in plan.remedies
    )
    missing = tuple(f"{m.record}: {m.field}. {m.why}. {m.how}".strip() for m in plan.missing)
    for name, items in (("remedies", remedies), ("missing", missing), ("notes", plan.notes)):
        if items:
            blocks += [Heading(3, words[t + name]), Items(items)]
    return blocks if len(blocks) > 1 else []


def _details(w: Writer, details: tuple[tuple[str, str], ...]) -> str:
    return "".join(f"; {name}: {w.figures.token(value)}" for name, value in details)


def _choices(w: Writer, plan: Plan) -> Table:
    words, f = w.words, w.figures
    heads = (
        words["bay"],
        words["heading"],
        words["point_set"],
        words["work.status"],
        words["work.slack"],
        words["work.spot"],
        words["work.window"],
    )
    rows = tuple(
        (
            c.bay,
            words.named("heading", c.heading),
            c.point_set,
            words[f"status.{c.status.value}"],
            f.number(c.least_slack, 3),
            f.fine_length(c.spot),
            f.span(*c.window),
        )
        for c in plan.choices
    )
    return Table(heads, rows)


def _hold_points(w: Writer, plan: Plan) -> list[Block]:
    if not plan.hold_points:
        return []
    rows = []
    for number, h in enumerate(plan.hold_points, start=1):
        facts = "; ".join(f"{name} {w.figures.token(value)}" for name, value in h.facts)
        title = f"{h.corner}: {h.title}" if h.corner else h.title
        rows.append(
            (
                str(number),
                title,
                h.text,
                facts or "–",
                w.words["titles.signature"] if h.sign else "–",
            )
        )
    names = ("number", "hold_point", "how", "facts", "sign")
    heads = tuple(w.words[f"work.{name}"] for name in names)
    return [Heading(2, w.words["work.hold_points"]), Table(heads, tuple(rows))]


def _cautions(w: Writer) -> list[Block]:
    items = tuple(w.words[f"caution.{key}"] for key in KEYS)
    return [Heading(2, w.words["work.cautions"]), Items(items)]


def _sources(w: Writer) -> list[Block]:
    if not w.sources:
        return []
    items = tuple(f"[{number}] {text}" for text, number in w.sources.items())
    return [Heading(2, w.words["titles.sources"]), Items(items)]
