"""The print tests need a browser. ``make test`` runs them where one is installed; with PRINT_TESTS set its absence is a failure."""

from __future__ import annotations

import os
import shutil

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
PDF_TOOLS = shutil.which("pdfinfo") and shutil.which("pdftotext")

collect_ignore = [] if (BROWSER and PDF_TOOLS) or os.environ.get("PRINT_TESTS") else ["test_print.py"]
