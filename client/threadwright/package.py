"""The version of this package, as it was installed."""

from __future__ import annotations

from functools import cache


@cache
def package_version() -> str:
    """The version; ``0`` from a source tree that was not installed."""
    # Imported here: it costs as much as the rest of the client.
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("threadwright")
    except PackageNotFoundError:
        return "0"
