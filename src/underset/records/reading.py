"""A workshop folder read into records, with every complaint about every file at once.

    workshop.toml   policy.toml (may be left out)
    vehicles/  bays/  adapters/  jobs/ (may be left out)      one file per thing, its stem the id

Files are TOML 1.0 in UTF-8. A folder is input from outside: sizes are bounded, and a link that
leads out of the folder is not followed.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, TypeVar

from underset.errors import InputError, InputErrors
from underset.records.adapter import Adapter
from underset.records.base import Record
from underset.records.crosscheck import between
from underset.records.job import Job
from underset.records.lift import Bay
from underset.records.policy import DEFAULT_POLICY, RULES, Policy, policy_from
from underset.records.validating import MOST_COMPLAINTS, bounded, validated
from underset.records.vehicle import Vehicle
from underset.records.workshop import Workshop, WorkshopFile

R = TypeVar("R", bound=Record)

GREATEST_FILE: Final = 1_000_000  # bytes; the fullest sample record takes a hundredth of it
MOST_DOTS: Final = 400  # on one line
MOST_FILES: Final = 20_000  # of one kind; more belong into a table

FOLDERS: Final[dict[str, type[Record]]] = {
    "vehicles": Vehicle,
    "bays": Bay,
    "adapters": Adapter,
    "jobs": Job,
}
_MAY_BE_MISSING: Final = ("jobs",)
_FILES: Final = ("workshop.toml", "policy.toml")
_ID: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,62}")


def read_workshop(path: str | Path) -> Workshop:
    """The workshop in a folder.

    Raises InputErrors: all complaints of all files, and, when every file can be read, of records
    against each other.
    """
    folder = _Folder(_folder(Path(path)))
    about = folder.record("workshop.toml", WorkshopFile)
    policy = folder.policy()
    tables: dict[str, Any] = {name: folder.records(name, m) for name, m in FOLDERS.items()}
    folder.strangers()
    if folder.errors or about is None:
        raise InputErrors(folder.errors[: 10 * MOST_COMPLAINTS])
    shop = Workshop(about, policy, **tables)
    complaints = between(shop)
    if complaints:
        raise InputErrors(complaints)
    return shop


def read_vehicle(source: str | Path) -> Vehicle:
    """A vehicle from a file (a Path) or from TOML text; raises InputErrors."""
    return _read(Vehicle, source)


def read_bay(source: str | Path) -> Bay:
    """A bay from a file (a Path) or from TOML text; raises InputErrors."""
    return _read(Bay, source)


def read_adapter(source: str | Path) -> Adapter:
    """An adapter type from a file (a Path) or from TOML text; raises InputErrors."""
    return _read(Adapter, source)


def read_job(source: str | Path) -> Job:
    """A job from a file (a Path) or from TOML text; raises InputErrors."""
    return _read(Job, source)


def read_about(source: str | Path) -> WorkshopFile:
    """What stands in `workshop.toml`, from a file (a Path) or TOML text; raises InputErrors."""
    return _read(WorkshopFile, source)


def read_policy(source: str | Path) -> Policy:
    """The policy in force, from a file (a Path) or from TOML text; raises InputErrors."""
    place, data = _parsed(source)
    return policy_of(data, place)


def policy_of(data: Mapping[str, Any], place: str = "policy.toml") -> Policy:
    """The policy with a shop's own figures; raises InputErrors with every complaint."""
    errors: list[InputError] = []
    for name, given in bounded(dict(data), place).items():
        try:
            policy_from({name: given})
        except InputError as error:
            errors.append(error.at(place))
    if errors:
        raise InputErrors(errors)
    policy = policy_from(dict(data))
    contradictions = list(_contradictions(policy, place))
    if contradictions:
        raise InputErrors(contradictions)
    return policy


def toml_data(text: str | bytes, place: str = "") -> dict[str, Any]:
    """TOML text as plain data; raises InputError with the line and column of the slip."""
    if isinstance(text, bytes):
        text = _decoded(text, place)
    if len(text) > GREATEST_FILE:
        raise InputError("file", f"{len(text)} signs", _size_allowed(), place=place)
    if max(line.count(".") for line in text.split("\n")) > MOST_DOTS:
        # The parser's time grows with the square of the parts of a dotted key.
        raise InputError("file", "keys nested without end", _TOML, place=place)
    try:
        return tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        raise InputError("file", str(error), _TOML, _QUOTES, place=place) from None
    except (ValueError, RecursionError):
        # A number of thousands of digits, or lists nested thousands deep: no slip of a person.
        raise InputError("file", "text beyond any record", _TOML, place=place) from None


_TOML: Final = "the file is written in TOML 1.0"
_QUOTES: Final = 'Texts and quantities stand in quotes: wheelbase = "2600 mm".'


# --- one file -------------------------------------------------------------------------------------


def _read(model: type[R], source: str | Path) -> R:
    place, data = _parsed(source)
    return validated(model, data, place)


def _parsed(source: str | Path) -> tuple[str, dict[str, Any]]:
    if isinstance(source, Path):
        return source.name, toml_data(_bytes(source, source.name), source.name)
    return "", toml_data(source)


