"""The print tests need a browser. ``make test`` runs them where one is installed; with HALFTHOU_PRINT set its absence is a failure."""

from __future__ import annotations

import os
import shutil

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
PDF_TOOLS = shutil.which("pdfinfo") and shutil.which("pdftotext")

collect_ignore = [] if (BROWSER and PDF_TOOLS) or os.environ.get("HALFTHOU_PRINT") else ["test_print.py"]
