"""The mechanics of an operation by its name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from threadwright_service.calc.cutting.operations.chamfering import Chamfering
from threadwright_service.calc.cutting.operations.drilling import Drilling
from threadwright_service.calc.cutting.operations.load import Cut, OperationMechanics
from threadwright_service.calc.cutting.operations.side_milling import SideMilling
from threadwright_service.calc.cutting.operations.single_point_threading import (
    SinglePointThreading,
)
from threadwright_service.calc.cutting.operations.tapping import Tapping
from threadwright_service.calc.cutting.operations.thread_milling import ThreadMilling
from threadwright_service.calc.cutting.ranges import check_engagement, check_tool
from threadwright_service.calc.errors import UnknownDesignationError
from threadwright_service.calc.trail import Trail

_MAKERS: Final[Mapping[str, Callable[[Cut, Trail | None], OperationMechanics]]] = MappingProxyType(
    {
        "thread-milling": ThreadMilling.of,
        "side-milling": SideMilling.of,
        "chamfering": Chamfering.of,
        "drilling": Drilling.of,
        "tapping": Tapping.of,
        "single-point-threading": SinglePointThreading.of,
    }
)


def mechanics_of(operation: str, cut: Cut, trail: Trail | None = None) -> OperationMechanics:
    """How chip, force and feed hang together in an operation.

    Parameters
    ----------
    operation : Operation
        Its name.
    cut : Cut
        Tool, engagement and material.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Raises
    ------
    UnknownDesignationError
        If the operation is not one of those known.
    OutOfRangeError
        If a length or a number of teeth cannot be.
    CalcError
        As the operation refuses.

    Notes
    -----
    Source: the modules of the operations.
    """
    if operation not in _MAKERS:
        raise UnknownDesignationError(
            f"{operation} is not an operation that has cutting data",
            parameter="operation",
            value=operation,
            accepted=", ".join(_MAKERS),
        )
    check_tool(cut.tool)
    check_engagement(cut.engagement)
    return _MAKERS[operation](cut, trail)
