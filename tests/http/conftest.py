"""A sheet to start from, and a way to send one."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
import simplejson

ROD = "rod-bearing-running-clearance"


@pytest.fixture
def engine() -> dict[str, Any]:
    return {
        "id": "H",
        "engine_class": "slow-open-crank",
        "features": ["drip-oiled"],
        "dimensions": {"crankpin": {"value": Decimal("2.25"), "unit": "in"}},
    }


@pytest.fixture
def rod() -> dict[str, Any]:
    """A good reading."""
    value = {"value": Decimal("3.8"), "unit": "thou"}
    return {"id": "good", "characteristic": ROD, "value": value, "instrument": "plastic-gauge-strip"}


@pytest.fixture
def send(client, engine) -> Callable[..., Any]:
    """Post readings (or a whole body) to /v1/verdicts: (status, decoded answer)."""

    def post(readings: Any, /, **more: Any) -> tuple[int, Any]:
        body = {"engine": engine, "readings": readings} | more
        text = simplejson.dumps(body, use_decimal=True)
        answer = client.post("/v1/verdicts", data=text, content_type="application/json")
        return answer.status_code, simplejson.loads(answer.text, use_decimal=True)

    return post


@pytest.fixture
def raw(client) -> Callable[..., Any]:
    """Post bytes to /v1/verdicts: (status, decoded answer)."""

    def post(body: bytes | str, content_type: str | None = "application/json", **more: Any) -> tuple[int, Any]:
        answer = client.post("/v1/verdicts", data=body, content_type=content_type, **more)
        return answer.status_code, simplejson.loads(answer.text, use_decimal=True)

    return post


@pytest.fixture
def limit(client) -> Callable[..., Any]:
    """GET /v1/limits for the rod bearing of a slow engine unless told otherwise: (status, decoded answer)."""

    def get(**more: str) -> tuple[int, Any]:
        query = {"characteristic": ROD, "engine_class": "slow-open-crank"} | more
        answer = client.get("/v1/limits", query_string={k: v for k, v in query.items() if v is not None})
        return answer.status_code, simplejson.loads(answer.text, use_decimal=True)

    return get
