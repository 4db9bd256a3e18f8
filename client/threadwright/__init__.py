"""Threadwright, the client: limits, pass plans, cutting data and times for threading jobs."""

from threadwright.client import Client
from threadwright.errors import (
    ConnectionFailedError,
    EmbeddedServiceMissingError,
    Fault,
    InvalidInputError,
    MissingExtraError,
    NoAnswerError,
    NotFoundError,
    ProblemError,
    RefusedError,
    ServiceError,
    ThreadwrightError,
    TimedOutError,
    TooManyRequestsError,
    UnauthorisedError,
    UnexpectedAnswerError,
)

__all__ = [
    "Client",
    "ConnectionFailedError",
    "EmbeddedServiceMissingError",
    "Fault",
    "InvalidInputError",
    "MissingExtraError",
    "NoAnswerError",
    "NotFoundError",
    "ProblemError",
    "RefusedError",
    "ServiceError",
    "ThreadwrightError",
    "TimedOutError",
    "TooManyRequestsError",
    "UnauthorisedError",
    "UnexpectedAnswerError",
]