def _bytes(path: Path, place: str) -> bytes:
    """Contents of a regular file of bounded size; anything else is refused before it is read."""
    try:
        if not path.is_file():
            raise InputError("file", str(path.name), "a readable file stands here", place=place)
        with path.open("rb") as file:
            content = file.read(GREATEST_FILE + 1)
    except (OSError, RuntimeError) as error:  # RuntimeError: a loop of links
        raise _unreadable(place, error) from None
    if len(content) > GREATEST_FILE:
        raise InputError("file", f"more than {GREATEST_FILE} bytes", _size_allowed(), place=place)
    return content


def _decoded(content: bytes, place: str) -> str:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        remedy = "Save it again as UTF-8."
        received = f"byte {error.start} is no UTF-8"
        raise InputError("file", received, "the file is UTF-8 text", remedy, place=place) from None


def _size_allowed() -> str:
    return f"a record takes at most {GREATEST_FILE} bytes"


def _unreadable(place: str, error: Exception) -> InputError:
    reason = getattr(error, "strerror", None) or "links lead in a circle"
    return InputError("file", reason, "a readable file stands here", place=place)


# --- the folder -----------------------------------------------------------------------------------


def _folder(path: Path) -> Path:
    try:
        resolved = path.expanduser().resolve(strict=True)
    except (OSError, RuntimeError) as error:
        remedy = "Name a folder that holds workshop.toml."
        reason = getattr(error, "strerror", None) or "links lead in a circle"
        raise InputError("workshop", f"{path}: {reason}", "a folder", remedy) from None
    if not resolved.is_dir():
        raise InputError("workshop", str(path), "a folder that holds workshop.toml")
    return resolved


@dataclass
class _Folder:
    """Reads the files of one folder and keeps every complaint."""

    root: Path
    errors: list[InputError] = field(default_factory=list)

    def record(self, name: str, model: type[R]) -> R | None:
        """The record in one file, or None with the complaint kept."""
        try:
            return validated(model, toml_data(self._content(name), name), name)
        except InputError as error:
            self.errors.extend(getattr(error, "errors", (error,)))
            return None

    def records(self, name: str, model: type[R]) -> dict[str, R]:
        """All records of one sub-folder by id."""
        found: dict[str, R] = {}
        for place in self._listed(name):
            stem = Path(place).stem
            if not _ID.fullmatch(stem):
                allowed = "a file's stem is its id: lower-case letters, digits and hyphens"
                self.errors.append(InputError("file", stem, allowed, place=place))
                continue
            record = self.record(place, model)
            if record is not None:
                found[stem] = record
        return found

    def policy(self) -> Policy:
        """The policy in force; a missing file leaves every default."""
        name = "policy.toml"
        if not (self.root / name).exists() and not (self.root / name).is_symlink():
            return DEFAULT_POLICY
        try:
            return policy_of(toml_data(self._content(name), name), name)
        except InputError as error:
            self.errors.extend(getattr(error, "errors", (error,)))
            return DEFAULT_POLICY

    def strangers(self) -> None:
        """Complain about TOML files that would be passed over in silence."""
        for path in sorted(self.root.glob("*.toml")):
            if path.name not in _FILES:
                allowed = f"files here are {' and '.join(_FILES)}"
                remedy = f"Records stand in {', '.join(FOLDERS)}."
                error = InputError("file", path.name, allowed, remedy, place=path.name)
                self.errors.append(error)

    def _listed(self, name: str) -> Iterator[str]:
        folder = self.root / name
        try:
            if name in _MAY_BE_MISSING and not (folder.exists() or folder.is_symlink()):
                return
            self._inside(folder, name)
            files = sorted(p.name for p in folder.iterdir() if p.suffix.lower() == ".toml")
        except (OSError, RuntimeError) as error:
            remedy = f"Make a folder {name}; it may be empty."
            reason = getattr(error, "strerror", None) or "links lead in a circle"
            self.errors.append(InputError("folder", reason, "a folder", remedy, place=name))
            return
        except InputError as error:
            self.errors.append(error)
            return
        if len(files) > MOST_FILES:
            allowed = f"at most {MOST_FILES} files of one kind"
            self.errors.append(InputError("folder", f"{len(files)} files", allowed, place=name))
            return
        yield from (f"{name}/{file}" for file in files)

    def _content(self, place: str) -> bytes:
        path = self.root / place
        try:
            self._inside(path, place)
        except (OSError, RuntimeError) as error:
            raise _unreadable(place, error) from None
        return _bytes(path, place)

    def _inside(self, path: Path, place: str) -> None:
        if not path.resolve(strict=True).is_relative_to(self.root):
            allowed = "links stay inside the workshop's folder"
            raise InputError("file", "a link that leads out", allowed, place=place)


# --- policy ---------------------------------------------------------------------------------------


_ORDERED: Final = (
    ("least_pad_stop", "least_pad_watch"),
    ("edge_stop", "edge_watch"),
    ("split_narrow", "split_wide"),
    ("friction", "friction_clean"),
    ("twist_low", "twist_high"),
    ("pad_stiffness_low", "pad_stiffness_high"),
)


def _contradictions(policy: Policy, place: str) -> Iterator[InputError]:
    for low, high in _ORDERED:
        if policy[low] > policy[high]:
            value, limit = policy.threshold(low).text, policy.threshold(high).text
            allowed = f"not greater than {high}, {limit}"
            yield InputError(f"policy.{low}", value, allowed, RULES[low].meaning, place=place)
