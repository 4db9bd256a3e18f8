"""The manifests fit together, and with the service: schemas, labels, ports, probes, settings.

``kubernetes-validate`` holds the schemas; ``kubectl`` builds what would be applied, and where it is
not installed its one test skips.
"""

from __future__ import annotations

import re
import shutil
from importlib import reload
from pathlib import Path
from typing import Any

import pytest
import yaml

from support.operators import KUBERNETES, document, image_name, known_variables
from support.programs import run, tool
from threadwright_service import gunicorn_conf
from threadwright_service.app import create_app
from threadwright_service.settings import Settings

KUSTOMIZATION = KUBERNETES / "kustomization.yaml"
MANIFESTS = sorted(set(KUBERNETES.glob("*.yaml")) - {KUSTOMIZATION})
EXAMPLES = sorted((KUBERNETES / "examples").glob("*.yaml"))
PROBES = ("startupProbe", "readinessProbe", "livenessProbe")


def manifest(kind: str) -> dict[str, Any]:
    """The one manifest of a kind."""
    [found] = [each for each in map(document, MANIFESTS) if each["kind"] == kind]
    return found


def container() -> dict[str, Any]:
    """The deployment's container."""
    [found] = manifest("Deployment")["spec"]["template"]["spec"]["containers"]
    assert isinstance(found, dict)
    return found


def configuration() -> dict[str, str]:
    """The settings, as kubectl reads them: a name and a value a line."""
    lines = (KUBERNETES / "configuration.env").read_text(encoding="utf-8").splitlines()
    return dict(line.split("=", 1) for line in lines if line and not line.startswith("#"))


@pytest.mark.parametrize("path", [*MANIFESTS, *EXAMPLES], ids=lambda path: path.stem)
def test_manifests_match_the_schemas_of_kubernetes(path: Path) -> None:
    kubernetes_validate = pytest.importorskip("kubernetes_validate")
    kubernetes_validate.validate(document(path), "1.32", strict=True)


def test_the_kustomization_names_every_manifest() -> None:
    assert set(document(KUSTOMIZATION)["resources"]) == {path.name for path in MANIFESTS}


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
    bind = configuration()["THREADWRIGHT_BIND"]
    assert int(bind.rpartition(":")[2]) == ports["http"]


def test_probes_ask_for_pages_that_exist_and_wait_for_a_cold_worker(app: Any) -> None:
    paths = {rule.rule for rule in app.url_map.iter_rules()}
    assert {container()[probe]["httpGet"]["path"] for probe in PROBES} <= paths
    # The first answer of a worker was seen to take 2.5 s on a busy machine; the default is 1 s
    # (Kubernetes API reference, "Probe").
    for probe in PROBES:
        if container()[probe]["httpGet"]["path"] == "/readyz":
            assert container()[probe].get("timeoutSeconds", 1) >= 5, probe


# --- settings and keys ----------------------------------------------------------------------------


def test_the_configuration_holds_only_known_variables_and_valid_values(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    data = configuration()
    assert set(data) <= known_variables()
    Settings.from_environment({**data, "THREADWRIGHT_API_KEYS": "one"})
    for name, value in data.items():
        monkeypatch.setenv(name, value)
    reload(gunicorn_conf)  # raises for a value that it does not take
    monkeypatch.undo()
    reload(gunicorn_conf)


def test_no_pod_that_is_to_have_keys_is_open_because_they_did_not_arrive() -> None:
    [variable] = container()["env"]
    reference = variable["valueFrom"]["secretKeyRef"]
    assert Settings.from_environment(configuration()).api_keys == ()
    meant = {**configuration(), "THREADWRIGHT_KEY_REQUIRED": "true"}
    for keys in ({}, {variable["name"]: ""}, {variable["name"]: " , "}):
        with pytest.raises(ValueError, match="THREADWRIGHT_API_KEYS"):
            Settings.from_environment({**meant, **keys})
    told = (KUBERNETES.parent / "README.md").read_text(encoding="utf-8")
    made = re.search(r"kubectl create secret generic (\S+) --from-file=(\S+?)=", told)
    assert made, "the README says how the secret is made"
    assert made.groups() == (reference["name"], reference["key"])


def test_settings_are_a_generated_map_that_the_pods_read() -> None:
    [generated] = document(KUSTOMIZATION)["configMapGenerator"]
    assert generated["envs"] == ["configuration.env"]
    assert container()["envFrom"] == [{"configMapRef": {"name": generated["name"]}}]
    assert not [path for path in MANIFESTS if document(path)["kind"] == "ConfigMap"]


def test_changed_settings_roll_the_pods(tmp_path: Path) -> None:
    kubectl = tool("kubectl")
    folder = tmp_path / "kubernetes"
    shutil.copytree(KUBERNETES, folder)
    before = _map_of_the_pods(kubectl, folder)
    assert _map_of_the_pods(kubectl, folder) == before
    file = folder / "configuration.env"
    file.write_text(
        file.read_text(encoding="utf-8").replace("WORKERS=2", "WORKERS=3"), encoding="utf-8"
    )
    assert _map_of_the_pods(kubectl, folder) != before


def _map_of_the_pods(kubectl: str, folder: Path) -> str:
    """The name of the map in the pods' template, which must be that of the map that is made."""
    built = {
        each["kind"]: each for each in yaml.safe_load_all(run(kubectl, "kustomize", str(folder)))
    }
    made = built["ConfigMap"]
    assert made["data"].keys() == configuration().keys()
    [inner] = built["Deployment"]["spec"]["template"]["spec"]["containers"]
    assert inner["image"] == image_name()
    [source] = inner["envFrom"]
    assert source["configMapRef"]["name"] == made["metadata"]["name"]
    return str(made["metadata"]["name"])


# --- what runs, and how many ----------------------------------------------------------------------


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
    assert "replicas" not in deployment["spec"], "an apply would undo what the scaler decided"
    assert "cpu" in container()["resources"]["requests"], "a share of nothing cannot be scaled by"
    least = manifest("PodDisruptionBudget")["spec"]["minAvailable"]
    assert 0 < least < scaler["minReplicas"] <= scaler["maxReplicas"]
    assert deployment["spec"]["strategy"]["rollingUpdate"]["maxUnavailable"] == 0


def test_the_example_of_an_ingress_lets_in_all_but_the_counts() -> None:
    ingress = document(KUBERNETES / "examples" / "ingress.yaml")
    service = manifest("Service")
    [rule] = ingress["spec"]["rules"]
    for each in rule["http"]["paths"]:
        backend = each["backend"]["service"]
        assert backend["name"] == service["metadata"]["name"]
        assert backend["port"]["name"] in {port["name"] for port in service["spec"]["ports"]}

    def let_in(path: str) -> bool:
        return any(
            path == each["path"]
            or (each["pathType"] == "Prefix" and path.startswith(f"{each['path']}/"))
            for each in rule["http"]["paths"]
        )

    everything = create_app(Settings(metrics=True)).url_map.iter_rules()
    assert {each.rule for each in everything if not let_in(each.rule)} == {"/metrics"}
