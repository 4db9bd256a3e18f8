"""What is shipped to operators fits together: image, proxy, compose, manifests, unit.

Where a validator of the format exists (hadolint, nginx, the schema of compose, compose itself,
kubernetes-validate, systemd-analyze) it is asked; a validator that is not installed skips its one
test. What they cannot see, such as a probe that names a port of another container, is cross-checked
here.
"""

from __future__ import annotations

import configparser
import json
import re
import subprocess
import sys
from importlib import reload
from pathlib import Path
from typing import Any

import pytest
import yaml

from support.programs import ROOT, run, tool
from threadwright_service import gunicorn_conf
from threadwright_service.settings import Settings

DOCKER = ROOT / "docker"
MANIFESTS = sorted((DOCKER / "kubernetes").glob("*.yaml"))
MODULE = "python:threadwright_service.gunicorn_conf"


class _Asked(dict[str, str]):
    """An environment that remembers which variables were asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.names: set[str] = set()

    def get(self, name: str, default: Any = None) -> Any:
        self.names.add(name)
        return default


def known_variables() -> set[str]:
    """Every environment variable that the service reads."""
    asked = _Asked()
    Settings.from_environment(asked)
    return asked.names | set(gunicorn_conf.VARIABLES)


def manifest(kind: str) -> dict[str, Any]:
    """The one manifest of a kind."""
    [found] = [each for each in _loaded() if each["kind"] == kind]
    return found


def _loaded() -> list[dict[str, Any]]:
    return [yaml.safe_load(path.read_text(encoding="utf-8")) for path in MANIFESTS]


def container() -> dict[str, Any]:
    """The deployment's container."""
    [found] = manifest("Deployment")["spec"]["template"]["spec"]["containers"]
    assert isinstance(found, dict)
    return found


def compose() -> dict[str, Any]:
    """The compose file, anchors resolved."""
    found = yaml.safe_load((DOCKER / "compose.yaml").read_text(encoding="utf-8"))
    assert isinstance(found, dict)
    return found


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


def test_health_check_tells_ready_from_not() -> None:
    code = (
        "import os, sys, threading; from wsgiref.simple_server import make_server, "
        "WSGIRequestHandler as H; sys.path.insert(0, 'docker'); import health\n"
        "H.log_message = lambda *_: None\n"
        "status = sys.argv[1]\n"
        "app = lambda environ, start: [start(status, [])] and [b'']\n"
        "server = make_server('127.0.0.1', 0, app)\n"
        "threading.Thread(target=server.handle_request, daemon=True).start()\n"
        "os.environ['THREADWRIGHT_BIND'] = f'127.0.0.1:{server.server_port}'\n"
        "print(health.main())\n"
        "os.environ['THREADWRIGHT_BIND'] = 'unix:/nowhere/service.sock'\n"
        "print(health.main())\n"
    )
    assert run(sys.executable, "-c", code, "200 OK").split() == ["0", "1"]
    assert run(sys.executable, "-c", code, "503 Not ready").split() == ["1", "1"]


# --- compose and the proxy ------------------------------------------------------------------------


def test_compose_matches_the_published_schema(tmp_path: Path) -> None:
    asked = (tool("check-jsonschema"), "--builtin-schema", "vendor.compose-spec")
    run(*asked, *map(str, sorted(DOCKER.glob("compose*.yaml"))))
    misspelt = tmp_path / "compose.yaml"
    text = (DOCKER / "compose.yaml").read_text(encoding="utf-8")
    misspelt.write_text(text.replace("cap_drop", "capdrop"), encoding="utf-8")
    refused = subprocess.run([*asked, misspelt], capture_output=True, check=False, text=True)
    assert refused.returncode == 1
    assert "'capdrop' was unexpected" in refused.stdout


@pytest.mark.parametrize("files", [("compose.yaml",), ("compose.yaml", "compose.tls.yaml")])
def test_compose_itself_takes_the_files(
    monkeypatch: pytest.MonkeyPatch, files: tuple[str, ...]
) -> None:
    docker = tool("docker")
    if subprocess.run([docker, "compose", "version"], capture_output=True, check=False).returncode:
        pytest.skip("docker compose is not installed")
    monkeypatch.setenv("THREADWRIGHT_CERTIFICATE", "/nowhere")
    run(docker, "compose", *(f"--file=docker/{file}" for file in files), "config", "--quiet")


