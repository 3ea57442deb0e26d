"""The arrows: who may import whom, held over every import of every module.

Imports inside functions and imports for type checkers only count like any other.
"""

from __future__ import annotations

import importlib
import inspect
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.contracts.source_tree import SOURCE, Import, exported, imports, module_of, modules

# A package may import its own level's neighbours and everything on the levels below.
LEVELS = (
    ("web", "cli"),
    ("app",),
    ("card", "studies", "job", "planner", "store"),
    ("setting",),
    ("geometry", "statics", "records"),
    ("units", "sources"),
    ("errors",),
)
PLACES = [name for level in LEVELS for name in level]

# Narrower than the levels: the only ones of ours that these may import, themselves included.
ONLY = {
    "geometry": {"geometry", "errors"},
    "statics": {"statics", "errors"},
    "records": {"records", "units", "sources", "errors"},
    "errors": {"errors"},
}
# Never, whatever the levels say.
NEVER = {
    "web": {"cli"},
    "card": {"geometry", "statics", "store"},
}
# The only ones who may import these.
IMPORTERS = {"store": {"store", "app"}, "cli": {"cli", "__main__"}, "web": {"web", "cli"}}

# Modules of pure arithmetic, which a compiler may take as they are: open beside the package itself.
OPEN_MODULES = "kernels"

HEAVY = (
    *("numpy", "scipy", "shapely", "ortools", "highspy", "numba", "pandas", "pyarrow", "dask"),
    *("typst", "segno", "sqlalchemy", "alembic", "fastapi", "uvicorn", "openpyxl", "jinja2"),
)

Rule = Callable[[list[Import], dict[str, Path]], list[str]]


