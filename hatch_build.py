"""Build hook: write the SQLite file of the table and ship it in the wheel as ``halfthou_specdb/specdb.sqlite``.

An editable install gets none: there the file is built on first use from the text files, so an edited record is seen at once.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class SpecdbBuildHook(BuildHookInterface):  # type: ignore[type-arg]
    """Adds the built table to a standard wheel."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Validate the records and write the file; a refused record stops the build."""
        self._folder: Path | None = None
        if version != "standard":
            return
        sys.path.insert(0, str(Path(self.root) / "specdb"))
        try:
            from halfthou_specdb.build import build
        finally:
            sys.path.pop(0)
        self._folder = Path(tempfile.mkdtemp(prefix="halfthou-build-"))
        target = self._folder / "specdb.sqlite"
        edition = build(target, Path(self.root) / "specdb" / "halfthou_specdb" / "data")
        self.app.display_info(f"specdb.sqlite: edition {edition}")
        build_data["force_include"][str(target)] = "halfthou_specdb/specdb.sqlite"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Remove the temporary file."""
        if self._folder is not None:
            shutil.rmtree(self._folder, ignore_errors=True)
