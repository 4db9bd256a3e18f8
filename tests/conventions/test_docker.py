"""What is shipped to operators fits together: image, compose, proxy, unit.

Where a validator of the format exists (hadolint, nginx, the schema of compose, compose itself,
systemd-analyze) it is asked; a validator that is not installed skips its one test. What they cannot
see, such as a replica that listens where nobody asks, is cross-checked here.
"""

from __future__ import annotations

import configparser
import json
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from support.operators import DOCKER, document, image_name, known_variables, seconds
from support.programs import ROOT, run, tool
from threadwright_service import gunicorn_conf
from threadwright_service.settings import Settings

MODULE = "python:threadwright_service.gunicorn_conf"
COMPOSE_FILES = sorted(DOCKER.glob("compose*.yaml"))
NGINX = DOCKER / "nginx"


def compose(name: str = "compose.yaml") -> dict[str, Any]:
    """A compose file, anchors resolved."""
    return document(DOCKER / name)


def replicas() -> dict[str, dict[str, Any]]:
    """The replicas of the service in the compose file."""
    services = compose()["services"]
    return {name: each for name, each in services.items() if name.startswith("service-")}


def test_the_readme_lists_every_variable_with_its_default() -> None:
    text = (DOCKER / "README.md").read_text(encoding="utf-8")
    rows = dict(re.findall(r"^\| `(THREADWRIGHT_\w+)` \| ([^|]+) \|", text, re.MULTILINE))
    assert set(rows) == known_variables()
    settings = Settings()
    defaults = {
        "THREADWRIGHT_BODY_LIMIT": settings.body_limit,
        "THREADWRIGHT_BATCH_LIMIT": settings.batch_limit,
        "THREADWRIGHT_MAX_AGE": settings.max_age_s,
        "THREADWRIGHT_KEPT_ANSWERS": settings.kept_answers,
        "THREADWRIGHT_THREADS": gunicorn_conf.threads,
        "THREADWRIGHT_GRACEFUL_TIMEOUT": gunicorn_conf.graceful_timeout,
        "THREADWRIGHT_KEEPALIVE": gunicorn_conf.keepalive,
        "THREADWRIGHT_MAX_REQUESTS": gunicorn_conf.max_requests,
    }
    assert {name: int(rows[name]) for name in defaults} == defaults


# --- the image ------------------------------------------------------------------------------------


def test_hadolint_finds_nothing() -> None:
    run(tool("hadolint"), "docker/Dockerfile")


def test_the_build_gets_every_file_that_the_dockerfile_copies() -> None:
    dockerfile = (DOCKER / "Dockerfile").read_text(encoding="utf-8")
    sources = [
        word
        for line in re.findall(r"^COPY (?!--from)(.+)$", dockerfile, re.MULTILINE)
        for word in line.split()[:-1]
    ]
    let_in = {
        line[1:]
        for line in (ROOT / ".dockerignore").read_text(encoding="utf-8").splitlines()
        if line.startswith("!")
    }
    assert set(sources) == let_in
    assert all((ROOT / source).exists() for source in sources)


def test_the_image_runs_what_serve_and_unit_run() -> None:
    dockerfile = (DOCKER / "Dockerfile").read_text(encoding="utf-8")
    command = json.loads(re.findall(r"^CMD (\[.+\])$", dockerfile, re.MULTILINE)[-1])
    assert command == ["gunicorn", "-c", MODULE, "threadwright_service.wsgi:app"]
    assert re.findall(r"^USER (.+)$", dockerfile, re.MULTILINE)[-1] == "10001:10001"
    unit = _unit()
    assert unit["Service"]["ExecStart"].split()[1:] == command[1:]


def test_health_checks_wait_for_a_cold_worker() -> None:
    dockerfile = (DOCKER / "Dockerfile").read_text(encoding="utf-8")
    source = (DOCKER / "health.py").read_text(encoding="utf-8")
    asked = re.search(r"^TIMEOUT_S = (\d+)$", source, re.MULTILINE)
    assert asked
    found = re.search(r"HEALTHCHECK .*--timeout=(\d+)s --start-period=(\d+)s", dockerfile)
    assert found
    # The first answer of a worker was seen to take 2.5 s on a busy machine.
    assert 5 <= int(asked[1]) < int(found[1]) <= int(found[2])
    assert seconds(compose()["services"]["proxy"]["healthcheck"]["timeout"]) > int(asked[1])


