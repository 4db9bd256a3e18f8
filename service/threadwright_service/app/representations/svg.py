"""A picture of the answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from threadwright_service.api.operation import Operation
from threadwright_service.app.representations.options import Options
from threadwright_service.schemas.faults import Fault, InvalidRequestError


def write(operation: Operation, answer: Mapping[str, Any], options: Options) -> bytes:
    """The picture asked for, or the operation's first that this answer can show.

    Raises
    ------
    InvalidRequestError
        If the operation has no such picture, or this answer nothing to show in it.
    """
    from threadwright_service.app.pictures import PICTURES, picture_of

    names = ", ".join(picture.name for picture in PICTURES.get(operation.name, ()))
    try:
        drawn = picture_of(operation.name, answer, options.picture)
    except LookupError:
        raise InvalidRequestError(
            (
                Fault(
                    parameter="picture",
                    code="not-a-choice",
                    detail=f"picture: {operation.name} has no picture {options.picture!r}",
                    value=options.picture,
                    accepted=f"one of {names}",
                ),
            )
        ) from None
    if drawn is None:
        raise InvalidRequestError(
            (
                Fault(
                    parameter="picture" if options.picture else "format",
                    code="nothing-to-draw",
                    detail="this answer holds nothing that the picture could show",
                    value=options.picture or "svg",
                    accepted=f"another form, or another of the pictures {names}",
                ),
            )
        )
    return drawn.encode("utf-8")
