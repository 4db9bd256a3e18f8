"""The error tree: one root, one class for each kind, whole after pickling."""

from __future__ import annotations

import pickle

import pytest

import threadwright
from support.answers import problem
from threadwright import (
    EmbeddedServiceMissingError,
    InvalidInputError,
    MissingExtraError,
    NotFoundError,
    ProblemError,
    RefusedError,
    ServiceError,
    ThreadwrightError,
    TooManyRequestsError,
    UnauthorisedError,
    UnexpectedAnswerError,
)
from threadwright.errors import problem_error
from threadwright_service.calc.errors import REFUSALS


@pytest.mark.parametrize(
    ("status", "slug", "kind"),
    [
        (400, "unreadable-body", InvalidInputError),
        (401, "unauthorised", UnauthorisedError),
        (404, "not-found", NotFoundError),
        (405, "method-not-allowed", NotFoundError),
        (411, "length-required", InvalidInputError),
        (413, "too-large", InvalidInputError),
        (415, "unsupported-media-type", InvalidInputError),
        (422, "invalid-request", InvalidInputError),
        (422, "a-refusal-of-the-future", InvalidInputError),
        (429, "too-many-requests", TooManyRequestsError),
        (500, "internal-error", ServiceError),
        (503, "unavailable", ServiceError),
        *((422, refusal.code, RefusedError) for refusal in REFUSALS),
    ],
)
def test_each_problem_has_its_class(status: int, slug: str, kind: type[ProblemError]) -> None:
    error = problem_error(problem(status, slug, "why"), status=status, request_id="r7")
    assert type(error) is kind
    assert (error.status, error.code, error.detail, error.request_id) == (
        status,
        slug,
        "why",
        "r7",
    )
    assert f"{status} {slug}: why" in str(error)
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is kind
    assert str(again) == str(error)


def test_a_problem_with_faults_survives_pickling() -> None:
    faults = [
        {"parameter": "pitch", "code": "x", "detail": "no pitch", "value": [1], "accepted": "one"},
        {"parameter": "lead", "code": "x", "detail": "no lead", "accepted": "one"},
        {"parameter": "", "code": "x", "detail": "nothing"},
    ]
    error = problem_error(problem(422, "invalid-request", "3 wrong", errors=faults), status=422)
    again = pickle.loads(pickle.dumps(error))
    assert again.faults == error.faults
    assert [fault.parameter for fault in again.faults] == ["pitch", "lead", ""]
    assert str(error).splitlines() == [
        "422 invalid-request: 3 wrong",
        "  - no pitch",
        "  - no lead",
        "  - nothing",
        "  accepted for pitch, lead: one",
    ]
    assert error.told() == "3 wrong; accepted for pitch, lead: one"


def test_an_unexpected_answer_survives_pickling() -> None:
    error = UnexpectedAnswerError("what is this", status=200, content_type="text/html")
    again = pickle.loads(pickle.dumps(error))
    assert (str(again), again.status, again.content_type) == ("what is this", 200, "text/html")


def test_a_bare_problem_is_taken() -> None:
    error = problem_error({}, status=418)
    assert type(error) is InvalidInputError
    assert error.code == "about:blank"


def test_one_root() -> None:
    kinds = [getattr(threadwright, name) for name in threadwright.__all__ if name.endswith("Error")]
    assert len(kinds) > 10
    assert all(issubclass(kind, ThreadwrightError) for kind in kinds)
    assert issubclass(EmbeddedServiceMissingError, MissingExtraError)
