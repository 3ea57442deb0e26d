"""Rows of text out of CSV and XLSX files that may be wrong, huge or hostile; and safely back.

Nothing in a file is run or followed: formulas, macros, links to other files, document types and
anything packed beyond reason are refused. A cell that another program would take for a formula is
written with an apostrophe before it (OWASP, "CSV Injection"), which reading takes away again.
"""

from __future__ import annotations

import csv
import io
import math
import re
import warnings
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import TYPE_CHECKING, Any, Final

from underset.errors import InputError, said

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

LARGEST_FILE: Final = 10_000_000  # bytes
LARGEST_UNPACKED: Final = 60_000_000  # bytes
MOST_PARTS: Final = 500
MOST_ROWS: Final = 20_000
MOST_COLUMNS: Final = 250
MOST_CELLS: Final = 1_000_000  # some ten seconds of reading
LONGEST_CELL: Final = 2_000
# A signed figure with or without tolerance and unit: begins like a formula and is none.
_SIGNED = re.compile(r"[-+][0-9.][0-9.eE]*(\s*(±|\+/-)\s*[0-9.][0-9.eE]*)?\s*[A-Za-z°%/ ]*")
RISKY: Final = ("=", "+", "-", "@", "\t", "\r")
_FAR_CELL = re.compile(rb"""\bR\s*=\s*["']\s*[A-Z]{3,}""")  # beyond column ZZ, in capitals
_FAR: Final = 20_000  # cells of a row, empty ones at its end included
_PACKED = b"PK\x03\x04"
_DELIMITERS = (",", ";", "\t")
# Parts of a workbook that hold something to run or to fetch.
_REFUSED_PARTS = ("vba", "externallink", "embeddings/", "activex", "ctrlprops", "connections.xml")


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its number in the file, its cells as text, and what is wrong with single ones."""

    number: int
    cells: tuple[str, ...]
    wrong: tuple[InputError, ...] = ()


def read_sheet(content: bytes, name: str, sheet: str = "") -> list[Row]:
    """The rows of a CSV or XLSX file, the header first, empty rows left out.

    `name` is the file's name as the sender gave it: it says the kind of file and is never opened.
    `sheet` names the sheet where a workbook has several. Raises InputError for a file that is not
    what its name says, or is hostile.
    """
    safe_name(name)
    if len(content) > LARGEST_FILE:
        raise _refused(
            name, f"{len(content)} bytes", said("at most {most} bytes", most=LARGEST_FILE)
        )
    packed = content.startswith(_PACKED)
    if name.lower().endswith(".xlsx") and packed:
        rows = _workbook_rows(content, name, sheet)
    elif name.lower().endswith(".csv") and not packed:
        rows = _csv_rows(content, name)
    else:
        raise _refused(name, name, "a file of comma-separated text (.csv) or a workbook (.xlsx)")
    return [row for row in _bounded(rows, name) if any(row.cells) or row.wrong]


def safe_name(name: str) -> str:
    """A plain file name as it is; InputError for a path, a hidden file or control characters."""
    plain = name.isprintable() and 0 < len(name) <= 200 and not name.startswith(".")
    if not plain or any(sign in name for sign in '/\\:*?"<>|'):
        raise InputError("file name", name, "a plain name such as vehicles.csv, without any folder")
    return name


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """Rows as comma-separated text that no spreadsheet takes for formulas (RFC 4180)."""
    written = io.StringIO()
    csv.writer(written, lineterminator="\r\n").writerows([[_tame(c) for c in row] for row in rows])
    return written.getvalue()


def _tame(cell: str) -> str:
    """Decision: plain numbers stay as they are, a leading sign and all; a sum is no number."""
    return f"'{cell}" if cell.startswith((*RISKY, "'")) and not _is_number(cell) else cell


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text)) and text.isascii() and "_" not in text
    except ValueError:
        return False


def _refused(name: str, received: object, allowed: str, remedy: str = "") -> InputError:
    return InputError("file", received, allowed, remedy, place=name)


_PARTS: Final = "Send it in parts."


def _bounded(rows: Iterator[Row], name: str) -> Iterator[Row]:
    cells = 0
    for count, row in enumerate(rows):
        cells += len(row.cells)
        if cells > MOST_CELLS:
            raise _refused(
                name, "more cells", said("at most {most} cells", most=MOST_CELLS), _PARTS
            )
        if count > MOST_ROWS:
            raise _refused(name, "more rows", said("at most {most} rows", most=MOST_ROWS), _PARTS)
        if len(row.cells) > MOST_COLUMNS:
            raise _refused(
                name, f"{len(row.cells)} columns", said("at most {most} columns", most=MOST_COLUMNS)
            )
        yield row


# --- CSV -----------------------------------------------------------------------------------------


def _csv_rows(content: bytes, name: str) -> Iterator[Row]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _refused(name, "other bytes", "text in UTF-8", "Save it as CSV UTF-8.") from error
    if any(ord(sign) < 32 and sign not in "\t\r\n" for sign in text):
        raise _refused(name, "control characters", "text in UTF-8, no binary content")
    first = text.partition("\n")[0]
    delimiter = max(_DELIMITERS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    begins = 1  # a quoted cell may go over several lines
    try:
        for cells in reader:
            if len(cells) > _FAR:
                raise _refused(
                    name, f"{len(cells)} columns",
                    said("at most {most} columns", most=MOST_COLUMNS),
                )  # fmt: skip
            yield _row(begins, cells)
            begins = reader.line_num + 1
    except csv.Error as error:
        raise _refused(name, f"line {reader.line_num}: {error}", "rows of quoted cells") from error


def _row(number: int, cells: Sequence[Any]) -> Row:
    """Cells as text, each complaint with the number of its column until the header names it."""
    texts, wrong = [], []
    for at, cell in enumerate(cells):
        try:
            texts.append(_text(cell))
        except ValueError as error:
            texts.append("")
            wrong.append(InputError(str(at), cell, str(error)))
    while texts and not texts[-1] and not any(e.field == str(len(texts) - 1) for e in wrong):
        texts.pop()
    return Row(number, tuple(texts), tuple(wrong))


def _text(cell: Any) -> str:
    """A cell as text; ValueError says what may stand there instead."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, int | float):
        if not math.isfinite(cell):
            raise ValueError("a finite number")
        return f"{cell:.12g}"
    if isinstance(cell, datetime) and cell.time() == time():
        return cell.date().isoformat()
    if isinstance(cell, date) and not isinstance(cell, datetime):
        return cell.isoformat()
    if not isinstance(cell, str):
        raise ValueError("a text, a number or a day")
    return _plain(cell.strip())


