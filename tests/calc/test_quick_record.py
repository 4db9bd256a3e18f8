"""Records made the quick way are the records that their own constructor makes."""

from __future__ import annotations

import copy
import pickle
from dataclasses import FrozenInstanceError, asdict, fields, replace
from typing import Any

import pytest

from threadwright_service.calc.quick_record import maker_of
from threadwright_service.calc.threads.call_out import CallOut, make_call_out
from threadwright_service.calc.threads.thread import (
    DiameterLimits,
    Diameters,
    Span,
    ThreadLimits,
    make_diameter_limits,
    make_diameters,
    make_span,
    make_thread_limits,
)

MAKERS = [
    (Span, make_span),
    (Diameters, make_diameters),
    (DiameterLimits, make_diameter_limits),
    (ThreadLimits, make_thread_limits),
    (CallOut, make_call_out),
]


@pytest.mark.parametrize(("record", "make"), MAKERS)
def test_fields_go_in_by_position_in_the_order_of_the_record(record: type[Any], make: Any) -> None:
    names = [field.name for field in fields(record)]
    made = make(*names)
    assert type(made) is record
    assert made == record(**{name: name for name in names})
    assert [getattr(made, name) for name in names] == names
    with pytest.raises(TypeError):
        make(*names[1:])


@pytest.mark.parametrize(("record", "make"), MAKERS)
def test_the_record_is_frozen_and_behaves_like_any_other(record: type[Any], make: Any) -> None:
    names = [field.name for field in fields(record)]
    made = make(*names)
    with pytest.raises(FrozenInstanceError):
        setattr(made, names[0], 1.0)
    with pytest.raises((AttributeError, TypeError)):
        made.more = 1
    assert asdict(made) == {name: name for name in names}
    assert hash(made) == hash(record(**{name: name for name in names}))
    assert replace(made, **{names[0]: "other"}) != made
    assert copy.deepcopy(made) == pickle.loads(pickle.dumps(made)) == made
    assert repr(made).startswith(f"{record.__name__}(")


def test_makers_do_not_share_their_open_class() -> None:
    first, second = maker_of(Span)(1.0, 2.0), maker_of(Diameters)(1.0, 2.0, 3.0)
    assert isinstance(first, Span)
    assert isinstance(second, Diameters)
