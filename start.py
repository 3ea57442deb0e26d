"""Set Underset up beside this file and run it.

    python3 start.py                  plan the sample lift, print the verdict, write the card
    python3 start.py COMMAND ...      any command of Underset, for example: serve

The first run makes an environment of its own in `.venv` (or the folder named by UNDERSET_VENV)
and installs the exact versions of requirements/run.lock, each checked against its hash. Later runs
re-use it until that list changes. Needs Python 3.11 or newer with pip, and nothing else.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import subprocess
import sys
import time
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent
LOCK = ROOT / "requirements" / "run.lock"
SAMPLE = ROOT / "examples" / "quayside"
MARK = "underset-setup.txt"
PLACE_VARIABLE = "UNDERSET_VENV"
OLDEST_PYTHON = (3, 11)
# What pip says when it reaches no index; without retries it only says that it found nothing.
OFFLINE = ("NewConnectionError", "timed out", "ProxyError", "SSLError", "(from versions: none)")
SETUP_FAILED = 69  # what sysexits.h calls EX_UNAVAILABLE


class SetupError(Exception):
    """The environment could not be made; the message says what to do."""


def main(arguments: list[str]) -> int:
    folder = place(PLACE_VARIABLE, ".venv")
    try:
        python = prepare(folder, LOCK)
    except SetupError as error:
        print(f"start: {error}", file=sys.stderr)
        return SETUP_FAILED
    command = [str(python), "-m", "underset", *(arguments or sample_plan())]
    return hand_over(command, environment(folder))


def sample_plan() -> list[str]:
    return [
        *("plan", "--workshop", str(SAMPLE), "--vehicle", "harbour-hatch", "--bay", "north"),
        *("--card", "underset-card.pdf"),
    ]


# --- running ------------------------------------------------------------------------------------


def environment(folder: Path) -> dict[str, str]:
    """The variables of this process, with the package's source on Python's path.

    Decision: compiled files go into the environment's own folder, whatever the shell says about
    writing them, because nothing lands beside the source there and every later start is faster.
    """
    paths = [str(ROOT / "src"), os.environ.get("PYTHONPATH", "")]
    variables = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, paths))}
    variables["PYTHONPYCACHEPREFIX"] = str(folder / "compiled")
    variables.pop("PYTHONDONTWRITEBYTECODE", None)
    return variables


def hand_over(command: list[str], variables: dict[str, str]) -> int:
    """Run the command in place of this process, so that signals and exit code are its own."""
    if os.name == "posix":
        sys.stdout.flush()
        os.execve(command[0], command, variables)
    process = subprocess.Popen(command, env=variables)
    while True:
        # Decision: Ctrl-C reaches the command too; it says how to end, this process only waits.
        with contextlib.suppress(KeyboardInterrupt):
            return process.wait()


# --- setting up ---------------------------------------------------------------------------------


def place(variable: str, default: str) -> Path:
    """The folder of the environment: the one the variable names, else one beside this file."""
    named = os.environ.get(variable, "").strip()
    return Path(named).expanduser().absolute() if named else ROOT / default


def prepare(folder: Path, lock: Path, *, variable: str = PLACE_VARIABLE) -> Path:
    """Make the environment in `folder` hold exactly what `lock` lists; its Python is returned.

    `variable` is the one that may name another folder, for the messages. Raises SetupError when
    this Python, pip, the folder or the network will not do.
    """
    if sys.version_info < OLDEST_PYTHON:
        found = ".".join(map(str, sys.version_info[:3]))
        raise SetupError(
            f"Python 3.11 or newer is needed; this is {found}. Run it with a newer one."
        )
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    mark, wanted = folder / MARK, fingerprint(lock)
    if python.exists() and mark.exists() and mark.read_text("utf-8") == wanted:
        return python
    make_environment(folder, mark, variable)
    install(python, lock, folder / "underset-setup.log")
    mark.write_text(wanted, "utf-8")
    return python


def fingerprint(lock: Path) -> str:
    if not lock.is_file():
        raise SetupError(f"{lock} is missing; this folder is not a whole copy of the project.")
    version = ".".join(map(str, sys.version_info[:2]))
    return f"python {version}\n{lock.name} {hashlib.sha256(lock.read_bytes()).hexdigest()}\n"


def make_environment(folder: Path, mark: Path, variable: str) -> None:
    """An empty environment in `folder`; one of ours is cleared first, anything else is refused."""
    if folder.exists() and not mark.exists() and any(folder.iterdir()):
        raise SetupError(
            f"{folder} holds something that was not made here, and is left alone. Remove it, or "
            f"name another folder in {variable}."
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        mark.write_text("unfinished\n", "utf-8")
        venv.create(folder, with_pip=False, clear=True)
        mark.write_text("unfinished\n", "utf-8")
    except (OSError, subprocess.CalledProcessError) as error:
        raise SetupError(f"the environment in {folder} could not be made: {error}") from error


def install(python: Path, lock: Path, log: Path) -> None:
    """Install the locked list with the pip of the Python that runs this file."""
    command = [
        *(sys.executable, "-m", "pip", "--python", str(python), "install"),
        *("--require-hashes", "--only-binary", ":all:", "--no-deps", "--requirement", str(lock)),
        *("--disable-pip-version-check", "--no-input", "--progress-bar", "off"),
        "--no-compile",  # each module is compiled when it is first used, see environment()
    ]
    names = wanted_names(lock)
    print(f"Setting up {len(names)} packages in {python.parents[1]} (once) ...", file=sys.stderr)
    started = time.monotonic()
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace"
    ) as process:
        try:
            lines = follow(process, log, len(names))
        except BaseException:  # being told to end; pip must not go on alone
            process.terminate()
            raise
    if process.returncode:
        raise SetupError(reason_of(lines, log))
    print(f"Set up in {time.monotonic() - started:.0f} s.", file=sys.stderr)


def wanted_names(lock: Path) -> set[str]:
    lines = lock.read_text("utf-8").splitlines()
    return {
        line.split("==")[0] for line in lines if "==" in line and not line.startswith((" ", "#"))
    }


def follow(process: subprocess.Popen[str], log: Path, total: int) -> list[str]:
    """Copy pip's words to the log, show a count on screen; all lines are returned."""
    lines: list[str] = []
    progress = Progress(total)
    with log.open("w", encoding="utf-8") as kept:
        for line in process.stdout or ():
            kept.write(line)
            lines.append(line.strip())
            progress.see(line.strip())
    progress.end()
    return lines


