"""Each package says in __all__ what others may use, and that list is true."""

from __future__ import annotations

import ast
import importlib
from pathlib import Path

import pytest

from tests.contracts.source_tree import imports, modules, parse

PACKAGES = sorted(
    name for name, path in modules().items() if path.name == "__init__.py" and name.count(".") == 1
)


def public_names(path: Path) -> set[str]:
    """Names of ours that the top of a module binds, without those that begin with an underscore."""
    names: set[str] = set()
    for node in parse(path).body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("underset"):
            names |= {alias.asname or alias.name for alias in node.names}
        elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.Assign):
            names |= {one.id for one in node.targets if isinstance(one, ast.Name)}
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names.add(node.target.id)
    return {name for name in names if not name.startswith("_")}


@pytest.mark.parametrize("package", PACKAGES)
def test_a_package_lists_its_public_names_once(package: str) -> None:
    listed = list(importlib.import_module(package).__all__)
    assert listed
    assert len(listed) == len(set(listed))


@pytest.mark.parametrize("package", PACKAGES)
def test_every_listed_name_is_there(package: str) -> None:
    module = importlib.import_module(package)
    assert [name for name in module.__all__ if not hasattr(module, name)] == []


@pytest.mark.parametrize("package", PACKAGES)
def test_every_public_name_is_listed(package: str) -> None:
    bound = public_names(modules()[package])
    assert sorted(bound - set(importlib.import_module(package).__all__)) == []


def test_nothing_is_imported_by_star() -> None:
    assert [str(one) for one in imports() if one.name == "*"] == []


def test_a_name_left_out_would_be_found(tmp_path: Path) -> None:
    package = tmp_path / "__init__.py"
    package.write_text(
        "from underset.units import parse, write as say\n_hidden = 1\ndef f(): x = 1\n", "utf-8"
    )
    assert public_names(package) == {"parse", "say", "f"}
