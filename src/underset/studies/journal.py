"""A journal of results, so that a study that was broken off goes on where it stopped.

A text file: a head line that names the study, then one line for each result in the order of the
tasks, with a checksum, each on the disk before the result is given on. A last line that was torn
is dropped; a journal of another study is refused.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, Any, Generic, TypeVar
from zlib import crc32

from underset.errors import InputError

R = TypeVar("R")
FORM = "underset-journal/1"


def _same(value: Any) -> Any:
    return value


class Journal(Generic[R]):
    """Results on file. `study` tells one study from another: a digest of all that it depends on.

    `encode` makes of a result what JSON can hold and `decode` a result of that again. Results are
    always given on as decoded, so that a run that was broken off and one that was not agree.
    """

    def __init__(
        self,
        path: Path,
        study: str,
        encode: Callable[[R], Any] = _same,
        decode: Callable[[Any], R] = _same,
    ) -> None:
        self.path, self.study, self.encode, self.decode = Path(path), study, encode, decode
        self._file: IO[str] | None = None

    def __str__(self) -> str:
        return self.path.name

    def results(self) -> Iterator[R]:
        """Results on file, in order; afterwards the journal is ready for more.

        Raises InputError when the file is no journal, or one of another study.
        """
        good = 0
        if self.path.exists() and self.path.stat().st_size:
            with self.path.open("rb") as file:
                good = self._check_head(file.readline())
                for length, text in _good_lines(file):
                    good += length
                    yield self._result(text)
        self._open(good)

    def _result(self, text: bytes) -> R:
        """The result of a whole line; InputError where it says something that is none."""
        try:
            return self.decode(json.loads(text))
        except (ValueError, TypeError, KeyError, RecursionError) as error:
            raise InputError(
                "journal", self.path.name, "a line holds no result of this study",
                "Name another file, and the study begins anew.",
            ) from error  # fmt: skip

    def add(self, result: R) -> R:
        """Write a result, wait until it is on the disk, give it as it reads back."""
        if self._file is None:
            raise InputError("journal", self.path.name, "results on file are read before new ones")
        text = json.dumps(self.encode(result), separators=(",", ":"))
        self._write(f"{crc32(text.encode()):08x} {text}\n")
        return self.decode(json.loads(text))

    def close(self) -> None:
        """Close the file; what is in it stays."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def _head(self) -> str:
        return json.dumps({"form": FORM, "study": self.study}) + "\n"

    def _check_head(self, line: bytes) -> int:
        if self._head().encode().startswith(line) and not line.endswith(b"\n"):
            return 0  # torn while it was written
        try:
            head = json.loads(line)
        except (ValueError, RecursionError):
            head = None
        if not isinstance(head, dict) or head.get("form") != FORM:
            raise InputError("journal", self.path.name, "this file is not a journal of a study")
        if head.get("study") != self.study:
            allowed = "this journal belongs to another study"
            raise InputError("journal", self.path.name, allowed, "Name another file.")
        return len(line)

    def _open(self, good: int) -> None:
        """Ready for writing after the last good line; what was torn behind it goes."""
        self.path.parent.mkdir(parents=True, exist_ok=True)
        self._file = self.path.open("a", encoding="utf-8", newline="\n")
        self._file.truncate(good)
        if good == 0:
            self._write(self._head())

    def _write(self, line: str) -> None:
        assert self._file is not None
        self._file.write(line)
        self._file.flush()
        os.fsync(self._file.fileno())


def _good_lines(file: IO[bytes]) -> Iterator[tuple[int, bytes]]:
    """Length and JSON of each line, up to the first that is torn or changed."""
    for line in file:
        text = _text_of(line)
        if text is None:
            return
        yield len(line), text


def _text_of(line: bytes) -> bytes | None:
    """The JSON of a line, or None where the line is torn or changed."""
    if not line.endswith(b"\n") or line[8:9] != b" ":
        return None
    text = line[9:-1]
    return text if line[:8] == f"{crc32(text):08x}".encode() else None
