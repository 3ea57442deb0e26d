"""Sentences that refuse or doubt a figure: complete in both languages, with the same figures."""

from __future__ import annotations

import ast
import json
import pickle
import re
from copy import deepcopy
from pathlib import Path
from string import Formatter

import pytest

import underset
from underset.app import wording
from underset.app.words_sentences_de import SENTENCES_DE
from underset.errors import InputError, Said, said
from underset.records import Complaint
from underset.store import refusals
from underset.store.refusals import refusal
from underset.units import parse_quantity

SENTENCES_OF_THE_STORE = {
    name: text
    for name, text in vars(refusals).items()
    if name.strip("_").isupper() and isinstance(text, str) and " " in text
}
SOURCE = Path(underset.__file__).parent
# Where the sentences are made that the pages of data entry show.
MODULES = (
    "units.py", "records/base.py", "records/validating.py", "records/crosscheck.py",
    "records/bulk.py", "records/sheets.py", "app/tracing.py", "app/entry.py", "app/entry_rows.py",
    "store/verify.py", "app/parked.py", "planner/tape.py", "web/forms.py", "web/pages/trace.py",
    *(f"records/plausibility/{n}.py" for n in
      ("__init__", "common", "vehicle", "weights", "points", "bay", "adapter", "shop")),
)  # fmt: skip
# Texts with spaces that are no sentences: patterns, units, words of files, titles of sources.
NO_SENTENCE = {
    "N m/deg", "kN m/deg", "N m/rad", "not given", "zero or more", "all doors", "doors and lids",
    "common practice, no source", "shop policy", "file name", "tape readings", "whole number",
    "record changed", "{kind} {id}",
    "Value error, ", "no ending", "Lifting points", "maker's document", "parked as",
    "LF tyre", "LR tyre",
    "RF tyre", "RR tyre", " (from memory)", "+-0123456789.eE± /",
}  # fmt: skip
TITLES = ("AllCarsDB", "NHTSA", "emobpy", "UCI", "DGUV")

REFUSALS = ("InputError", "StoreError", "ConflictError", "DeniedError", "HTTPException", "refusal")
# Refusals made here are met at the command line or by programs alone, which are told in English.
NO_PAGE = {
    "app/weigh.py", "app/keeping.py", "app/likely.py", "app/rendering.py", "app/stops.py",
    "app/studying.py", "app/vehicles.py",
    "store/backup.py", "store/portable.py", "store/migrate.py", "store/engines.py",
    "store/store.py", "store/canonical.py", "web/api/server.py", "web/api/book.py",
}  # fmt: skip
PAGES = sorted(
    str(path.relative_to(SOURCE))
    for folder in ("app", "store", "web")
    for path in (SOURCE / folder).rglob("*.py")
)


def texts(tree: ast.AST) -> set[str]:
    """Every text of a module that is no docstring and no part of an f-string."""
    skip: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            skip |= {id(part) for part in ast.walk(node)}
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            first = node.body[0] if node.body else None
            skip |= {id(first.value)} if isinstance(first, ast.Expr) else set()
    found = {n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and id(n) not in skip}
    return {t for t in found if isinstance(t, str)}


def sentences(module: str) -> set[str]:
    found = texts(ast.parse((SOURCE / module).read_text("utf-8")))
    plain = {t for t in found if " " in t.strip() and any(c.isalpha() for c in t)}
    return {
        t for t in plain - NO_SENTENCE if not t.startswith(TITLES) and not set(t) & set("\\|^*")
    }


def placeholders(text: str) -> dict[str, str]:
    return {name: spec or "" for _, name, spec, _ in Formatter().parse(text) if name}


@pytest.mark.parametrize("module", MODULES)
def test_every_sentence_has_its_german(module: str) -> None:
    missing = sorted(sentences(module) - set(SENTENCES_DE))
    assert missing == []


def test_german_takes_the_figures_of_the_english() -> None:
    for english, german in SENTENCES_DE.items():
        told, original = placeholders(german), placeholders(english)
        assert told.items() <= original.items(), english
        dropped = set(original) - set(told)
        assert dropped <= {"kind", "meaning"}, english


def test_no_german_sentence_is_left_over() -> None:
    used: set[str] = set()
    for path in SOURCE.rglob("*.py"):
        if path.name != "words_sentences_de.py":
            used |= texts(ast.parse(path.read_text("utf-8")))
    starlette = {"Not Found", "Method Not Allowed"}
    left = {k for k in SENTENCES_DE if " " in k} - used - starlette
    spelt = {"track front", "track rear", "tyre width", "tyre diameter", "width mirrors",
             "overhang front", "sill height"}  # fmt: skip
    assert left <= spelt


