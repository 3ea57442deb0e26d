"""A newcomer's walk: a clean clone in an odd folder, both commands, the wheel far from the source.

    python -m benchmarks.walk [--gate]      about three minutes; with --gate the whole gate as well

Clones the last commit into a folder whose name has spaces and accents, and there runs start.py as
it stands, each command of its table, and every example of README.md and docs/using.md, which must
print what they show. Then builds the wheel, installs it alone into an environment elsewhere, plans,
serves, exports and tests itself there with no repository near. Nothing of the environment this runs
in is used but its Python. Prints a line a step and ends with 1 when one failed.
"""

from __future__ import annotations

import argparse
import os
import re
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from docs.examples import examples_of, missing_lines

ROOT = Path(__file__).resolve().parents[1]
ODD = "Prüfstand Süd – Bühne 2 (naïve copy)"
PAGES = ("README.md", "docs/using.md")
STORE = "Büch.db"
# Exit codes that tell an outcome of a plan; all others are faults.
OUTCOMES = (0, 3, 4, 5)


@dataclass(frozen=True)
class Walker:
    """Runs one command after the other and keeps what went wrong."""

    folder: Path
    faults: list[str]

    def run(self, name: str, command: list[str], where: Path, allowed: tuple[int, ...]) -> str:
        """Run it with a bare environment; its output is returned, a fault is written down."""
        began = time.perf_counter()
        done = subprocess.run(
            command, cwd=where, env=bare(self.folder), capture_output=True, text=True, check=False
        )
        said = done.stdout + done.stderr
        wrong = ""
        if done.returncode not in allowed:
            wrong = f"ended with {done.returncode}: {said.strip()[-500:]}"
        elif "Traceback" in said:
            wrong = f"printed a trace: {said.strip()[-500:]}"
        self.note(name, wrong, time.perf_counter() - began)
        return done.stdout

    def note(self, name: str, wrong: str, seconds: float = 0.0) -> None:
        print(f"{'FAILED' if wrong else 'passed':7} {seconds:6.1f} s  {name}", flush=True)
        if wrong:
            self.faults.append(f"{name}: {wrong}")


def bare(home: Path) -> dict[str, str]:
    """Variables of a new user: no Python variables, no virtual environment, a home of its own."""
    kept = {k: v for k, v in os.environ.items() if not re.match("PYTHON|VIRTUAL|UNDERSET|PIP", k)}
    return {**kept, "HOME": str(home), "COLUMNS": "100"}


def walk(folder: Path, gate: bool) -> list[str]:
    walker, clone = Walker(folder, []), folder / ODD
    subprocess.run(["git", "clone", "-q", str(ROOT), str(clone)], check=True)
    python = base_python()
    walker.run("start.py, first time", [python, "start.py"], clone, (0,))
    walker.note("it wrote the card", "" if (clone / "underset-card.pdf").is_file() else "no card")
    walker.run("start.py, again", [python, "start.py"], clone, (0,))
    commands(walker, clone, [python, "start.py"])
    shown(walker, clone, [python, "start.py"])
    wheel(walker, clone, python)
    if gate:
        walker.run("check.py", [python, "check.py"], clone, (0,))
    return walker.faults


def base_python() -> str:
    """The Python that made this environment, as a newcomer has it."""
    return str(Path(sys.base_prefix) / ("python.exe" if os.name == "nt" else "bin/python3"))


def commands(walker: Walker, clone: Path, start: list[str]) -> None:
    """Every command of the README's table tells how it is used."""
    table = (clone / "README.md").read_text("utf-8").partition("## Commands")[2]
    rows = [row for row in table.partition("\n\nWorked")[0].splitlines() if row.startswith("| `")]
    for name in re.findall(r"`(\w+)`", " ".join(row.split("|")[1] for row in rows)):
        walker.run(f"{name} --help", [*start, name, "--help"], clone, (0,))


def shown(walker: Walker, clone: Path, start: list[str]) -> None:
    """Every example of the pages prints the lines shown, in their order."""
    for page in PAGES:
        for example in examples_of((clone / page).read_text("utf-8")):
            name = f"{page}: {' '.join(example.arguments)[:60]}"
            said = walker.run(name, [*start, *example.arguments], clone, OUTCOMES)
            lost = missing_lines(example, said.splitlines())
            if lost:
                walker.note(name, f"did not print {lost[0]!r}")


def wheel(walker: Walker, clone: Path, python: str) -> None:
    """The wheel builds, and works where there is no repository."""
    away = walker.folder / "Elsewhere, büro"
    away.mkdir()
    built = away / "wheel"
    pip = [python, "-m", "pip"]
    walker.run("build the wheel", [*pip, "wheel", "-q", "--no-deps", "-w", str(built), str(clone)],
               away, (0,))  # fmt: skip
    walker.run("an empty environment", [python, "-m", "venv", "env"], away, (0,))
    inside = away / "env" / ("Scripts" if os.name == "nt" else "bin")
    lock = clone / "requirements" / "run.lock"
    install = [str(inside / "python"), "-m", "pip", "install", "-q"]
    walker.run("install what it needs", [*install, "--no-deps", "-r", str(lock)], away, (0,))
    files = [str(f) for f in built.glob("*.whl")]
    walker.run("install the wheel", [*install, "--no-deps", *files], away, (0,))
    tool = str(inside / "underset")
    for name, arguments in {
        "plan": ["plan", "--vehicle", "ferry-saloon", "--bay", "north", "--card", "Kärtchen.pdf"],
        "selftest": ["selftest"],
    }.items():
        walker.run(f"the wheel: {name}", [tool, *arguments], away, (0,))
    timed("the wheel: serve", walker, lambda: served(tool, away))
    export = [tool, "export", "Ausgeführt", "--store", STORE]
    walker.run("the wheel: export", export, away, (0,))


def timed(name: str, walker: Walker, action: Callable[[], str]) -> None:
    began = time.perf_counter()
    walker.note(name, action(), time.perf_counter() - began)


def served(tool: str, where: Path) -> str:
    """Serve, ask for the first page, stop; what went wrong, or nothing."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [tool, "serve", "--port", str(port), "--store", STORE]
    process = subprocess.Popen(command, cwd=where, stdout=subprocess.DEVNULL)
    try:
        for _ in range(300):
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=30) as page:
                        return "" if b"<main" in page.read() else "no page came"
            time.sleep(0.1)
        return "no answer after 30 s"
    finally:
        process.terminate()
        process.wait(20)


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--gate", action="store_true", help="run check.py too")
    with tempfile.TemporaryDirectory(prefix="underset-walk-") as folder:
        faults = walk(Path(folder), options.parse_args().gate)
    print(f"{len(faults)} faults")
    for fault in faults:
        print(f"- {fault}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
