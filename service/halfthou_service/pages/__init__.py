"""What the bench's papers look like: pages for a browser and a printer, Markdown, and CSV. Nothing is decided here."""

from .html import as_found_page, comparison_page, limits_page, parts_back_page, readiness_page, work_order_page
from .markdown import (
    as_found_markdown,
    comparison_markdown,
    limits_markdown,
    parts_back_markdown,
    readiness_markdown,
    work_order_markdown,
)
from .style import CONTENT_POLICY, STYLE, STYLE_HASH
from .tables import as_found_csv_text, comparison_csv, limits_csv, parts_back_csv_text, readiness_csv, work_order_csv

__all__ = [
    "CONTENT_POLICY", "STYLE", "STYLE_HASH", "as_found_csv_text", "as_found_markdown", "as_found_page", "comparison_csv", "comparison_markdown",
    "comparison_page", "limits_csv", "limits_markdown", "limits_page", "parts_back_csv_text", "parts_back_markdown", "parts_back_page",
    "readiness_csv", "readiness_markdown", "readiness_page", "work_order_csv", "work_order_markdown", "work_order_page",
]  # fmt: skip