class Progress:
    """A counter that rewrites its line on a terminal, and elsewhere speaks every ten seconds."""

    def __init__(self, total: int) -> None:
        self.total, self.count, self.spoke = total, 0, time.monotonic()
        self.live = sys.stderr.isatty()

    def see(self, line: str) -> None:
        if line.startswith("Collecting "):
            self.count += 1
            self.show(f"fetching {self.count} of {self.total}: {line.split()[1].split('==')[0]}")
        elif line.startswith("Installing collected packages"):
            self.show("unpacking all of them", always=True)

    def show(self, words: str, *, always: bool = False) -> None:
        now = time.monotonic()
        if self.live:
            print(f"\r  {words:<60.60}", end="", file=sys.stderr, flush=True)
        elif always or now - self.spoke >= 10:
            self.spoke = now
            print(f"  {words}", file=sys.stderr, flush=True)

    def end(self) -> None:
        if self.live:
            print("\r" + " " * 64 + "\r", end="", file=sys.stderr, flush=True)


def reason_of(lines: list[str], log: Path) -> str:
    """What went wrong, in words that say what to do about it."""
    text = "\n".join(lines)
    if "No module named pip" in text:
        return "this Python has no pip. Install it (Debian: python3-pip), then run this again."
    said = [line for line in lines if line.startswith(("ERROR:", "error:"))][:3] or lines[-3:]
    told = "\n  ".join(["pip could not install the packages. It said:", *said])
    if "HASHES" in text or "hashes" in text:
        advice = "A package differs from the one this list was made with: do not install it."
    elif any(sign in text for sign in OFFLINE):
        advice = "The package index cannot be reached: check the network or proxy and try again."
    else:
        advice = "Mend what it names, then run this again."
    return f"{told}\n  {advice}\n  All of pip's words: {log}"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