def test_the_image_has_one_name() -> None:
    dockerfile = (DOCKER / "Dockerfile").read_text(encoding="utf-8")
    assert re.findall(r"-t (\S+)", dockerfile) == [image_name()]
    assert {replica["image"] for replica in replicas().values()} == {image_name()}


# --- compose --------------------------------------------------------------------------------------


def test_compose_matches_the_published_schema(tmp_path: Path) -> None:
    asked = (tool("check-jsonschema"), "--builtin-schema", "vendor.compose-spec")
    run(*asked, *map(str, COMPOSE_FILES))
    misspelt = tmp_path / "compose.yaml"
    text = (DOCKER / "compose.yaml").read_text(encoding="utf-8")
    misspelt.write_text(text.replace("cap_drop", "capdrop"), encoding="utf-8")
    refused = subprocess.run([*asked, misspelt], capture_output=True, check=False, text=True)
    assert refused.returncode == 1
    assert "'capdrop' was unexpected" in refused.stdout


@pytest.mark.parametrize("more", [(), ("compose.tls.yaml",), ("compose.metrics.yaml",)])
def test_compose_itself_takes_the_files(
    monkeypatch: pytest.MonkeyPatch, more: tuple[str, ...]
) -> None:
    docker = tool("docker")
    if subprocess.run([docker, "compose", "version"], capture_output=True, check=False).returncode:
        pytest.skip("docker compose is not installed")
    monkeypatch.setenv("THREADWRIGHT_CERTIFICATE", "/nowhere")
    files = (f"--file=docker/{file}" for file in ("compose.yaml", *more))
    run(docker, "compose", *files, "config", "--quiet")


def test_compose_leaves_no_service_unbounded() -> None:
    for name, service in compose()["services"].items():
        assert service["read_only"] is True, name
        assert service["cap_drop"] == ["ALL"], name
        assert service["security_opt"] == ["no-new-privileges:true"], name
        assert service["mem_limit"], name
        assert service["pids_limit"], name
        # A log that is not rotated fills the disk: this driver keeps all unless it is told.
        assert service["logging"]["driver"] == "json-file", name
        assert set(service["logging"]["options"]) == {"max-size", "max-file"}, name
        for volume in service["volumes"]:
            source = volume.split(":")[0]
            assert source in compose()["volumes"] or (DOCKER / source).is_file(), volume


def test_compose_hands_on_every_setting_and_stops_late_enough() -> None:
    dockerfile = (DOCKER / "Dockerfile").read_text(encoding="utf-8")
    of_image = dict(re.findall(r"^ +(THREADWRIGHT_\w+)=(\S+)", dockerfile, re.MULTILINE))
    for service in replicas().values():
        given = dict(service["environment"])
        assert set(given) == known_variables()
        del given["THREADWRIGHT_BIND"]
        # An entry that is not resolved takes the image's own value away.
        for name in of_image.keys() & given.keys():
            assert given[name] == f"${{{name}:-{of_image[name]}}}"
        for name, value in given.items():
            # Compose specification, "environment": without a value it is resolved by compose, and
            # left unset if that has none; with ${NAME:-default} it is that name or the default.
            assert value is None or re.fullmatch(rf"\$\{{{name}:-\w+\}}", value), name
        assert seconds(service["stop_grace_period"]) > gunicorn_conf.graceful_timeout


def test_the_file_of_composes_settings_is_not_committed() -> None:
    ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    assert "docker/.env" in ignored, "it may hold keys"


