"""What holds for every file of the repository: addresses, sizes, habits, tests that run."""

from __future__ import annotations

import ast
import re
import statistics
import subprocess
import tomllib
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.version import Version

import underset
from tests.contracts import budgets
from tests.contracts.source_tree import (
    ROOT,
    SOURCE,
    body_lines,
    calls,
    functions,
    imports,
    nesting,
    own_lines,
    parse,
    python_files,
)

TESTS = ROOT / "tests"
LOCKS = sorted((ROOT / "requirements").glob("*.lock"))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))


def offences_are_none(offences: list[str]) -> None:
    assert not offences, "\n".join(["", *offences])


def repository_files() -> list[Path]:
    """Every file that is kept or would be kept, as git sees it."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    names = listed.stdout.decode("utf-8").split("\0")
    return [ROOT / name for name in names if name and (ROOT / name).is_file()]


def texts() -> Iterator[tuple[str, str]]:
    """Path and text of every file that is text."""
    for path in repository_files():
        content = path.read_bytes()
        if b"\0" not in content:
            yield path.relative_to(ROOT).as_posix(), content.decode("utf-8", "replace")


# --- addresses and places -------------------------------------------------------------------------

# Put together from parts, so that this file does not hold what it looks for.
HOSTS = "|".join(
    re.escape(".".join(parts))
    for parts in (
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("npmjs", "org"),
        ("npmjs", "com"),
        ("yarnpkg", "com"),
        ("deb", "debian", "org"),
        ("security", "debian", "org"),
        ("crates", "io"),
        ("golang", "org"),
        ("repo", "maven", "apache", "org"),
        ("conda", "anaconda", "org"),
    )
)
PLACES = "|".join(
    [
        "/" + "work/" + r"(?:main|side|shared|\.library)\b",
        r"(?<![\w.])/" + r"root/",
        r"(?<![\w.])/" + r"home/\w",
        "/" + r"opt/(?:pypi|wheels)",
        r"[A-Za-z]:\\" + r"Users\\",
    ]
)


@pytest.mark.parametrize("what", [HOSTS, PLACES], ids=["registry hosts", "places of one machine"])
def test_no_file_names(what: str) -> None:
    pattern = re.compile(what)
    offences_are_none(
        [
            f"{name}: {match.group()}"
            for name, text in texts()
            for match in [pattern.search(text)]
            if match
        ]
    )


@pytest.mark.parametrize(
    ("what", "example"),
    [
        (HOSTS, "see https://" + "pypi" + ".org/project"),
        (PLACES, "in " + "/ho" + "me/someone/x"),
        (PLACES, "/wo" + "rk/main"),
    ],
)
def test_the_patterns_find_an_example(what: str, example: str) -> None:
    assert re.search(what, example)


def test_a_page_that_is_named_is_there() -> None:
    """Any page (a name ending in md) told of in the code or the pages exists here."""
    known = {path.name for path in repository_files()}
    offences_are_none(
        [
            f"{name}: {page}"
            for name, text in texts()
            if name.endswith((".py", ".md", ".toml", ".html"))
            for page in re.findall(r"[\w-]+\.md\b", text)
            if page not in known
        ]
    )


# --- the locked requirements ----------------------------------------------------------------------


def locked(lock: Path) -> list[Requirement]:
    lines = lock.read_text("utf-8").replace("\\\n", " ").splitlines()
    return [Requirement(line.split(" --hash=")[0].strip()) for line in lines if "==" in line]


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_a_lock_holds_versions_and_hashes_and_no_address(lock: Path) -> None:
    text = lock.read_text("utf-8")
    assert not re.search(r"https?://|file:|git\+|--index|--extra-index|--find-links|^-", text, re.M)
    entries = [line for line in text.replace("\\\n", " ").splitlines() if line.strip()]
    assert entries
    offences_are_none(
        [line for line in entries if not re.match(r"[\w.-]+==[\w.]+ .*--hash=sha256:", line)]
    )


def wanted(extras: list[str], groups: list[str]) -> list[Requirement]:
    project, lists = PROJECT["project"], PROJECT["dependency-groups"]
    named = [*project["dependencies"]]
    for extra in extras:
        named += project["optional-dependencies"][extra]
    for group in groups:
        named += [entry for entry in lists[group] if isinstance(entry, str)]
    return [Requirement(text) for text in named]


EVERY_EXTRA = list(PROJECT["project"]["optional-dependencies"])


@pytest.mark.parametrize(
    ("lock", "extras", "groups"),
    [("run.lock", ["schedule", "postgres"], []), ("gate.lock", EVERY_EXTRA, ["test", "docs"])],
)
def test_a_lock_meets_what_the_project_asks_for(
    lock: str, extras: list[str], groups: list[str]
) -> None:
    pinned: dict[str, list[Requirement]] = {}
    for entry in locked(ROOT / "requirements" / lock):
        pinned.setdefault(plain(entry.name), []).append(entry)
    offences_are_none(
        [
            f"{lock}: {want} is not met"
            for want in wanted(extras, groups)
            if not any(meets(entry, want) for entry in pinned.get(plain(want.name), []))
        ]
    )


def meets(entry: Requirement, want: Requirement) -> bool:
    version = next(iter(entry.specifier)).version
    return want.specifier.contains(Version(version), prereleases=True)


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def test_both_locks_agree() -> None:
    gate = {str(entry) for entry in locked(ROOT / "requirements" / "gate.lock")}
    run = [str(entry) for entry in locked(ROOT / "requirements" / "run.lock")]
    offences_are_none([entry for entry in run if entry not in gate])


IMPORT_NAMES = {
    "argon2": "argon2-cffi",
    "python_calamine": "python-calamine",
    "multipart": "python-multipart",
    "yaml": "pyyaml",
}


def test_every_library_that_is_imported_is_asked_for() -> None:
    from sys import stdlib_module_names

    asked = {plain(want.name) for want in wanted(EVERY_EXTRA, [])}
    brought = {"starlette", "pydantic-core"}  # by fastapi and pydantic
    offences = []
    for one in imports():
        top = one.module.split(".")[0]
        if top in stdlib_module_names or top in ("underset", "__future__"):
            continue
        if plain(IMPORT_NAMES.get(top, top)) not in asked | brought:
            offences.append(str(one))
    offences_are_none(offences)


# --- sizes ----------------------------------------------------------------------------------------


def measured(measure: Callable[[ast.FunctionDef | ast.AsyncFunctionDef], int]) -> dict[str, int]:
    return {
        f"{path.relative_to(ROOT).as_posix()}::{name}": measure(function)
        for path in [*python_files(SOURCE), ROOT / "start.py", ROOT / "check.py"]
        for name, function in functions(parse(path))
    }


def parameters(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Counted without self; options of a command and fields of a route do not count."""
    given = function.args
    named = [*given.posonlyargs, *given.args, *given.kwonlyargs]
    return len([one for one in named if one.arg not in ("self", "cls") and not is_option(one)])


