"""What a refusal tells, to be held against what it should."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from underset.errors import InputError


def told_by(call: Callable[[], object]) -> tuple[object, ...]:
    """Field, value, what is allowed and remedy of the refusal that a call must end in."""
    with pytest.raises(InputError) as caught:
        call()
    error = caught.value
    return error.field, error.value, error.allowed, error.remedy