def test_with_tls_no_port_is_published_beside() -> None:
    """The one port that is published changes its speech; nothing plain is left."""
    assert set(compose("compose.tls.yaml")["services"]["proxy"]) == {"volumes"}
    plain = _mounts(compose()["services"]["proxy"]["volumes"])
    secure = _mounts(compose("compose.tls.yaml")["services"]["proxy"]["volumes"])
    assert plain["/etc/nginx/listen.conf"] == "./nginx/plain.conf"
    assert secure["/etc/nginx/listen.conf"] == "./nginx/tls.conf"
    [published] = compose()["services"]["proxy"]["ports"]
    inner = published.rpartition(":")[2]
    for name, wanted in (("plain.conf", f"listen {inner};"), ("tls.conf", f"listen {inner} ssl;")):
        text = (NGINX / name).read_text(encoding="utf-8")
        assert re.findall(r"^listen .+$", text, re.MULTILINE) == [wanted]


def _mounts(volumes: list[str]) -> dict[str, str]:
    """What is mounted, by where; a default or message in the source may hold colons."""
    parts = [volume.removesuffix(":ro").rpartition(":") for volume in volumes]
    return {target: source for source, _, target in parts}


def test_counts_are_published_to_the_server_alone() -> None:
    services = compose("compose.metrics.yaml")["services"]
    [published] = services.pop("proxy")["ports"]
    inside = (NGINX / "inside.conf").read_text(encoding="utf-8")
    [port] = re.findall(r"listen (\d+);", inside)
    assert re.fullmatch(rf"127\.0\.0\.1:\$\{{\w+:-\d+\}}:{port}", published)
    counting = {"environment": {"THREADWRIGHT_METRICS": "true"}}
    assert services == dict.fromkeys(replicas(), counting)
    told = dict(
        re.findall(r"location = /(\S+)/metrics \{\s+proxy_pass http://(\S+):/metrics;", inside)
    )
    assert told == {
        name: replica["environment"]["THREADWRIGHT_BIND"] for name, replica in replicas().items()
    }
    asked = compose()["services"]["proxy"]["healthcheck"]["test"][-1]
    assert asked == f"http://127.0.0.1:{port}/readyz"


# --- the proxy ------------------------------------------------------------------------------------


def test_the_proxy_asks_where_the_replicas_listen() -> None:
    listening_at = {each["environment"]["THREADWRIGHT_BIND"] for each in replicas().values()}
    upstream = (NGINX / "upstream.conf").read_text(encoding="utf-8")
    assert set(re.findall(r"^\s+server (\S+)", upstream, re.MULTILINE)) == listening_at
    services = compose()["services"]
    assert services["proxy"]["depends_on"].keys() == services.keys() - {"proxy"}


def test_the_proxy_has_every_file_that_it_includes() -> None:
    mounts = _mounts(compose()["services"]["proxy"]["volumes"])
    texts = [
        (DOCKER / source).read_text(encoding="utf-8")
        for target, source in mounts.items()
        if target.endswith(".conf")
    ]
    included = {name for text in texts for name in re.findall(r"^\s+include (\S+);", text, re.M)}
    assert {f"/etc/nginx/{name}" for name in included | {"nginx.conf"}} == {
        target for target in mounts if target.startswith("/etc/nginx/")
    }


def test_the_proxys_limits_are_the_services() -> None:
    site = (NGINX / "site.conf").read_text(encoding="utf-8")
    assert f"client_max_body_size {Settings().body_limit // 2**20}m;" in site
    assert f"the body holds more than {Settings().body_limit} bytes" in site
    assert f"longer than {gunicorn_conf.limit_request_line} bytes" in site
    for path in ("upstream.conf", "box.conf"):
        idle = re.search(r"keepalive_timeout (\d+)s;", (NGINX / path).read_text(encoding="utf-8"))
        assert idle, path
        assert int(idle[1]) < gunicorn_conf.keepalive, "else the service closes what is in use"


def test_the_readme_tells_the_proxys_limits() -> None:
    files = "".join(
        (NGINX / name).read_text(encoding="utf-8") for name in ("clients.conf", "site.conf")
    )
    told = " ".join((DOCKER / "README.md").read_text(encoding="utf-8").split())
    shipped = {name: int(found) for name, found in re.findall(r"(rate|burst)=(\d+)", files)}
    [connections] = re.findall(r"limit_conn \w+ (\d+);", files)
    assert (
        f"{shipped['rate']} requests a second, with {shipped['burst']:,} at once beyond that, and "
        f"{connections} connections at work"
    ) in told