FRAMEWORK = re.compile(
    r"typer\.(Option|Argument)|\b(Depends|Form|Query|Path|Body|File|Header|Cookie)\(|Request"
)


@cache
def option_types() -> set[str]:
    """Names in cli/ and web/ for an option, such as `BayName = Annotated[str, typer.Option()]`."""
    found = set()
    for path in [*python_files(SOURCE / "underset/cli"), *python_files(SOURCE / "underset/web")]:
        for node in parse(path).body:
            if isinstance(node, ast.Assign) and FRAMEWORK.search(ast.unparse(node.value)):
                found |= {one.id for one in node.targets if isinstance(one, ast.Name)}
    return found


def is_option(one: ast.arg) -> bool:
    written = ast.unparse(one.annotation) if one.annotation else ""
    return written in option_types() or bool(FRAMEWORK.search(written))


FUNCTION_BUDGETS = {
    "lines": (own_lines, budgets.FUNCTION_CAP, budgets.LONG_FUNCTIONS),
    "nesting": (nesting, budgets.NESTING_CAP, budgets.DEEP_FUNCTIONS),
    "parameters": (parameters, budgets.PARAMETER_CAP, budgets.MANY_PARAMETERS),
}


@pytest.mark.parametrize("budget", FUNCTION_BUDGETS)
def test_functions_keep_their_budget(budget: str) -> None:
    measure, cap, exceptions = FUNCTION_BUDGETS[budget]
    over = {name: size for name, size in measured(measure).items() if size > cap}
    keeps_to(over, exceptions, f"{budget} > {cap}")


def keeps_to(over: dict[str, int], exceptions: dict[str, str], what: str) -> None:
    offences = [f"{name}: {size} ({what})" for name, size in over.items() if name not in exceptions]
    offences += [f"{name}: exception no longer needed" for name in exceptions if name not in over]
    offences += [
        f"{name}: exception without a reason" for name, why in exceptions.items() if not why
    ]
    offences_are_none(offences)


def test_most_functions_are_short() -> None:
    sizes = sorted(measured(body_lines).values())
    assert statistics.median(sizes) <= budgets.FUNCTION_MEDIAN
    assert sizes[int(0.9 * len(sizes))] <= budgets.FUNCTION_P90


def test_files_keep_their_budget() -> None:
    files = [*python_files(SOURCE), *python_files(TESTS), ROOT / "start.py", ROOT / "check.py"]
    sizes = {
        path.relative_to(ROOT).as_posix(): len(path.read_text("utf-8").splitlines())
        for path in files
    }
    over = {name: size for name, size in sizes.items() if size > budgets.FILE_CAP}
    keeps_to(over, budgets.LONG_FILES, f"lines > {budgets.FILE_CAP}")
    assert sorted(sizes.values())[int(0.9 * len(sizes))] <= budgets.FILE_P90


# --- habits ---------------------------------------------------------------------------------------