def place(module: str) -> str:
    """The package of ours that a module belongs to; empty for the root."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else ""


def ours(found: list[Import], known: dict[str, Path]) -> list[tuple[Import, str]]:
    reached = [(one, module_of(one, known)) for one in found]
    return [(one, module) for one, module in reached if module and place(module)]


def level(name: str) -> int:
    return next(index for index, level in enumerate(LEVELS) if name in level)


# --- the rules: each gives the offences it finds --------------------------------------------------


def against_the_arrows(found: list[Import], known: dict[str, Path]) -> list[str]:
    offences = []
    for one, module in ours(found, known):
        source, target = place(one.importer), place(module)
        if source in ("", "__main__") or source == target:
            continue
        upward = level(target) < level(source)
        outside = target not in ONLY.get(source, set(PLACES)) or target in NEVER.get(source, set())
        if upward or outside:
            offences.append(str(one))
    return offences


def by_the_wrong_importer(found: list[Import], known: dict[str, Path]) -> list[str]:
    return [
        str(one)
        for one, module in ours(found, known)
        if place(one.importer) not in IMPORTERS.get(place(module), {place(one.importer)})
    ]


def past_the_front_door(found: list[Import], known: dict[str, Path]) -> list[str]:
    """Names of another package that its __init__ does not list, wherever they are taken from."""
    doors = {name: exported(known[f"underset.{name}"]) for name in {place(m) for m in known} - {""}}
    return [
        str(one)
        for one, module in ours(found, known)
        if place(one.importer) != place(module)
        and is_package(place(module), known)
        and not module.endswith(OPEN_MODULES)
        and (one.name or module) not in doors[place(module)]
        and one.target != f"underset.{place(module)}"
    ]


def is_package(name: str, known: dict[str, Path]) -> bool:
    return known[f"underset.{name}"].name == "__init__.py"


def cycles(found: list[Import], known: dict[str, Path]) -> list[str]:
    """Modules that reach themselves again, and packages that do."""
    edges = {(one.importer, module) for one, module in ours(found, known)}
    between = {(place(a), place(b)) for a, b in edges if place(a) != place(b)}
    return [" <-> ".join(ring) for graph in (edges, between) for ring in rings(graph)]


def rings(edges: set[tuple[str, str]]) -> list[list[str]]:
    """Strongly connected groups of more than one node, and nodes that point at themselves."""
    after: dict[str, set[str]] = {}
    for source, target in edges:
        after.setdefault(source, set()).add(target)
    reach = {node: reachable(node, after) for node in after}
    looped = {node for node in after if node in reach[node]}
    groups = {
        tuple(sorted(n for n in looped if n in reach[node] and node in reach[n])) for node in looped
    }
    return [list(group) for group in sorted(groups)]


def reachable(start: str, after: dict[str, set[str]]) -> set[str]:
    seen: set[str] = set()
    waiting = list(after.get(start, ()))
    while waiting:
        node = waiting.pop()
        if node not in seen:
            seen.add(node)
            waiting += after.get(node, ())
    return seen


RULES = [against_the_arrows, by_the_wrong_importer, past_the_front_door, cycles]


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_imports_hold(rule: Rule) -> None:
    offences = rule(imports(), modules())
    assert not offences, "\n".join(["", *offences])


def test_every_package_has_a_place_in_the_arrows_and_is_there() -> None:
    found = {place(name) for name in modules()} - {"", "__main__"}
    assert sorted(found) == sorted(PLACES)


def test_the_root_package_imports_nothing_of_ours() -> None:
    assert [one for one, _ in ours(imports(), modules()) if one.importer == "underset"] == []


# --- the rules can fail ---------------------------------------------------------------------------

PLANTED = {
    "numbers know a record": (
        {
            "geometry/arm.py": "def f():\n    from underset.records import Lift\n",
            "records/a.py": "",
        },
        against_the_arrows,
    ),
    "upward, for type checkers only": (
        {
            "setting/a.py": "if TYPE_CHECKING:\n    from underset.planner import Plan\n",
            "planner/a.py": "",
        },
        against_the_arrows,
    ),
    "relative import upward": (
        {"records/a.py": "from ..setting import build\n", "setting/build.py": ""},
        against_the_arrows,
    ),
    "page reads the store": (
        {"web/a.py": "import underset.store\n", "store/a.py": ""},
        by_the_wrong_importer,
    ),
    "reaching inside": (
        {
            "planner/a.py": "from underset.setting.build import numbers, hidden\n",
            "setting/build.py": "",
            "setting/__init__.py": "from underset.setting.build import numbers\n"
            "__all__ = ['numbers']\n",
        },
        past_the_front_door,
    ),
    "two modules in a ring": (
        {"job/a.py": "import underset.job.b\n", "job/b.py": "from underset.job import a\n"},
        cycles,
    ),
    "two packages in a ring": (
        {
            "job/a.py": "from underset.planner import x\n",
            "planner/a.py": "",
            "planner/b.py": "def f():\n    from underset.job import a\n",
        },
        cycles,
    ),
}


@pytest.mark.parametrize("case", PLANTED)
def test_a_planted_offence_is_found(case: str, tmp_path: Path) -> None:
    files, rule = PLANTED[case]
    write_tree(tmp_path, files)
    assert len(rule(imports(tmp_path), modules(tmp_path))) == 1


def write_tree(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        path = folder / "underset" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
        for package in (path.parent, folder / "underset"):
            (package / "__init__.py").touch()


# --- the card computes nothing --------------------------------------------------------------------


def test_the_card_takes_types_and_no_functions() -> None:
    """What the card brings in from above the units is a class, a value or a module of results."""
    known = modules()
    computing = [
        str(one)
        for one, module in ours(imports(), known)
        if place(one.importer) == "card"
        and place(module) not in ("card", "units", "sources", "errors")
        and is_function(one)
    ]
    assert computing == []


# Sentences and names are words, not figures.
SPEAKING = {"figure_name", "note_text", "place", "say", "source_word", "step_word", "title"}


def is_function(one: Import) -> bool:
    if place(one.module) == "setting" and one.name in SPEAKING:
        return False
    thing = getattr(importlib.import_module(one.module), one.name or "", None)
    return inspect.isroutine(thing)


# --- nothing heavy on the way to the command line -------------------------------------------------


@pytest.mark.parametrize("module", ["underset.cli", "underset.app", "underset.records"])
def test_importing_brings_in_nothing_heavy(module: str) -> None:
    program = f"import sys, {module}; print(*sorted({{m.split('.')[0] for m in sys.modules}}))"
    variables = {**os.environ, "PYTHONPATH": str(SOURCE)}
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, env=variables, check=False
    )
    assert done.returncode == 0, done.stderr
    assert [name for name in done.stdout.split() if name in HEAVY] == []
