"""Answers to what to buy, as lines and JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from math import isfinite
from typing import Any

from underset.studies.coverage_table import Telling
from underset.studies.kit import Curve, Kit, KitCase, Limits, greatest_share, least_cost
from underset.studies.proof import Proof
from underset.studies.ways import needs_text

SCHEMA = "underset-kit/1"
UNHURRIED = Limits()


def asked_for(
    case: KitCase,
    curve: Curve,
    share: float | None,
    budget: float | None,
    limits: Limits = UNHURRIED,
) -> tuple[Kit, ...]:
    """The kits asked for; every point of the trade-off where neither share nor budget is named."""
    kits = [least_cost(case, share, limits)] if share is not None else []
    kits += [greatest_share(case, budget, limits)] if budget is not None else []
    return tuple(kits) or curve.points


def as_lines(kits: Sequence[Kit], telling: Telling, currency: str) -> list[str]:
    """Each kit: cost, share, whether proved, what to buy, what stays unserved."""
    lines = []
    for kit in kits:
        if not kit.proof.has_answer:
            reach = telling.part(kit.reachable) if isfinite(kit.reachable) else ""
            said = telling.word("out_of_reach", reach) if reach else telling.word("no_answer")
            lines.append(said)
            continue
        shown = telling.word("share", telling.part(kit.share))
        lines.append(f"{kit.cost:,.2f} {currency}: {shown} ({_proof(kit, telling, currency)})")
        bought = [f"{b.packs} × {telling.label(b.offer)}" for b in kit.buys]
        lines.append(
            f"    {telling.word('bought')}: {', '.join(bought) or telling.word('nothing')}"
        )
    return [*lines, *_unserved(kits, telling)]


def _proof(kit: Kit, telling: Telling, currency: str) -> str:
    """Whether it is proved; where it was stopped, what no purchase can beat, and the gap."""
    if kit.proof is not Proof.OPTIMAL:
        money = kit.goal.name == "cost"
        bound = f"{kit.goal.bound:,.2f} {currency}" if money else telling.part(kit.goal.bound)
        known = isfinite(kit.goal.bound)
        said = telling.word(f"stopped {kit.goal.name}", bound) if known else telling.word("stopped")
        return f"{said}; {telling.word('gap', f'{kit.goal.gap:.1%}')}" if known else said
    if kit.tie is not Proof.OPTIMAL:
        return f"{telling.word('proved')}; {telling.word(f'tie {kit.goal.name}')}"
    return telling.word("proved")


def _unserved(kits: Sequence[Kit], telling: Telling) -> list[str]:
    last = next((k for k in reversed(kits) if k.proof.has_answer), None)
    if last is None or not last.unserved:
        return []
    lines = [f"{telling.word('unserved')}:"]
    for u in last.unserved:
        lacks = f"{telling.word('lacks')} {needs_text(u.lacking, telling.labels)}"
        lines.append(
            f"    {telling.label(u.visit)}: {lacks if u.bay else telling.word('not_sold')}"
        )
    return lines


def as_json(kits: Sequence[Kit]) -> str:
    """Kits as JSON text; what has no figure is null."""
    content = {"schema": SCHEMA, "kits": [_kit(k) for k in kits]}
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _figure(x: float) -> float | None:
    return x if isfinite(x) else None


def _kit(kit: Kit) -> dict[str, Any]:
    return {
        "proof": kit.proof.value,
        "cost": _figure(kit.cost),
        "share": _figure(kit.share),
        "bound": _figure(kit.goal.bound),
        "gap": _figure(kit.goal.gap),
        "buy": [
            {"offer": b.offer, "where": b.where, "packs": b.packs, "price": b.price}
            for b in kit.buys
        ],
        "served": [{"vehicle": s.visit, "bay": s.bay} for s in kit.served],
        "unserved": [u.visit for u in kit.unserved],
    }
