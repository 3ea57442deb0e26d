"""The whole JSON API under generated requests: no server error, answers as published."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st
from schemathesis import Case, GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.openapi import from_asgi
from schemathesis.schemas import APIOperation
from schemathesis.specs.openapi import checks

from tests.web_cases import OPEN, PERSON, app_of, client_of, shop_in
from underset.app import Shop

CHECKS: list[Any] = [
    not_a_server_error,
    checks.status_code_conformance,
    checks.content_type_conformance,
    checks.response_schema_conformance,
]
SEEDS = (1, 20)
EXAMPLES = 60
# A request is judged by its answer; how long a busy machine takes is measured in benchmarks.
PATIENCE = 120.0
# Names that are on file, put into about half of the requests: made-up ones are refused at once.
ON_FILE = {
    "vehicle": ("harbour-hatch", "lock-runabout"),
    "bay": ("north", "south"),
    "job": ("hatch-engine-out", ""),
    "kind": ("vehicle", "policy", "remark", "pdf"),
    "id": ("harbour-hatch", "policy"),
    "bays": (["north"], ["north", "south"]),
    "heading": ("nose-in", "tail-in"),
}


@pytest.fixture(scope="module")
def shop() -> Iterator[Shop]:
    with tempfile.TemporaryDirectory() as folder, shop_in(Path(folder)) as opened:
        yield opened


@pytest.fixture(scope="module")
def operations(shop: Shop) -> list[APIOperation[Any, Any, Any, Any]]:
    """Every operation of the published schema."""
    schema = from_asgi("/api/openapi.json", app_of(shop, OPEN), headers={"host": "testserver"})
    return [found.ok() for found in schema.get_all_operations()]


@pytest.fixture(scope="module")
def headers(shop: Shop) -> dict[str, str]:
    token = str(client_of(shop).headers["x-underset-token"])
    return {"host": "testserver", "x-underset-token": token, "x-underset-person": PERSON}


def test_the_schema_lists_the_whole_api(operations: list[Any]) -> None:
    told = {f"{o.method.upper()} {o.path}" for o in operations}
    assert len(told) == len(operations) == 24
    assert all(" /api/v1/" in line for line in told)


@pytest.mark.parametrize("start", SEEDS)
@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
def test_no_request_breaks_the_server(
    operations: list[Any], headers: dict[str, str], mode: GenerationMode, start: int
) -> None:
    asked: dict[int, int] = {}

    @seed(start)
    @settings(max_examples=EXAMPLES, database=None, suppress_health_check=list(HealthCheck))
    @given(st.data())
    def hold(data: st.DataObject) -> None:
        operation = data.draw(st.sampled_from(operations))
        case = data.draw(operation.as_strategy(generation_mode=mode))
        _with_names(case, data)
        response = case.call(headers=headers, timeout=PATIENCE)
        asked[response.status_code] = asked.get(response.status_code, 0) + 1
        case.validate_response(response, checks=CHECKS)

    hold()
    assert sum(asked.values()) >= EXAMPLES // 2
    if mode is GenerationMode.POSITIVE:
        assert asked.get(200, 0) > 0, asked


def _with_names(case: Case, data: st.DataObject) -> None:
    for part in (case.path_parameters, case.query, case.body):
        if not isinstance(part, dict):
            continue
        for name in sorted(set(part) & set(ON_FILE)):
            if data.draw(st.booleans()):
                part[name] = data.draw(st.sampled_from(ON_FILE[name]))
