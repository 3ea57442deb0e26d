"""Write the pages that are made from the code, or check that they are current.

    python docs/generate.py            write every generated page
    python docs/generate.py --check    change nothing; name the pages that differ, exit code 1

Each module of docs/generators has PAGES: for each page (a path below docs/) a function that returns
its text. The mark at the top of a page (not of a drawing or schema) tells that it is generated.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable
from pathlib import Path

DOCS = Path(__file__).resolve().parent
MARK = "<!-- Made by docs/generate.py from the code: change the code, not this page. -->\n\n"


def makers() -> dict[str, Callable[[], str]]:
    """Every generated page with the function that makes it."""
    sys.path[:0] = [str(DOCS.parent / "src"), str(DOCS.parent)]
    found: dict[str, Callable[[], str]] = {}
    for path in sorted((DOCS / "generators").glob("[!_]*.py")):
        found.update(importlib.import_module(f"docs.generators.{path.stem}").PAGES)
    return found


def pages() -> dict[Path, str]:
    """Every generated page with its text, ending in one line break."""
    return {
        DOCS / name: f"{MARK if name.endswith('.md') else ''}{make().strip()}\n"
        for name, make in makers().items()
    }


def differences(wanted: dict[Path, str]) -> list[str]:
    """What is missing, differs, or bears the mark although nothing makes it any more."""
    told = []
    for path, text in wanted.items():
        if not path.exists():
            told.append(f"{path.relative_to(DOCS)} is missing")
        elif path.read_text("utf-8") != text:
            told.append(f"{path.relative_to(DOCS)} differs from what the code says")
    left = (path for path in DOCS.rglob("*.md") if path not in wanted)
    told += [
        f"{path.relative_to(DOCS)} is marked as generated, but nothing makes it"
        for path in left
        if path.read_text("utf-8").startswith(MARK.strip())
    ]
    return told


def write(wanted: dict[Path, str]) -> None:
    for path, text in wanted.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")


def main(arguments: list[str]) -> int:
    if arguments not in ([], ["--check"]):
        print(f"generate: unknown {arguments}; allowed are nothing or --check", file=sys.stderr)
        return 2
    wanted = pages()
    if not arguments:
        write(wanted)
        print(f"{len(wanted)} pages written")
        return 0
    told = differences(wanted)
    for line in told:
        print(line)
    print("Run: python docs/generate.py" if told else f"{len(wanted)} generated pages are current")
    return 1 if told else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
