"""The stand-in service, fresh for each test."""

from __future__ import annotations

import pytest
from tests.sdk.stub_service import Stub


@pytest.fixture
def stub() -> Stub:
    return Stub()


@pytest.fixture
def installed(stub: Stub, monkeypatch: pytest.MonkeyPatch) -> Stub:
    """The stand-in takes the place of the installed service."""
    monkeypatch.setattr("halfthou.transport.embedded_app", lambda: stub)
    monkeypatch.delenv("HALFTHOU_URL", raising=False)
    return stub
