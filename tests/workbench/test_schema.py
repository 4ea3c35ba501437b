"""The OpenAPI schema, fuzzed: whatever an address is sent, no server error comes of it."""

from __future__ import annotations

import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import Case

from .conftest import Server

EXAMPLES = 8
"""Of each address."""


def test_nothing_that_is_sent_makes_a_server_error(demo: Server) -> None:
    schema = schemathesis.openapi.from_url(f"{demo.url}/openapi.json")
    headers = {"origin": demo.url, "x-csrf-token": demo.token()}
    cookies = dict(demo.client.cookies)
    errors: list[str] = []
    met: set[int] = set()

    def send(case: Case) -> None:
        answer = case.call(base_url=demo.url, headers=headers, cookies=cookies, allow_redirects=False, timeout=60)
        met.add(answer.status_code)
        if answer.status_code >= 500:
            errors.append(f"{answer.status_code} {case.as_curl_command()}")

    operations = [found.ok() for found in schema.get_all_operations()]
    assert len(operations) >= 9
    for operation in operations:
        quickly = settings(
            max_examples=EXAMPLES, deadline=None, database=None, derandomize=True,
            phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck),
        )  # fmt: skip
        quickly(given(case=operation.as_strategy())(send))()
    assert errors == []
    assert 200 in met
