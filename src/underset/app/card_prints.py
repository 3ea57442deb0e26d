"""Cards for paper: each is written down with who asked for it, its plan and the form of the file.

Decision: no key makes two of them one, because every card handed out is one more paper.
"""

from __future__ import annotations

from underset.app.kept_plans import papers_of, plan_again, write_plan
from underset.app.planning import Wish
from underset.app.shop import Actor, Shop
from underset.errors import NotFoundError
from underset.store import CardPrinted, Payload, Query, RunStarted, payload_from


def print_kept(shop: Shop, plan: str, kind: str, by: Actor, run: str = "") -> None:
    """Write down that the card of a plan of the book is printed; `kind` is pdf, svg or html.

    Raises NotFoundError for a plan the book does not have and for a run that is not of this plan,
    and what `plan_again` raises for a plan whose card cannot be drawn.
    """
    plan_again(shop, plan)
    if run and run not in (runs := _runs_of(shop, plan)):
        raise NotFoundError("run", run, runs)
    shop.write_down(_printed(plan, kind, run), by)


def _runs_of(shop: Shop, plan: str) -> tuple[str, ...]:
    started = shop.events(Query(kinds=(RunStarted.KIND,), subject=f"plan/{plan}")).events
    return tuple(str(event.payload["run"]) for event in started)


def _printed(plan: str, kind: str, run: str = "") -> Payload:
    return payload_from(CardPrinted.KIND, {"plan": plan, "run": run or None, "form": kind.upper()})


def print_new(shop: Shop, wish: Wish, kind: str, by: Actor) -> str:
    """Keep the plan of now with its papers, write down that its card is printed; its name."""
    workshop, planned = shop.plan_now(wish, by.person)
    papers = papers_of(workshop, planned)
    with shop.store.write(by) as tx:
        plan = write_plan(tx, planned, papers)
        tx.book.append(_printed(plan, kind))
    return plan
