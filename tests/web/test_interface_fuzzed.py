"""The interface against a generator that knows its description: never an error of the server, every answer as described."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import content_type_conformance, response_schema_conformance

from support.serving import joined, opened, show_copy
from tailboard.web.access import Buckets
from tailboard.web.app import described_app
from tailboard.web.running import Open

EXAMPLES = 20  # of each address and mode; keeps the run short
SCHEMA = schemathesis.openapi.from_dict(described_app().openapi())
ADDRESSES: list[Any] = [found.ok() for found in SCHEMA.get_all_operations()]  # type: ignore[union-attr]
ENDS_THE_SESSION = "/api/leave"


@pytest.fixture(scope="module")
def show(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Open]:
    with opened(show_copy(tmp_path_factory.mktemp("show"))) as made:
        made.served.access.writes = Buckets(1e6, 1_000_000, lambda: 0.0)
        made.served.access.guesses = Buckets(1e6, 1_000_000, lambda: 0.0)
        yield made


@pytest.fixture(scope="module")
def phone(show: Open) -> Iterator[httpx.Client]:
    client = joined(show.address, show.served.access.keys.tick)
    yield client
    client.close()


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE], ids=["as described", "otherwise"])
@pytest.mark.parametrize(
    "operation", [one for one in ADDRESSES if one.path != ENDS_THE_SESSION], ids=lambda one: one.label
)
def test_no_request_makes_an_error_of_the_server(
    operation: Any, mode: GenerationMode, phone: httpx.Client, show: Open
) -> None:
    headers = {"x-tailboard": phone.headers["x-tailboard"], "cookie": f"tailboard={phone.cookies['tailboard']}"}

    @settings(
        max_examples=EXAMPLES,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate],
    )
    @given(st.data())
    def tried(data: st.DataObject) -> None:
        case = data.draw(operation.as_strategy(generation_mode=mode))
        answer = case.call(base_url=show.address.rstrip("/"), headers=headers)
        case.validate_response(
            answer, checks=[not_a_server_error, content_type_conformance, response_schema_conformance]
        )
        assert answer.status_code < 500

    try:
        tried()
    except Exception as fault:
        if "Unsatisfiable" in type(fault).__name__:
            return  # an address without parameters cannot be asked otherwise than described
        raise
