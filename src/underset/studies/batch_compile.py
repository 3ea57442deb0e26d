"""The batch's kernels as they are, or compiled from the very same source.

Decision: the sources of geometry, statics and batch kernels are loaded a second time and each
function is replaced by its compiled form, so that no formula is written twice. The cache of
compiled code lies in a folder named after the content of all sources, since a compiler's cache
would not see a change in a function that another module calls.
"""

from __future__ import annotations

import os
import sys
from functools import cache
from hashlib import sha256
from importlib import import_module
from importlib.util import find_spec, module_from_spec, spec_from_file_location
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Any

from underset.studies.proof import require_extra

# In the order in which they use one another.
SOURCES = (
    "underset.geometry.kernels",
    "underset.geometry.outline_kernels",
    "underset.statics.kernels",
    "underset.studies.batch_spot_kernels",
    "underset.studies.batch_load_kernels",
    "underset.studies.batch_clear_kernels",
    "underset.studies.batch_stack_kernels",
    "underset.studies.batch_kernels",
)
_ENTRY = "plan_many"


def plain() -> ModuleType:
    """The kernels as Python runs them."""
    return import_module(SOURCES[-1])


def can_compile() -> bool:
    """Whether the compiler is installed."""
    return find_spec("numba") is not None


@cache
def compiled() -> ModuleType:
    """The kernels compiled. Raises InputError where the extra "speed" is not installed."""
    require_extra("numba", "speed")
    import numba

    settings: Any = numba.config
    before = settings.CACHE_DIR
    settings.CACHE_DIR = str(_cache_folder())
    try:
        return _compiled(numba.njit)
    finally:
        settings.CACHE_DIR = before


def _compiled(njit: Any) -> ModuleType:
    done: dict[tuple[str, str], Any] = {}
    seconds = {_second_name(name): name for name in SOURCES}
    for name in SOURCES:
        module = _second(name)
        for key, thing in list(vars(module).items()):
            if not isinstance(thing, FunctionType):
                continue
            home = seconds.get(thing.__module__, thing.__module__)
            if thing.__module__ in seconds:
                inner = key != _ENTRY
                done[home, key] = njit(cache=True, no_cpython_wrapper=inner)(thing)
            setattr(module, key, done.get((home, key), thing))
    return module


def _second_name(name: str) -> str:
    return f"compiled_{name.replace('.', '_')}"


def _second(name: str) -> ModuleType:
    """A second copy of a module, under a name of its own."""
    spec = spec_from_file_location(_second_name(name), _path(name))
    assert spec is not None and spec.loader is not None
    module = module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def _path(name: str) -> Path:
    spec = find_spec(name)
    assert spec is not None and spec.origin is not None
    return Path(spec.origin)


def _cache_folder() -> Path:
    """A folder of the user's own for compiled code of exactly these sources."""
    digest = sha256()
    for name in (__name__, "underset.studies.batch_columns", *SOURCES):
        digest.update(_path(name).read_bytes())
    base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    folder = base / "underset" / f"compiled-{digest.hexdigest()[:16]}"
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    return folder