def test_compose_leaves_no_service_unbounded() -> None:
    for name, service in compose()["services"].items():
        assert service["read_only"] is True, name
        assert service["cap_drop"] == ["ALL"], name
        assert service["security_opt"] == ["no-new-privileges:true"], name
        assert service["mem_limit"], name
        assert service["pids_limit"], name
        for volume in service["volumes"]:
            source = volume.split(":")[0]
            assert source in compose()["volumes"] or (DOCKER / source).is_file(), volume


def test_compose_sets_only_known_variables_and_stops_late_enough() -> None:
    for name, service in compose()["services"].items():
        if name.startswith("service-"):
            assert set(service["environment"]) <= known_variables()
            assert _seconds(service["stop_grace_period"]) > gunicorn_conf.graceful_timeout


def test_the_proxy_asks_where_the_replicas_listen() -> None:
    services = compose()["services"]
    listening = {
        service["environment"]["THREADWRIGHT_BIND"]
        for name, service in services.items()
        if name.startswith("service-")
    }
    upstream = (DOCKER / "nginx" / "upstream.conf").read_text(encoding="utf-8")
    assert set(re.findall(r"^\s+server (\S+)", upstream, re.MULTILINE)) == listening
    assert services["proxy"]["depends_on"].keys() == services.keys() - {"proxy"}


def test_the_proxys_limits_are_the_services() -> None:
    site = (DOCKER / "nginx" / "site.conf").read_text(encoding="utf-8")
    assert f"client_max_body_size {Settings().body_limit // 2**20}m;" in site
    assert f"the body holds more than {Settings().body_limit} bytes" in site
    assert f"longer than {gunicorn_conf.limit_request_line} bytes" in site
    for path in ("upstream.conf", "box.conf"):
        idle = re.search(
            r"keepalive_timeout (\d+)s;", (DOCKER / "nginx" / path).read_text(encoding="utf-8")
        )
        assert idle, path
        assert int(idle[1]) < gunicorn_conf.keepalive, "else the service closes what is in use"


@pytest.mark.parametrize("case", ["compose", "compose with TLS", "box"])
def test_nginx_takes_the_configuration(tmp_path: Path, case: str) -> None:
    nginx = tool("nginx")
    for file in (DOCKER / "nginx").glob("*.conf"):
        (tmp_path / file.name).write_text(file.read_text(encoding="utf-8"), encoding="utf-8")
    if case == "box":
        (tmp_path / "threadwright").mkdir()
        (tmp_path / "site.conf").rename(tmp_path / "threadwright" / "site.conf")
        (tmp_path / "nginx.conf").write_text(
            f"pid {tmp_path}/nginx.pid; error_log stderr; events {{}}\n"
            "http { access_log off; gzip on; include box.conf; }\n",
            encoding="utf-8",
        )
    if case == "compose with TLS":
        _certificate(tmp_path)
        tls = tmp_path / "tls.conf"
        tls.write_text(
            tls.read_text(encoding="utf-8").replace("/etc/nginx/certificate", str(tmp_path)),
            encoding="utf-8",
        )
    else:
        (tmp_path / "tls.conf").unlink()
    run(nginx, "-t", "-c", str(tmp_path / "nginx.conf"))


def _certificate(folder: Path) -> None:
    run(
        tool("openssl"),
        *("req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"),
        *("-days", "1", "-subj", "/CN=localhost"),
        *("-keyout", str(folder / "tls.key"), "-out", str(folder / "tls.crt")),
    )


# --- Kubernetes -----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", MANIFESTS, ids=lambda path: path.stem)
def test_manifests_match_the_schemas_of_kubernetes(path: Path) -> None:
    kubernetes_validate = pytest.importorskip("kubernetes_validate")
    document = yaml.safe_load(path.read_text(encoding="utf-8"))
    if document["kind"] == "Kustomization":
        named = set(document["resources"])
        assert named == {each.name for each in MANIFESTS} - {path.name}
        return
    kubernetes_validate.validate(document, "1.32", strict=True)


