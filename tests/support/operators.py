"""What is shipped to operators, read for tests: settings, compose files, manifests."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import yaml

from support.programs import ROOT
from threadwright_service import gunicorn_conf
from threadwright_service.settings import Settings

DOCKER = ROOT / "docker"
KUBERNETES = DOCKER / "kubernetes"


class _Asked(dict[str, str]):
    """An environment that remembers which variables were asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.names: set[str] = set()

    def get(self, name: str, default: Any = None) -> Any:
        self.names.add(name)
        return default


def known_variables() -> set[str]:
    """Every environment variable that the service reads."""
    asked = _Asked()
    Settings.from_environment(asked)
    return asked.names | set(gunicorn_conf.VARIABLES)


def document(path: Path) -> dict[str, Any]:
    """A YAML file of one document, anchors resolved."""
    found = yaml.safe_load(path.read_text(encoding="utf-8"))
    assert isinstance(found, dict)
    return found


def seconds(text: str) -> int:
    """A duration as compose writes it."""
    assert text.endswith("s")
    return int(text[:-1])


def image_name() -> str:
    """The image's name: the project's, and its version."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return f"{project['name']}:{project['version']}"
