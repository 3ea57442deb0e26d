"""Where a workshop comes from: a folder of TOML files, the store, or the sample in the package."""

from __future__ import annotations

import os
import sys
from datetime import UTC, date, datetime
from pathlib import Path

from underset.errors import NotFoundError
from underset.records.reading import read_workshop
from underset.records.workshop import Workshop

HOME_VARIABLE = "UNDERSET_HOME"


def home() -> Path:
    """The folder that holds this user's book: UNDERSET_HOME, or the user's data folder."""
    named = os.environ.get(HOME_VARIABLE)
    if named:
        return Path(named).expanduser()
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", Path.home() / "AppData" / "Local"))
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME", Path.home() / ".local" / "share"))
    return base / "underset"


def sample_folder() -> Path:
    """The invented sample workshop: beside the source, or inside the installed package."""
    here = Path(__file__).resolve()
    beside, inside = here.parents[3] / "examples", here.parents[1] / "sample"
    for folder in (inside / "quayside", beside / "quayside"):
        if (folder / "workshop.toml").is_file():
            return folder
    raise NotFoundError("sample workshop", "quayside", ())


def today() -> date:
    """The day in the shop's own time."""
    return datetime.now(tz=UTC).astimezone().date()


def open_workshop(folder: Path | None) -> Workshop:
    """The workshop of a folder, or the sample when none is named."""
    return read_workshop(folder if folder is not None else sample_folder())