def test_selectors_match_the_pods_labels() -> None:
    deployment = manifest("Deployment")
    labels = deployment["spec"]["template"]["metadata"]["labels"]
    assert deployment["spec"]["selector"]["matchLabels"] == labels
    assert manifest("Service")["spec"]["selector"] == labels
    assert manifest("PodDisruptionBudget")["spec"]["selector"]["matchLabels"] == labels
    assert manifest("NetworkPolicy")["spec"]["podSelector"]["matchLabels"] == labels
    [spread] = deployment["spec"]["template"]["spec"]["topologySpreadConstraints"]
    assert spread["labelSelector"]["matchLabels"] == labels


def test_every_named_port_is_the_containers() -> None:
    ports = {port["name"]: port["containerPort"] for port in container()["ports"]}
    named = [container()[probe]["httpGet"]["port"] for probe in PROBES]
    named += [port["targetPort"] for port in manifest("Service")["spec"]["ports"]]
    named += [
        port["port"]
        for rule in manifest("NetworkPolicy")["spec"]["ingress"]
        for port in rule["ports"]
    ]
    assert set(named) <= set(ports)
    bind = manifest("ConfigMap")["data"]["THREADWRIGHT_BIND"]
    assert int(bind.rpartition(":")[2]) == ports["http"]


PROBES = ("startupProbe", "readinessProbe", "livenessProbe")


def test_probes_ask_for_pages_that_exist(app: Any) -> None:
    paths = {rule.rule for rule in app.url_map.iter_rules()}
    assert {container()[probe]["httpGet"]["path"] for probe in PROBES} <= paths


def test_the_configuration_holds_only_known_variables_and_valid_values(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    data = manifest("ConfigMap")["data"]
    assert set(data) <= known_variables()
    assert container()["envFrom"] == [
        {"configMapRef": {"name": manifest("ConfigMap")["metadata"]["name"]}}
    ]
    Settings.from_environment(data)
    for name, value in data.items():
        monkeypatch.setenv(name, value)
    reload(gunicorn_conf)  # raises for a value that it does not take
    monkeypatch.undo()
    reload(gunicorn_conf)


def test_the_deployment_is_bounded_and_unprivileged() -> None:
    pod = manifest("Deployment")["spec"]["template"]["spec"]
    assert pod["securityContext"]["runAsNonRoot"] is True
    assert pod["securityContext"]["seccompProfile"] == {"type": "RuntimeDefault"}
    inner = container()["securityContext"]
    assert inner["readOnlyRootFilesystem"] is True
    assert inner["allowPrivilegeEscalation"] is False
    assert inner["capabilities"] == {"drop": ["ALL"]}
    # Kubernetes: a quantity is a decimal with an optional suffix (API reference, "Quantity").
    quantity = re.compile(r"[0-9]+(\.[0-9]+)?(m|[KMGTPE]i?|k)?")
    for amounts in container()["resources"].values():
        assert all(quantity.fullmatch(str(amount)) for amount in amounts.values()), amounts
    mounted = {mount["name"] for mount in container()["volumeMounts"]}
    assert mounted == {volume["name"] for volume in pod["volumes"]}


def test_a_pod_drains_before_it_stops_and_is_given_the_time() -> None:
    pod = manifest("Deployment")["spec"]["template"]["spec"]
    command = container()["lifecycle"]["preStop"]["exec"]["command"]
    slept = re.search(r"sleep\((\d+)\)", command[-1])
    assert slept
    needed = int(slept[1]) + gunicorn_conf.graceful_timeout
    assert pod["terminationGracePeriodSeconds"] > needed


def test_scaling_and_disruption_leave_a_replica() -> None:
    deployment = manifest("Deployment")
    scaler = manifest("HorizontalPodAutoscaler")["spec"]
    assert scaler["scaleTargetRef"]["kind"] == "Deployment"
    assert scaler["scaleTargetRef"]["name"] == deployment["metadata"]["name"]
    assert "cpu" in container()["resources"]["requests"], "a share of nothing cannot be scaled by"
    least = manifest("PodDisruptionBudget")["spec"]["minAvailable"]
    assert 0 < least < scaler["minReplicas"] <= scaler["maxReplicas"]
    assert deployment["spec"]["strategy"]["rollingUpdate"]["maxUnavailable"] == 0


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


def _seconds(text: str) -> int:
    assert text.endswith("s")
    return int(text[:-1])
