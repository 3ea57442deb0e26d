"""A shop of its own for each test, unless its file shares one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from tests.web_cases import client_of, shop_in
from underset.app import Shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The invented sample workshop, as it has just been taken in."""
    with shop_in(tmp_path) as opened:
        yield opened


@pytest.fixture
def client(shop: Shop) -> TestClient:
    """A tablet at which somebody is named."""
    return client_of(shop)
