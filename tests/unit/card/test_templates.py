"""Templates use what the views declare, all of it and nothing else."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from tests.card_cases import CASES, found, incomplete, job, refused
from underset.card.build import About, build_view
from underset.card.html import _art, template
from underset.card.pdf import card_inputs, compiled
from underset.card.view import CardView, Picture
from underset.errors import RenderError

ABOUT = About("Hatch", "Bay 1", "Clutch", "Quayside", "2025-11-25", "U-7")

# What one form of the page leaves out on purpose, with the reason.
NOT_IN_HTML = {
    "SourceLine.number": "",
    "Titles.more": "nothing is left out of the page",
    "Titles.page": "one page",
    "CardView.qr": "drawn beforehand",
    "CardView.picture": "drawn beforehand",
}
NOT_IN_TYPST = {
    "Titles.side_view": "no room for captions",
    "Titles.plan_view": "no room for captions",
    "Titles.front_view": "the view from the entrance is left to the screen",
    "Titles.corners": "the boxes speak for themselves",
    "Titles.page": "one page",
    "Titles.stack": "no room",
    "StackPiece.height": "the whole stack's height stands below",
    "StackPiece.screw": "stands in the box",
    "HoldLine.text": "no room: how it is done stands in the working",
    "CardView.qr": "drawn beforehand",
    "CardView.picture": "drawn beforehand",
    "CardView.outcome": "told by its word",
    "CardView.units": "told in the figures",
}


class Watched:
    """A view that notes which of its fields a template asks for."""

    def __init__(self, value: Any, asked: set[str]) -> None:
        self._value, self._asked = value, asked

    def __getattr__(self, name: str) -> Any:
        if name.startswith("_"):
            raise AttributeError(name)
        value = getattr(self._value, name)
        self._asked.add(f"{type(self._value).__name__}.{name}")
        return watched(value, self._asked)


def watched(value: Any, asked: set[str]) -> Any:
    if is_dataclass(value):
        return Watched(value, asked)
    if isinstance(value, tuple):
        return [watched(item, asked) for item in value]
    return value


def views() -> list[CardView]:
    return [build_view(make(), ABOUT) for make in (found, job, refused, incomplete)]


def declared(value: Any) -> set[str]:
    """Every field of a view and of what it holds."""
    if isinstance(value, tuple):
        return set().union(*(declared(item) for item in value))
    if not is_dataclass(value) or isinstance(value, Picture):
        return set()
    own = {f"{type(value).__name__}.{f.name}" for f in fields(value)}
    return own.union(*(declared(getattr(value, f.name)) for f in fields(value)))


def test_the_page_asks_for_every_declared_field() -> None:
    asked: set[str] = set()
    for view in views():
        template("card.html").render(card=Watched(view, asked), art=_art(view))
    wanted = set().union(*(declared(v) for v in views()))
    assert wanted - asked == {k for k, why in NOT_IN_HTML.items() if why}


def paths(value: Any, prefix: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every key of nested data; in lists only those of the first item."""
    if isinstance(value, list):
        return paths(value[0], (*prefix, 0)) if value else []
    if not isinstance(value, dict):
        return []
    own = [(*prefix, key) for key in value]
    return own + [p for key, item in value.items() for p in paths(item, (*prefix, key))]


def without(value: Any, path: tuple[Any, ...]) -> Any:
    """The data without one key, in every item of the lists on its way."""
    if isinstance(value, list):
        return [without(item, path[1:]) for item in value]
    head, rest = path[0], path[1:]
    if not rest:
        return {k: v for k, v in value.items() if k != head}
    return {k: without(v, rest) if k == head else v for k, v in value.items()}


KINDS = {
    "status": "StatusView", "bay": "Fact", "vehicle": "Fact", "job": "Fact", "heading": "Fact",
    "seat": "Fact", "rise": "Fact", "point_set": "Fact", "spot": "Spot", "corners": "CornerBox",
    "pieces": "StackPiece", "states": "StateRow", "checks": "CheckLine", "hold_points": "HoldLine",
    "refusals": "RefusalLine", "remedies": "RemedyLine", "missing": "MissingLine",
    "sources": "SourceLine", "titles": "Titles",
}  # fmt: skip


def named(path: tuple[Any, ...]) -> str:
    owners = [p for p in path[:-1] if p != 0]
    return f"{KINDS[owners[-1]] if owners else 'CardView'}.{path[-1]}"


def crowded() -> CardView:
    """A view in which every list has an item, so that one run of the template meets every field."""
    full, bare = build_view(job(), ABOUT), build_view(refused(), ABOUT)
    piece = replace(full.corners[0].pieces[0], screw="x")
    box = replace(full.corners[0], pieces=(piece,))
    return replace(
        full,
        corners=(box, *full.corners[1:]),
        refusals=bare.refusals,
        remedies=bare.remedies,
        missing=build_view(incomplete()).missing,
        notes=("note",),
    )


def sets(view_text: str, art_text: str) -> bool:
    try:
        compiled("card.typ", {"view": view_text, "art": art_text}, "svg")
    except RenderError:
        return False
    return True


@pytest.fixture(scope="module")
def inputs() -> tuple[Any, str, Any, str]:
    full = card_inputs(crowded())
    bare = card_inputs(replace(crowded(), has_setting=False))
    return json.loads(full["view"]), full["art"], json.loads(bare["view"]), bare["art"]


def test_the_paper_asks_for_every_declared_field_but_those_named(inputs: Any) -> None:
    """Typst refuses a key that is not there: a field whose absence goes unnoticed is not used."""
    view, art, bare, bare_art = inputs
    unused = set()
    for path in paths(view):
        name = named(path)
        if name in NOT_IN_TYPST or (
            sets(json.dumps(without(view, path)), art)
            and sets(json.dumps(without(bare, path)), bare_art)
        ):
            unused.add(name)
    assert unused == set(NOT_IN_TYPST) - {"CardView.picture"}


@pytest.mark.parametrize("name", CASES)
def test_the_paper_asks_for_nothing_that_is_not_declared(name: str) -> None:
    inputs = card_inputs(build_view(CASES[name](), ABOUT))
    assert sets(inputs["view"], inputs["art"])
