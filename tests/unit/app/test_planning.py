"""What is asked for by a name that is not on file is refused by that name, not planned."""

from __future__ import annotations

from datetime import date

import pytest

from underset.app import Wish, make_plan, open_workshop
from underset.errors import NotFoundError

DAY = date(2026, 11, 20)


def test_a_point_set_that_is_not_on_file() -> None:
    """Once it was planned with no points at all, and told that no setting exists."""
    wish = Wish("harbour-hatch", None, ("north",), point_set="sill-boses", remedies=False)
    with pytest.raises(NotFoundError, match="sill-bosses"):
        make_plan(open_workshop(None), wish, DAY)
