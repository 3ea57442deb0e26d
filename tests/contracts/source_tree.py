"""Reads Python sources as trees, for the contract tests. Nothing is imported or run here."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src"


@dataclass(frozen=True)
class Import:
    """One name brought in by one import statement, wherever in the file it stands."""

    importer: str  # module that holds the statement
    module: str  # module named by it
    name: str | None  # name taken out of that module; None for `import module`
    line: int
    lazy: bool  # inside a function

    @property
    def target(self) -> str:
        return f"{self.module}.{self.name}" if self.name else self.module

    def __str__(self) -> str:
        return f"{self.importer}:{self.line} imports {self.target}"


def python_files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*.py") if "__pycache__" not in path.parts)


@cache
def parse(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"), filename=str(path))


def module_name(path: Path, source: Path = SOURCE) -> str:
    parts = path.relative_to(source).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def modules(source: Path = SOURCE) -> dict[str, Path]:
    """Every module below the source folder, by its dotted name."""
    return {module_name(path, source): path for path in python_files(source)}


@cache
def imports(source: Path = SOURCE) -> list[Import]:
    """Every import of every module: at the top, in functions, and for type checkers only."""
    found = []
    for name, path in modules(source).items():
        package = name if path.name == "__init__.py" else name.rpartition(".")[0]
        found += list(_imports_of(parse(path), name, package))
    return found


def _imports_of(tree: ast.Module, importer: str, package: str) -> Iterator[Import]:
    lazy = {
        id(inner)
        for outer in ast.walk(tree)
        if isinstance(outer, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        for inner in ast.walk(outer)
    }
    for node in ast.walk(tree):
        inside = id(node) in lazy
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield Import(importer, alias.name, None, node.lineno, inside)
        elif isinstance(node, ast.ImportFrom):
            module = _absolute(node, package)
            for alias in node.names:
                yield Import(importer, module, alias.name, node.lineno, inside)


def _absolute(node: ast.ImportFrom, package: str) -> str:
    if not node.level:
        return node.module or ""
    base = package.split(".")[: len(package.split(".")) - node.level + 1]
    return ".".join([*base, *([node.module] if node.module else [])])


def module_of(found: Import, known: dict[str, Path]) -> str | None:
    """The module of ours that an import reaches: `from a import b` may mean the module a.b."""
    for candidate in (found.target, found.module):
        if candidate in known:
            return candidate
    return None


def exported(path: Path) -> set[str]:
    """The names that a package's __init__ lists in __all__; empty when it has none."""
    names: set[str] = set()
    for node in parse(path).body:
        if isinstance(node, ast.Assign | ast.AugAssign | ast.AnnAssign) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            if any(isinstance(one, ast.Name) and one.id == "__all__" for one in targets):
                names |= set(ast.literal_eval(node.value))
    return names


def functions(tree: ast.Module) -> Iterator[tuple[str, ast.FunctionDef | ast.AsyncFunctionDef]]:
    """Every function and method with its dotted name inside the file."""

    def walk(node: ast.AST, prefix: str) -> Iterator[tuple[str, ast.FunctionDef]]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef):
                yield prefix + child.name, child  # type: ignore[misc]
                yield from walk(child, f"{prefix}{child.name}.")
            else:
                inner = f"{prefix}{child.name}." if isinstance(child, ast.ClassDef) else prefix
                yield from walk(child, inner)

    yield from walk(tree, "")


def own_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function from `def` to its end, without the docstring."""
    total = (function.end_lineno or function.lineno) - function.lineno + 1
    if ast.get_docstring(function, clean=False) is not None:
        text = function.body[0]
        total -= (text.end_lineno or text.lineno) - text.lineno + 1
    return total


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function's body, without signature and docstring."""
    return own_lines(function) - (function.body[0].lineno - function.lineno)


NESTING = (ast.If, ast.For, ast.AsyncFor, ast.While, ast.With, ast.AsyncWith, ast.Try, ast.Match)


def nesting(node: ast.AST) -> int:
    """How deep blocks stand inside one another; `elif` does not count as deeper."""

    def depth(child: ast.AST, parent: ast.AST) -> int:
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            return 0
        chained = isinstance(parent, ast.If) and child in parent.orelse and len(parent.orelse) == 1
        step = (
            1 if isinstance(child, NESTING) and not (chained and isinstance(child, ast.If)) else 0
        )
        return step + max((depth(inner, child) for inner in ast.iter_child_nodes(child)), default=0)

    return max((depth(child, node) for child in ast.iter_child_nodes(node)), default=0)


def calls(node: ast.AST) -> Iterator[tuple[str, ast.Call]]:
    """Every call below a node with its dotted name, as far as it is a plain name."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Call):
            yield ast.unparse(inner.func), inner