def source_nodes() -> Iterator[tuple[str, ast.AST]]:
    for path in python_files(SOURCE):
        name = path.relative_to(ROOT).as_posix()
        for node in ast.walk(parse(path)):
            yield name, node


def test_nothing_prints_outside_the_command_line() -> None:
    offences_are_none(
        [
            f"{name}:{call.lineno}"
            for path in python_files(SOURCE)
            for name in [path.relative_to(ROOT).as_posix()]
            for called, call in calls(parse(path))
            if called in ("print", "sys.stdout.write", "sys.stderr.write")
            and not name.startswith("src/underset/cli/")
        ]
    )


def test_no_bare_exception_is_raised() -> None:
    pattern = re.compile(r"(Base)?Exception(\(.*)?$", re.S)
    offences_are_none(
        [
            f"{name}:{node.lineno}: {ast.unparse(node)}"
            for name, node in source_nodes()
            if isinstance(node, ast.Raise) and node.exc and pattern.match(ast.unparse(node.exc))
        ]
    )


def test_errors_are_caught_by_name_except_at_the_edge() -> None:
    found: dict[str, int] = {}
    for name, node in source_nodes():
        if isinstance(node, ast.ExceptHandler) and catches_all(node):
            found[name] = found.get(name, 0) + 1
    keeps_to(found, budgets.CATCH_ALL, "catch-all")


def catches_all(handler: ast.ExceptHandler) -> bool:
    """Stops every error; one that tidies up and raises it again does not."""
    if isinstance(handler.body[-1], ast.Raise) and handler.body[-1].exc is None:
        return False
    named = ast.unparse(handler.type) if handler.type else "Exception"
    return bool(re.search(r"\b(Base)?Exception\b", named))


def test_every_module_postpones_its_annotations() -> None:
    offences_are_none(
        [
            path.relative_to(ROOT).as_posix()
            for path in python_files(SOURCE)
            if path.name != "__init__.py"
            and "from __future__ import annotations" not in path.read_text("utf-8")
        ]
    )


def test_the_changelog_tells_of_this_version() -> None:
    text = (ROOT / "CHANGELOG.md").read_text("utf-8")
    newest = re.search(r"^## (\S+)", text, re.M)
    assert newest is not None
    assert newest.group(1) == underset.__version__


# --- tests that run and can fail ------------------------------------------------------------------


def test_every_test_file_is_collected() -> None:
    """A file with tests has a name that pytest takes; a file with such a name has tests."""
    offences = []
    for path in [*python_files(TESTS), *python_files(ROOT / "benchmarks")]:
        named = bool(re.fullmatch(r"test_\w+\.py", path.name))
        if named != bool(list(cases_in(path))):
            offences.append(path.relative_to(ROOT).as_posix())
    offences_are_none(offences)


def cases_in(path: Path) -> Iterator[tuple[str, ast.FunctionDef | ast.AsyncFunctionDef]]:
    for name, function in functions(parse(path)):
        parts = name.split(".")
        inside_class = len(parts) == 2 and parts[0].startswith("Test")
        if parts[-1].startswith("test_") and (len(parts) == 1 or inside_class):
            yield name, function


def test_every_test_asserts_something() -> None:
    """Itself, or through a function of the same file or of the tests' helpers that does."""
    helpers = asserting({name for path in python_files(TESTS) for name in [path]})
    offences_are_none(
        [
            f"{path.relative_to(ROOT).as_posix()}::{name}"
            for path in python_files(TESTS)
            for name, function in cases_in(path)
            if not asserts(function, helpers)
        ]
    )


def asserting(paths: set[Path]) -> set[str]:
    """Names of functions below tests/ that assert, in themselves or through one another."""
    everything = [entry for path in paths for entry in functions(parse(path))]
    known: set[str] = set()
    while True:
        found = {name.split(".")[-1] for name, one in everything if asserts(one, known)}
        if found == known:
            return known
        known = found


# Calls that end the test when what they are given is wrong.
ASSERTING_CALLS = re.compile(
    r"(^|\.)(raises|warns|fail|assert_\w+|to_be_\w+|to_have_\w+|validate|check_schema"
    r"|run_state_machine_as_test)$"  # whose invariants assert
)


def asserts(function: ast.AST, helpers: set[str]) -> bool:
    if any(isinstance(node, ast.Assert) for node in ast.walk(function)):
        return True
    return any(
        ASSERTING_CALLS.search(called) or called.split(".")[-1] in helpers
        for called, _ in calls(function)
    )


def test_expected_failures_and_skips_say_why() -> None:
    offences = []
    for path in python_files(TESTS):
        for called, call in calls(parse(path)):
            excuse = called.endswith(("mark.xfail", "mark.skip", "mark.skipif"))
            if excuse and not any(word.arg == "reason" for word in call.keywords):
                offences.append(f"{path.relative_to(ROOT).as_posix()}:{call.lineno}")
    offences_are_none(offences)