@pytest.mark.parametrize("case", ["compose", "compose with TLS", "box", "box with TLS"])
def test_nginx_takes_the_configuration(tmp_path: Path, case: str) -> None:
    nginx = tool("nginx")
    with_tls = case.endswith("with TLS")
    if with_tls:
        _certificate(tmp_path)
    listen = "tls.conf" if with_tls else "plain.conf"
    for file in NGINX.glob("*.conf"):
        text = file.read_text(encoding="utf-8")
        text = text.replace("/etc/nginx/certificate", str(tmp_path))
        text = text.replace("/var/log/nginx", str(tmp_path))
        (tmp_path / file.name).write_text(text, encoding="utf-8")
    (tmp_path / listen).rename(tmp_path / "listen.conf")
    if case.startswith("box"):
        _as_on_a_box(tmp_path, with_tls=with_tls)
    run(nginx, "-t", "-c", str(tmp_path / "nginx.conf"))


def _as_on_a_box(folder: Path, *, with_tls: bool) -> None:
    """Put the files where box.conf says they go, around it an nginx.conf like a distribution's."""
    (folder / "threadwright").mkdir()
    for name in ("site.conf", "clients.conf"):
        (folder / name).rename(folder / "threadwright" / name)
    (folder / "nginx.conf").write_text(
        f"pid {folder}/nginx.pid; error_log stderr; events {{}}\n"
        "http { access_log off; gzip on; include box.conf; }\n",
        encoding="utf-8",
    )
    if with_tls:
        box = (folder / "box.conf").read_text(encoding="utf-8")
        lines = (folder / "listen.conf").read_text(encoding="utf-8")
        assert box.count("    listen 8080;\n") == 1
        (folder / "box.conf").write_text(box.replace("    listen 8080;\n", lines), encoding="utf-8")


def _certificate(folder: Path) -> None:
    run(
        tool("openssl"),
        *("req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"),
        *("-days", "1", "-subj", "/CN=localhost"),
        *("-keyout", str(folder / "tls.key"), "-out", str(folder / "tls.crt")),
    )


# --- systemd --------------------------------------------------------------------------------------


def _unit() -> configparser.ConfigParser:
    unit = configparser.ConfigParser(strict=False, interpolation=None)
    unit.optionxform = str  # type: ignore[assignment, method-assign]
    unit.read(DOCKER / "systemd" / "threadwright.service", encoding="utf-8")
    return unit


def test_systemd_takes_the_unit(tmp_path: Path) -> None:
    analyze = tool("systemd-analyze")
    text = (DOCKER / "systemd" / "threadwright.service").read_text(encoding="utf-8")
    # The unit is checked on a machine where the service is not installed.
    copy = tmp_path / "threadwright.service"
    copy.write_text(text.replace("/opt/threadwright/bin/gunicorn", "/bin/true"), encoding="utf-8")
    assert run(analyze, "verify", "--man=no", str(copy)).strip() == ""


def test_the_unit_sets_only_known_variables_and_stops_late_enough() -> None:
    text = (DOCKER / "systemd" / "threadwright.service").read_text(encoding="utf-8")
    assert set(re.findall(r"^Environment=(\w+)=", text, re.MULTILINE)) <= known_variables()
    assert int(_unit()["Service"]["TimeoutStopSec"]) > gunicorn_conf.graceful_timeout


def test_the_unit_leaves_a_place_for_a_socket_and_names_the_file_of_keys() -> None:
    service = _unit()["Service"]
    assert service["ProtectSystem"] == "strict", "nothing but what is named may be written"
    box = (NGINX / "box.conf").read_text(encoding="utf-8")
    [told] = re.findall(r"THREADWRIGHT_BIND=unix:(\S+/)\S+\.sock", box)
    assert told == f"/run/{service['RuntimeDirectory']}/"
    readme = (DOCKER / "README.md").read_text(encoding="utf-8")
    text = (DOCKER / "systemd" / "threadwright.service").read_text(encoding="utf-8")
    assert "systemctl restart threadwright" in text, "what a reload does not take up is said"
    assert f"install -D -m 0600 /dev/null {service['EnvironmentFile'].removeprefix('-')}" in readme