def _plain(text: str) -> str:
    if len(text) > LONGEST_CELL:
        raise ValueError(said("a cell holds at most {most} characters", most=LONGEST_CELL))
    if not text.isprintable():
        raise ValueError("a cell holds one line of printable text")
    if text.startswith("'") and text[1:].startswith((*RISKY, "'")):
        return text[1:]
    if text.startswith(RISKY) and text.strip("-") and not _SIGNED.fullmatch(text):
        raise ValueError("no formula is taken: a text that begins like one has ' before it")
    return text


# --- XLSX ----------------------------------------------------------------------------------------


def _workbook_rows(content: bytes, name: str, sheet: str) -> Iterator[Row]:
    _inspect_parts(content, name)
    from openpyxl import load_workbook

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of what it leaves out, which is not read here either
            book = load_workbook(io.BytesIO(content), read_only=True, keep_links=False)
    except (ValueError, KeyError, TypeError, AttributeError, SyntaxError, OSError) as error:
        raise _refused(name, "a damaged workbook", "a workbook (.xlsx) that opens") from error
    try:
        yield from _sheet_rows(book, name, sheet)
    except (ValueError, KeyError, TypeError, AttributeError, SyntaxError) as error:
        raise _refused(name, "a damaged sheet", "a workbook (.xlsx) that opens") from error
    finally:
        book.close()


def _inspect_parts(content: bytes, name: str) -> None:
    """Look at every part of the package before any is read as a sheet."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as package:
            parts = package.infolist()
            _inspect_list(parts, name)
            for part in parts:
                _inspect_part(package, part, name)
    except (zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, OSError, ValueError) as error:
        # ValueError: a part that says it begins before the file does.
        raise _refused(name, "a damaged package", "a workbook (.xlsx) that opens") from error
    except (NotImplementedError, RuntimeError, EOFError) as error:  # unknown packing, a password
        raise _refused(name, "a locked package", "a workbook (.xlsx) that opens") from error


def _inspect_list(parts: Sequence[zipfile.ZipInfo], name: str) -> None:
    unpacked = sum(part.file_size for part in parts)
    if len(parts) > MOST_PARTS or unpacked > LARGEST_UNPACKED:
        raise _refused(
            name,
            f"{len(parts)} parts of {unpacked} bytes unpacked",
            said("at most {parts} parts and {most} bytes", parts=MOST_PARTS, most=LARGEST_UNPACKED),
        )
    if len({part.filename.lower() for part in parts}) < len(parts):
        raise _refused(name, "two parts of one name", "a workbook (.xlsx) as programs write them")


def _inspect_part(package: zipfile.ZipFile, part: zipfile.ZipInfo, name: str) -> None:
    path = part.filename.lower()
    if path.startswith(("/", "\\")) or ".." in path or ":" in path or "\\" in path:
        raise _refused(name, part.filename, "a workbook whose parts stay inside it")
    if any(word in path for word in _REFUSED_PARTS):
        raise _refused(
            name, part.filename, "a workbook without macros, embedded files and links to others"
        )
    # Decision: whatever its name says, since a workbook may call any part a sheet.
    content = package.read(part).replace(b"\0", b"").upper()
    if b"<!DOCTYPE" in content or b"<!ENTITY" in content:
        raise _refused(name, part.filename, "a workbook without document types or entities")
    if path.startswith("xl/worksheets/") and _FAR_CELL.search(content):
        raise _refused(
            name, "a cell far to the right", said("at most {most} columns", most=MOST_COLUMNS)
        )


def _sheet_rows(book: Workbook, name: str, sheet: str) -> Iterator[Row]:
    chosen: Any
    names = [found.title for found in book.worksheets]
    if sheet in names:
        chosen = book[sheet]
    elif len(names) == 1:
        chosen = book.worksheets[0]
    else:
        allowed = (
            said("one sheet, or a sheet named {sheet}", sheet=repr(sheet)) if sheet else "one sheet"
        )
        raise _refused(name, f"sheets {', '.join(names) or 'none'}", allowed)
    # What the sheet says about its own size may be wrong: it is not asked.
    chosen.reset_dimensions()
    for number, cells in enumerate(chosen.iter_rows(), start=1):
        if number > MOST_ROWS + 1:
            raise _refused(name, "more rows", said("at most {most} rows", most=MOST_ROWS), _PARTS)
        yield _row(number, [_value(cell) for cell in cells])


class _Formula:
    """Stands for a cell that would have to be worked out."""

    def __repr__(self) -> str:
        return "a formula"


def _value(cell: Any) -> Any:
    return _Formula() if cell.data_type in ("f", "e") else cell.value
