#!/usr/bin/env bash
# From the lock: what the image's Python environment holds (sbom.json, CycloneDX), under which
# licences (licences.md), and whether a version is known to be vulnerable.
#   docker/supply_chain.sh           writes sbom.json and licences.md anew
#   docker/supply_chain.sh --audit   asks the advisory service about every locked version; without a
#                                    network, advisories.toml and its test tell what was known when read
# Needs: pip install uv cyclonedx-bom pip-licenses pip-audit
set -euo pipefail
cd "$(dirname "$0")/.."

if [ "${1:-}" = "--audit" ]; then
  # A package that the service could not be asked about counts as a failure, not as safe.
  answer=$(pip-audit --requirement docker/requirements.lock --disable-pip --strict 2>&1) || {
    echo "$answer" >&2; exit 1; }
  echo "$answer"
  exit 0
fi

# Licences that the image may hold: permissive, or weak copyleft on whole files (certifi's list).
allowed='MIT;MIT License;BSD License;BSD-2-Clause;BSD-3-Clause;Apache Software License;Apache-2.0'
allowed="$allowed;Apache-2.0 OR BSD-2-Clause;MPL-2.0 AND (Apache-2.0 OR MIT)"
allowed="$allowed;Mozilla Public License 2.0 (MPL 2.0);Apache-2.0 AND BSD-2-Clause"

environment=$(mktemp -d)
trap 'rm -rf "$environment"' EXIT
uv venv --quiet "$environment/venv"
uv pip sync --quiet --python "$environment/venv/bin/python" --require-hashes docker/requirements.lock
cyclonedx-py environment "$environment/venv/bin/python" --pyproject pyproject.toml \
  --output-reproducible --short-PURLs --sv 1.6 --of JSON --output-file "$environment/sbom.json"
# Home pages, chats and donation pages are no part of a bill of materials.
python3 - "$environment/sbom.json" > docker/sbom.json <<'PYTHON'
import json, sys
with open(sys.argv[1], encoding="utf-8") as file:
    bill = json.load(file)
for component in (bill["metadata"]["component"], *bill["components"]):
    component.pop("externalReferences", None)
print(json.dumps(bill, indent=1))
PYTHON
{
  echo "# Licences of what the image's Python environment holds"
  echo
  echo "Written by \`docker/supply_chain.sh\`. Threadwright itself: MIT. The base image adds Python"
  echo "(PSF-2.0) and a Debian system, whose licences lie in \`/usr/share/doc/*/copyright\` of the image."
  echo
  pip-licenses --python "$environment/venv/bin/python" --from mixed --format markdown \
    --allow-only "$allowed"
} > docker/licences.md
