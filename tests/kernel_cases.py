"""A kernel module and its compiled twin, for the tests that compare the two."""

from __future__ import annotations

import importlib.util
import inspect
from collections.abc import Iterator
from types import ModuleType


def compiled(original: ModuleType) -> ModuleType:
    """A second copy of a module in which each function is replaced by its compiled twin."""
    import numba

    spec = importlib.util.spec_from_file_location("compiled_kernels", original.__file__)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    for name in own_functions(module):
        setattr(module, name, numba.njit(getattr(module, name)))
    return module


def own_functions(module: ModuleType) -> list[str]:
    """Names of the functions a module defines itself."""
    return [
        name
        for name, value in vars(module).items()
        if inspect.isfunction(value) and value.__module__ == module.__name__
    ]


def flat(result: object) -> Iterator[float]:
    """The figures of a result, whatever they are packed in."""
    if isinstance(result, tuple | list):
        for part in result:
            yield from flat(part)
    else:
        assert isinstance(result, float | int)
        yield float(result)
