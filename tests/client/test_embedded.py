"""The service inside the process: the same contract as over HTTP, and what it does not need."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import requests

from support.examples import EXAMPLE_IDS, EXAMPLES
from threadwright import (
    Client,
    EmbeddedServiceMissingError,
    InvalidInputError,
    NotFoundError,
    RefusedError,
    ServiceError,
    embedded,
)
from threadwright.embedded import ADDRESS, EmbeddedAdapter
from threadwright.operations import result_of
from threadwright_service.api import entry
from threadwright_service.api.operation import Example, Operation
from threadwright_service.app import create_app
from threadwright_service.settings import Settings

examples = pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)


@pytest.fixture(scope="module")
def session() -> requests.Session:
    """A session of requests that reaches the application in this process."""
    made = requests.Session()
    made.trust_env = False
    made.mount(ADDRESS, EmbeddedAdapter(create_app(Settings())))
    return made


@pytest.fixture(scope="module")
def over_http(session: requests.Session) -> Client:
    """A client that writes and reads real requests."""
    return Client(ADDRESS, session=session)


@examples
def test_the_same_result_as_over_http(
    operation: Operation, example: Example, over_http: Client
) -> None:
    keys = {**example.request, "working": True}
    straight = Client().call(operation.name, keys)
    travelled = over_http.call(operation.name, keys)
    assert straight == travelled
    assert straight.answer == travelled.answer
    assert straight.to_dict() == travelled.to_dict()
    assert straight.answer.to_dict() == travelled.answer.to_dict()
    assert travelled.request_id
    assert not straight.request_id


@examples
def test_each_operation_has_its_method(operation: Operation, example: Example) -> None:
    client = Client()
    method = getattr(client, operation.operation_id)
    assert method(**example.request) == client.call(operation.name, example.request)
    with pytest.raises(TypeError):
        method(example.request)


@pytest.mark.parametrize(
    "keys",
    [
        {"designation": "M24x1.5-9z"},
        {"designation": "M24x1.5-6g", "colour": "red"},
        {"designation": 3},
        {"pitch": "1.5"},
        {"length_of_engagement": 3.0},
        {"starts": 1.5},
        {"designation": ""},
        {"hand": None},
        {"unit": "furlong"},
        {},
    ],
)
def test_the_same_error_as_over_http(keys: dict[str, Any], over_http: Client) -> None:
    with pytest.raises(InvalidInputError) as straight:
        Client().call("thread-limits", keys)
    with pytest.raises(InvalidInputError) as travelled:
        over_http.call("thread-limits", keys)
    assert type(straight.value) is type(travelled.value)
    assert straight.value.code == travelled.value.code
    assert straight.value.detail == travelled.value.detail
    assert straight.value.faults == travelled.value.faults
    assert straight.value.status == travelled.value.status == 422


def test_a_refusal_is_one() -> None:
    with pytest.raises(RefusedError) as caught:
        Client().thread_limits(designation="M24x1.5-9z")
    assert caught.value.faults[0].accepted


def test_numbers_that_are_not_are_refused() -> None:
    with pytest.raises(InvalidInputError, match="finite"):
        Client().thread_limits(nominal_diameter="M10", pitch=float("nan"))


def test_an_unknown_operation(over_http: Client) -> None:
    for client in (Client(), over_http):
        with pytest.raises(NotFoundError):
            client.call("thread-colour", {})


def test_names_with_underscores() -> None:
    assert type(Client().call("thread_limits", {"designation": "M10-6H"})) is result_of(
        "thread-limits"
    )


def test_other_forms(over_http: Client) -> None:
    keys: dict[str, Any] = {"designation": "M24x1.5-6g"}
    for client in (Client(), over_http):
        assert client.text("thread-limits", "limits.pitch_diameter.max", **keys) == "22.994"
        assert client.text("thread_limits", ["standard", "pitch"], **keys) == "ISO 965-1,1.5"
        document = client.document("thread-limits", "csv", timeout=5, **keys)
        header, row = document.decode().splitlines()
        assert header.startswith("designation,")
        assert row.startswith("M24x1.5-6g,")
        with pytest.raises(InvalidInputError, match="json, csv"):
            client.document("thread-limits", "papyrus", **keys)  # type: ignore[arg-type]
        with pytest.raises(InvalidInputError, match="nowhere"):
            client.text("thread-limits", "nowhere", **keys)


def test_lists(over_http: Client) -> None:
    for client in (Client(), over_http):
        families = client.threads()
        metric = client.threads(family="iso-metric", series="M")
        assert {"unified", "iso-metric"} <= {family.family for family in families}
        # ISO 261: M24 is a first choice, with 3 mm coarse and 2, 1,5 and 1 mm fine pitches.
        pitches = {size.pitch for size in metric[0].sizes if size.nominal_diameter == 24}
        assert {3.0, 2.0, 1.5, 1.0} <= pitches
        assert [family.family for family in metric] == ["iso-metric"]
        assert all(not family.extra for family in families)
        materials = client.materials()
        assert all(not material.extra for material in materials)
        hard = client.materials(iso_513="H")
        assert hard
        assert {material.iso_513 for material in hard} == {"H"}
        with pytest.raises(InvalidInputError):
            client.materials(iso_513="Q")  # type: ignore[arg-type]


def test_a_failure_of_the_service_is_told_with_its_cause(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(operation: str, params: object) -> None:
        raise ZeroDivisionError(f"{operation} {params}")

    monkeypatch.setattr(entry, "call", broken)
    with pytest.raises(ServiceError, match="ZeroDivisionError") as caught:
        Client().thread_limits(designation="M10")
    assert isinstance(caught.value.__cause__, ZeroDivisionError)
    assert caught.value.status == 500


def test_a_servers_settings_are_not_for_this_process(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("THREADWRIGHT_API_KEYS", "secret")
    assert Client().text("thread-limits", "pitch", designation="M10-6H") == "1.5"


def test_the_adapter_closes_what_the_application_gave() -> None:
    closed = []

    class Body:
        def __iter__(self) -> Any:
            return iter([b"hel", b"lo"])

        def close(self) -> None:
            closed.append(True)

    def application(environ: dict[str, Any], start_response: Any) -> Any:
        # PEP 3333: the bytes of the path as Latin-1.
        assert environ["PATH_INFO"].encode("latin-1").decode("utf-8") == "/v1/größe"
        assert environ["QUERY_STRING"] == "field=a.b%2Cc"
        assert environ["HTTP_X_SHOP"] == "7"
        assert environ["CONTENT_LENGTH"] == "0"
        start_response("299 FINE", [("Content-Type", "text/plain; charset=utf-8")])
        return Body()

    with requests.Session() as session:
        session.mount(ADDRESS, EmbeddedAdapter(application))
        monitored = application
        del monitored
        response = session.get(
            f"{ADDRESS}/v1/größe", params={"field": "a.b,c"}, headers={"X-Shop": "7"}
        )
    assert (response.status_code, response.reason, response.text) == (299, "FINE", "hello")
    assert closed == [True]


def test_the_session_can_be_closed() -> None:
    client = Client()
    client.close()
    assert client.text("thread-limits", "pitch", designation="M10-6H") == "1.5"
    client.close()


def test_the_address_can_never_be_resolved() -> None:
    """RFC 2606 keeps .invalid for names that never exist."""
    assert embedded.ADDRESS.endswith(".invalid")


ROOT = Path(__file__).resolve().parents[2]


def fresh(code: str) -> subprocess.CompletedProcess[str]:
    """Run code in an interpreter of its own, with the project's sources alone before the rest."""
    paths = [str(ROOT / "client"), str(ROOT / "service")]
    return subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path[:0] = {paths}\n{code}"],
        capture_output=True,
        text=True,
        check=False,
    )


