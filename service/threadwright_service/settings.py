"""What an operator may set: environment variables, read once into a frozen record."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Settings of one running service.

    Parameters
    ----------
    api_keys : tuple of str
        ``THREADWRIGHT_API_KEYS``, separated by commas. Empty: no key is asked for.
    key_required : bool
        ``THREADWRIGHT_KEY_REQUIRED=true``: without any key do not start. It tells "none is wanted"
        from "they did not arrive".
    key_in_query : bool
        ``THREADWRIGHT_KEY_IN_QUERY=true``: accept ``?key=`` too, for cells that send no headers.
    body_limit : int
        ``THREADWRIGHT_BODY_LIMIT``, largest request body [bytes].
    batch_limit : int
        ``THREADWRIGHT_BATCH_LIMIT``, most items of one batch.
    max_age_s : int
        ``THREADWRIGHT_MAX_AGE``, how long an answer may be kept by caches [s].
    kept_answers : int
        ``THREADWRIGHT_KEPT_ANSWERS``, most answers that a worker keeps, of 2 KiB on average;
        0 keeps none. Each takes up to 3 KiB of every worker's memory. More of them pay where the
        same few hundred are asked for again and again, as by the cells of a large sheet.
    access_log : bool
        ``THREADWRIGHT_ACCESS_LOG=true``: one JSON line a request on standard output.
    metrics : bool
        ``THREADWRIGHT_METRICS=true``: serve ``/metrics`` (needs the ``metrics`` extra).
    """

    api_keys: tuple[str, ...] = ()
    key_required: bool = False
    key_in_query: bool = False
    body_limit: int = 1_048_576
    batch_limit: int = 1_000
    max_age_s: int = 300
    kept_answers: int = 80
    access_log: bool = False
    metrics: bool = False

    @classmethod
    def from_environment(cls, environment: Mapping[str, str] | None = None) -> Settings:
        """Read the settings.

        Raises
        ------
        ValueError
            If a variable holds something else than is accepted, or holds no key where one is
            required; names the variable.
        """
        values = os.environ if environment is None else environment
        api_keys = tuple(
            key.strip() for key in values.get("THREADWRIGHT_API_KEYS", "").split(",") if key.strip()
        )
        key_required = _flag(values, "THREADWRIGHT_KEY_REQUIRED", default=False)
        if key_required and not api_keys:
            raise ValueError(
                "THREADWRIGHT_API_KEYS holds no key and THREADWRIGHT_KEY_REQUIRED is 'true'; it "
                "takes keys separated by commas"
            )
        return cls(
            api_keys=api_keys,
            key_required=key_required,
            key_in_query=_flag(values, "THREADWRIGHT_KEY_IN_QUERY", default=False),
            body_limit=_count(values, "THREADWRIGHT_BODY_LIMIT", 1_048_576),
            batch_limit=_count(values, "THREADWRIGHT_BATCH_LIMIT", 1_000),
            max_age_s=_count(values, "THREADWRIGHT_MAX_AGE", 300),
            kept_answers=_count(values, "THREADWRIGHT_KEPT_ANSWERS", 80),
            access_log=_flag(values, "THREADWRIGHT_ACCESS_LOG", default=False),
            metrics=_flag(values, "THREADWRIGHT_METRICS", default=False),
        )


def _flag(values: Mapping[str, str], name: str, *, default: bool) -> bool:
    text = values.get(name, "true" if default else "false")
    if text not in ("true", "false"):
        raise ValueError(f"{name} is {text!r}; it takes true or false")
    return text == "true"


def _count(values: Mapping[str, str], name: str, default: int) -> int:
    text = values.get(name, str(default))
    if not (text.isascii() and text.isdigit()):
        raise ValueError(f"{name} is {text!r}; it takes a whole number")
    return int(text)
