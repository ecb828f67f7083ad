"""Fixtures for every folder: the service over the real table, and a client of it in this process."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None, print_blob=True)
settings.register_profile("here", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")

if TYPE_CHECKING:
    from flask import Flask
    from flask.testing import FlaskClient


@pytest.fixture(scope="session")
def app() -> Flask:
    """The application with default settings, whatever the environment says."""
    from halfthou_service.http import Settings, create_app

    return create_app(Settings())


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A client of the application; no socket."""
    return app.test_client()


@pytest.fixture(scope="session")
def table(app: Flask) -> Any:
    """The table that the application answers from."""
    return app.extensions["halfthou"].table