BLOCKED = """
class Missing:
    def find_spec(self, name, path=None, target=None):
        if name.partition('.')[0] in {names!r}:
            raise ModuleNotFoundError(f'No module named {{name!r}}', name=name)
sys.meta_path.insert(0, Missing())
"""


@pytest.mark.parametrize("names", [("threadwright_service",), ("marshmallow",)])
def test_without_the_service_it_says_what_to_install(names: tuple[str, ...]) -> None:
    done = fresh(
        f"{BLOCKED.format(names=names)}\n"
        "import threadwright\n"
        "try:\n    threadwright.Client()\n"
        "except threadwright.EmbeddedServiceMissingError as error:\n    print(error)\n"
        "threadwright.Client('http://127.0.0.1:8000')\n"
    )
    assert done.returncode == 0, done.stderr
    assert "pip install 'threadwright[service]'" in done.stdout
    assert "give Client(base_url) an address" in done.stdout


def test_without_flask_typed_calls_still_work() -> None:
    done = fresh(
        f"{BLOCKED.format(names=('flask',))}\n"
        "import threadwright\n"
        "client = threadwright.Client()\n"
        "print(client.thread_limits(designation='M10-6H').pitch)\n"
        "try:\n    client.document('thread-limits', 'csv', designation='M10-6H')\n"
        "except threadwright.EmbeddedServiceMissingError as error:\n    print(error)\n"
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("1.5\n")
    assert "threadwright[service]" in done.stdout


def test_the_error_is_one_of_a_missing_part() -> None:
    with pytest.raises(EmbeddedServiceMissingError):
        raise embedded._missing(ModuleNotFoundError("No module named 'x'"))
