"""Fixtures of all tests: the application and a client of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import settings

from threadwright_service.app import create_app
from threadwright_service.settings import Settings

ROOT = Path(__file__).resolve().parent.parent

# A busy machine is no failure: no test is timed, speed is held by ratios.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


@pytest.fixture(scope="session")
def app() -> Flask:
    """The application with every setting at its default."""
    return create_app(Settings())


@pytest.fixture
def http(app: Flask) -> FlaskClient:
    """A client inside the process."""
    return app.test_client()


@pytest.fixture(scope="session")
def openapi() -> dict[str, Any]:
    """The committed contract."""
    document: dict[str, Any] = json.loads(
        (ROOT / "openapi" / "openapi.json").read_text(encoding="utf-8")
    )
    return document