@pytest.mark.parametrize("module", MODULES)
def test_no_figure_is_written_into_a_sentence_for_good(module: str) -> None:
    """An f-string could not be told again in another language."""
    tree = ast.parse((SOURCE / module).read_text("utf-8"))
    for node in ast.walk(tree):
        name = getattr(getattr(node, "func", None), "id", "")
        if isinstance(node, ast.Call) and name in ("InputError", "Complaint", "_complaint"):
            for part in node.args[2:5]:
                assert not isinstance(part, ast.JoinedStr), ast.unparse(node)


def refused_with(module: str) -> list[ast.expr]:
    """Every argument of every refusal a module makes."""
    calls = [
        node
        for node in ast.walk(ast.parse((SOURCE / module).read_text("utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in REFUSALS
    ]
    return [part for call in calls for part in call.args]


def test_whatever_a_page_is_refused_with_has_its_german() -> None:
    """Wherever an error is made that a page can show: plain or by `said`, and worded."""
    fixed, missing = [], []
    for module in sorted(set(PAGES) - NO_PAGE):
        for part in refused_with(module):
            fixed += [(module, ast.unparse(p)) for p in ast.walk(part) if is_sentence(p)]
            told = {t for t in texts(part) if re.search("[a-z]{2}", t) and " " in t.strip()}
            missing += [(module, t) for t in sorted(told - set(SENTENCES_DE) - NO_SENTENCE)]
    assert (fixed, missing) == ([], [])


def is_sentence(node: ast.AST) -> bool:
    """Whether figures are written into words for good."""
    words = [p.value for p in getattr(node, "values", ()) if isinstance(p, ast.Constant)]
    return isinstance(node, ast.JoinedStr) and any(re.search("[a-z]{3}", str(w)) for w in words)


def test_a_refusal_of_the_store_is_told_in_german() -> None:
    told = refusal(OSError(28, "No space left on device"), "/shop/book.db").message
    assert wording.worded(told, "de") == (
        "Der Datenträger von /shop/book.db ist voll. Von dieser Änderung wurde nichts gespeichert; "
        "was vorher gespeichert war, ist sicher. Platz schaffen, dann noch einmal."
    )


def test_every_refusal_of_a_database_has_its_german() -> None:
    assert len(SENTENCES_OF_THE_STORE) > 12
    assert sorted(set(SENTENCES_OF_THE_STORE.values()) - set(SENTENCES_DE)) == []


def test_a_sentence_is_a_text_that_survives_copies() -> None:
    one = said("no {kind} here is greater than {bound:g} {unit}", kind="mass", bound=6e4, unit="kg")
    assert isinstance(one, Said)
    assert one == "no mass here is greater than 60000 kg"
    for again in (deepcopy(one), pickle.loads(pickle.dumps(one))):
        assert (again, again.template, again.figures) == (one, one.template, one.figures)
    assert json.loads(json.dumps(one)) == one
    assert wording.worded(one, "de") == "Masse: hier ist nichts größer als 60000 kg"
    assert wording.worded(one, "en") == one


def test_what_has_no_words_stays_as_it_is() -> None:
    assert wording.worded("harbour-hatch", "de") == "harbour-hatch"
    assert wording.worded("Measure again.", "fr") == "Measure again."


def test_an_error_and_a_complaint_in_one_line() -> None:
    with pytest.raises(InputError) as caught:
        parse_quantity("2600", "length", field="wheelbase")
    assert wording.refused(caught.value, "de") == (
        "wheelbase: erhalten „2600“; Länge mit Einheit schreiben, etwa „2600 mm“ oder „102.4 in“. "
        "Eine bloße Zahl könnte jede Einheit haben."
    )
    assert wording.refused(caught.value, "en").startswith("wheelbase: received “2600”; a length is")
    odd = Complaint("weights", "30 %", "a figure mistyped", "axles swapped", "Weigh again.")
    assert wording.doubted(odd, "de") == (
        "weights = 30 %: ein Wert vertippt. Vermutlich: Achsen vertauscht. Neu wiegen."
    )
    assert wording.doubted(odd, "en") == str(odd)


def test_the_seat_of_an_arm_has_one_german_word() -> None:
    """Telleraufnahme; a contact is an Auflage, a place of the vehicle an Aufnahmepunkt."""
    files = [*SOURCE.rglob("*words*.py"), *SOURCE.rglob("wording_de.py")]
    for path in files:
        assert not re.search(r"\b(Sitz|Aufnahme)(e|es|en|n|höhe)?\b|Auflagehöhe", path.read_text())
