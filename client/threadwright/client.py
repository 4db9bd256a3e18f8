"""The client: one method for each operation, typed keys in, typed results out."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import TracebackType
from typing import TYPE_CHECKING, Any, Literal, Self, TypeVar, Unpack

import requests

from threadwright.embedded import EmbeddedTransport
from threadwright.http_transport import HttpTransport
from threadwright.operations import result_of
from threadwright.package import package_version
from threadwright.settings import checked_retries, checked_timeout, shown_address
from threadwright.transport import DEFAULT_TIMEOUT, Timeout, Transport, json_object
from threadwright.wire import sendable

if TYPE_CHECKING:
    from threadwright import keys as k
    from threadwright.batch import BatchItem
    from threadwright.errors import InvalidInputError
    from threadwright.results.answer import Result
    from threadwright.results.correction import SizeCorrection
    from threadwright.results.cutting import CuttingData
    from threadwright.results.gauges import GaugeLimits
    from threadwright.results.hardness import HardnessConversion
    from threadwright.results.holes import ThreadHole
    from threadwright.results.jobs import JobSheet
    from threadwright.results.lists import MaterialGroup, ThreadFamily
    from threadwright.results.milling import PassPlan
    from threadwright.results.threads import ThreadLimits
    from threadwright.results.times import CycleTime
    from threadwright.results.turning import TurnedThread
    from threadwright.results.wires import WireMeasurement

ResultType = TypeVar("ResultType", bound="Result")
TableType = TypeVar("TableType")
Format = Literal["json", "csv", "text", "xml", "html", "svg"]

_OWN: Any = object()
"""Stands for the client's own timeout, because ``None`` means to wait for ever."""


class Client:
    """A client of one Threadwright service.

    It may be used by several threads at once.

    Parameters
    ----------
    base_url : str, optional
        Address of the service. Without one, the service runs inside this process; that needs the
        ``service`` extra.
    timeout : float, tuple or None
        Seconds, or seconds to connect and seconds to wait; ``None`` waits for ever.
    retries : int
        How often a call is repeated that found no service or a busy one.
    token : str, optional
        Sent as a bearer token.
    session : requests.Session, optional
        Used as it is and never altered; its own retries and proxies then hold.
    headers : mapping, optional
        Further headers.

    Raises
    ------
    ValueError
        If ``base_url`` is no address, or a setting is not what it may be.
    EmbeddedServiceMissingError
        If there is no address and the service is not installed.

    Notes
    -----
    Every call raises :class:`~threadwright.ThreadwrightError` and nothing else of its own:
    ``InvalidInputError`` and ``RefusedError`` if the keys must be changed, ``NoAnswerError`` if
    nothing came back, ``UnexpectedAnswerError`` if something else than the service answered,
    ``ServiceError`` if the service failed.

    Examples
    --------
    >>> with Client() as client:
    ...     limits = client.thread_limits(designation="M24x1.5-6g LH")
    >>> limits.limits.pitch_diameter.max
    22.994
    """

    def __init__(
        self,
        base_url: str | None = None,
        *,
        timeout: Timeout = DEFAULT_TIMEOUT,
        retries: int = 2,
        token: str | None = None,
        session: requests.Session | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> None:
        self.base_url = base_url
        self._timeout: Timeout = checked_timeout(timeout)
        checked_retries(retries)
        self._transport: Transport
        if base_url is None:
            self._transport = EmbeddedTransport()
            return
        sent = {"User-Agent": f"threadwright/{package_version()}", "Accept": "application/json"}
        if token is not None:
            sent["Authorization"] = f"Bearer {token}"
        sent.update(headers or {})
        self._transport = HttpTransport(base_url, headers=sent, retries=retries, session=session)

    @classmethod
    def from_env(cls) -> Self:
        """A client for ``THREADWRIGHT_URL``, with ``THREADWRIGHT_TOKEN`` as its key.

        Without the former the service runs inside this process.
        """
        return cls(
            os.environ.get("THREADWRIGHT_URL") or None,
            token=os.environ.get("THREADWRIGHT_TOKEN") or None,
        )

    def __repr__(self) -> str:
        """Where the service is."""
        address = "" if self.base_url is None else repr(shown_address(self.base_url))
        return f"{type(self).__name__}({address})"

    def close(self) -> None:
        """Close the connections."""
        self._transport.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def thread_limits(self, **keys: Unpack[k.ThreadLimitsKeys]) -> ThreadLimits:
        """Basic dimensions and limits of size of a thread."""
        return self._call("thread-limits", keys)

    def wire_measurement(self, **keys: Unpack[k.WireMeasurementKeys]) -> WireMeasurement:
        """Reading over wires, pins or balls; from a reading the pitch diameter and a verdict."""
        return self._call("wire-measurement", keys)

    def gauge_limits(self, **keys: Unpack[k.GaugeLimitsKeys]) -> GaugeLimits:
        """GO and NOT GO gauges for a thread, with wear limits."""
        return self._call("gauge-limits", keys)

    def size_correction(self, **keys: Unpack[k.SizeCorrectionKeys]) -> SizeCorrection:
        """The cutter's next correction from measured sizes, the drift, and when to correct next."""
        return self._call("size-correction", keys)

    def thread_hole(self, **keys: Unpack[k.ThreadHoleKeys]) -> ThreadHole:
        """Hole before tapping or thread milling, percentage of thread, nearest drills."""
        return self._call("thread-hole", keys)

    def hardness(self, **keys: Unpack[k.HardnessKeys]) -> HardnessConversion:
        """A hardness or tensile strength on other scales, by published tables."""
        return self._call("hardness", keys)

    def pass_plan(self, **keys: Unpack[k.PassPlanKeys]) -> PassPlan:
        """Passes and cutter-centre path of a milled thread, within stated limits."""
        return self._call("pass-plan", keys)

    def turning_plan(self, **keys: Unpack[k.TurningPlanKeys]) -> TurnedThread:
        """Passes of a thread turned with a single point: infeeds, force, speed, time."""
        return self._call("turning-plan", keys)

    def cutting_data(self, **keys: Unpack[k.CuttingDataKeys]) -> CuttingData:
        """Speed, feed, chip, force and tool life for one process, tool and material."""
        return self._call("cutting-data", keys)

    def cycle_time(self, **keys: Unpack[k.CycleTimeKeys]) -> CycleTime:
        """Times of a part and a lot, cost, and from which quantity another way pays."""
        return self._call("cycle-time", keys)

    def job_sheet(self, **keys: Unpack[k.JobSheetKeys]) -> JobSheet:
        """Everything for one job and one lot: limits, readings, passes, path, times, cost."""
        return self._call("job-sheet", keys)

    def threads(
        self, *, family: str | None = None, series: str | None = None
    ) -> tuple[ThreadFamily, ...]:
        """Families of threads, their classes and standard sizes.

        Parameters
        ----------
        family : str, optional
            Only this family, by its key.
        series : str, optional
            Only this series, by its symbol.
        """
        from threadwright.results.lists import ThreadFamily

        listed = self._list("threads", family=family, series=series)
        return tuple(ThreadFamily.from_json(each) for each in listed["families"])

    def materials(
        self, *, iso_513: Literal["P", "M", "K", "N", "S", "H"] | None = None
    ) -> tuple[MaterialGroup, ...]:
        """Material groups with hardness ranges, grade names and starting values.

        Parameters
        ----------
        iso_513 : str, optional
            Only this application group.
        """
        from threadwright.results.lists import MaterialGroup

        listed = self._list("materials", iso_513=iso_513)
        return tuple(MaterialGroup.from_json(each) for each in listed["materials"])

    def call(self, operation: str, keys: Mapping[str, Any] | None = None) -> Result:
        """Call an operation by its name.

        Parameters
        ----------
        operation : str
            Such as ``thread-limits``.
        keys : mapping, optional
            As for the operation's own method.

        Returns
        -------
        Result
            Of the operation's own type; of an operation that this client does not know, a bare one
            with everything in ``extra``.
        """
        name = operation.replace("_", "-")
        return self._call(name, keys or {})

    def text(self, operation: str, field: str | Iterable[str], **keys: Any) -> str:
        """Single values of an answer, as a spreadsheet's cell would get them.

        Parameters
        ----------
        operation : str
            Such as ``thread-limits``.
        field : str or iterable of str
            Dotted paths into the result: one gives the bare value, several one line of CSV.
        **keys
            As for the operation's own method.

        Examples
        --------
        >>> Client().text("thread-limits", "limits.pitch_diameter.max", designation="M24x1.5-6g")
        '22.994'
        """
        paths = field if isinstance(field, str) else ",".join(field)
        return self._document(operation, {"field": paths}, keys).decode("utf-8")

    def document(self, operation: str, format: Format, **keys: Any) -> bytes:  # noqa: A002
        """An answer in another form, as the service writes it.

        Parameters
        ----------
        operation : str
            Such as ``job-sheet``.
        format : str
            ``json``, ``csv``, ``text``, ``xml``, ``html`` or ``svg``, where the operation has it.
        **keys
            As for the operation's own method.
        """
        return self._document(operation, {"format": format}, keys)

    def batch(
        self,
        items: Iterable[BatchItem],
        *,
        operation: str | None = None,
        raise_first: bool = False,
        progress: bool = False,
        timeout: Timeout = _OWN,
        **shared: Any,
    ) -> list[Result | InvalidInputError]:
        """Call an operation many times, in as few requests as the service takes.

        Parameters
        ----------
        items : iterable
            Mappings of keys if ``operation`` is given; else pairs of operation and keys, or
            mappings with ``operation`` and ``params``.
        operation : str, optional
            What is done with every item.
        raise_first : bool
            Raise the first item's error instead of giving it in its place.
        progress : bool
            Show a progress bar; needs the ``progress`` extra.
        timeout : float, tuple or None
            For each request; the client's own if not given.
        **shared
            Keys of every item; its own come first.

        Returns
        -------
        list
            For each item, in order, its result, or the ``InvalidInputError`` or ``RefusedError``
            that a single call would have raised.

        Raises
        ------
        ThreadwrightError
            If the service gave no answer, or failed; then no result is given. Use
            :meth:`batch_iter` to keep what came before.
        MissingExtraError
            If a progress bar is asked for and tqdm is not installed.
        """
        return list(
            self.batch_iter(
                items,
                operation=operation,
                raise_first=raise_first,
                progress=progress,
                timeout=timeout,
                **shared,
            )
        )

    def batch_iter(
        self,
        items: Iterable[BatchItem],
        *,
        operation: str | None = None,
        raise_first: bool = False,
        progress: bool = False,
        timeout: Timeout = _OWN,
        **shared: Any,
    ) -> Iterator[Result | InvalidInputError]:
        """As :meth:`batch`, but each result as it comes; ``items`` may be endless."""
        from threadwright.batch import answered

        return answered(
            self._transport,
            items,
            operation=operation,
            raise_first=raise_first,
            progress=progress,
            timeout=self._timeout if timeout is _OWN else checked_timeout(timeout),
            shared=shared,
        )

    def frame(
        self,
        operation: str,
        table: TableType,
        *,
        keep: Sequence[str] | None = None,
        columns: Mapping[str, str] | None = None,
        progress: bool = False,
        timeout: Timeout = _OWN,
        **shared: Any,
    ) -> TableType:
        """Call an operation for every row of a pandas ``DataFrame``, and add what it answers.

        Parameters
        ----------
        operation : str
            Such as ``thread-limits``.
        table : pandas.DataFrame
            Columns that are named as keys of the operation are sent; empty cells are left out.
        keep : sequence of str, optional
            Dotted paths into the result, each a new column; every single value of the results if
            not given. A path that is a column already is put in beside it as ``result.<path>``.
        columns : mapping, optional
            Key of the operation for each column to be sent, in place of the columns' own names.
        progress : bool
            Show a progress bar; needs the ``progress`` extra.
        timeout : float, tuple or None
            For each request; the client's own if not given.
        **shared
            Keys of every row, such as ``unit="mm"``; a row's own come first.

        Returns
        -------
        pandas.DataFrame
            A copy with the same index, the new columns, and a column ``error`` that is empty where
            all went well.

        Raises
        ------
        ValueError
            If no column is a key, or ``keep`` names what no result holds.
        TypeError
            If the table is no ``DataFrame``.
        MissingExtraError
            If pandas is not installed.
        """
        from threadwright.frames import with_answers

        return with_answers(  # type: ignore[no-any-return]
            self,
            operation.replace("_", "-"),
            table,
            keep=keep,
            columns=columns,
            progress=progress,
            timeout=self._timeout if timeout is _OWN else checked_timeout(timeout),
            shared=shared,
        )

    def _call(self, operation: str, keys: Mapping[str, Any]) -> ResultType:  # type: ignore[type-var]
        """The operation's result; which type that is, its name decides and the caller states."""
        sent, timeout = self._sent(keys)
        members, request_id = self._transport.call(operation, sent, timeout)
        made: Any = result_of(operation).from_answer(members, request_id)
        return made  # type: ignore[no-any-return]

    def _document(self, operation: str, query: Mapping[str, str], keys: Mapping[str, Any]) -> bytes:
        sent, timeout = self._sent(keys)
        path = f"/v1/{operation.replace('_', '-')}"
        return self._transport.document(path, query, sent, timeout).content

    def _list(self, name: str, **query: str | None) -> Mapping[str, Any]:
        given = {key: value for key, value in query.items() if value is not None}
        response = self._transport.document(f"/v1/{name}", given, None, self._timeout)
        return json_object(response)["result"]  # type: ignore[no-any-return]

    def _sent(self, keys: Mapping[str, Any]) -> tuple[dict[str, Any], Timeout]:
        """The keys as they are sent, and how long to wait."""
        sent = sendable(keys)
        return sent, checked_timeout(sent.pop("timeout", self._timeout))
