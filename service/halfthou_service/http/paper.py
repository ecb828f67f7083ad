"""A paper in the form asked for: JSON, a page to print, Markdown or CSV, by ``format`` or by Accept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from flask import Response

from ..pages import CONTENT_POLICY
from .answers import JSON, accepted, once
from .query import Query

FORMS: Mapping[str, str] = {"json": JSON, "html": "text/html", "markdown": "text/markdown", "csv": "text/csv"}
"""Words of ``format`` -> media types."""
BY_TYPE = {media_type: form for form, media_type in FORMS.items()}


@dataclass(frozen=True, slots=True)
class Paper:
    """How one paper is told in each form; nothing is worked out before the form is chosen."""

    json: Callable[[], dict[str, Any]]
    html: Callable[[], str]
    markdown: Callable[[], str]
    csv: Callable[[], str]


def asked_form(query: Query) -> str:
    """The form: that of the parameter ``format``, otherwise the client's best by Accept, otherwise JSON.

    Raises:
        ProblemError: Accept leaves out every form.
    """
    word = query.choice("format", tuple(FORMS), "")
    return word or BY_TYPE[accepted(*FORMS.values())]


def answered(paper: Paper, form: str) -> Response:
    """The paper in one form. Nobody keeps it: it answers a POST."""
    if form == "json":
        return once(paper.json())
    text = {"html": paper.html, "markdown": paper.markdown, "csv": paper.csv}[form]()
    answer = Response(text.encode("utf-8", "replace"), content_type=f"{FORMS[form]}; charset=utf-8")
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["Vary"] = "Accept"
    if form == "html":
        answer.headers["Content-Security-Policy"] = CONTENT_POLICY
    return answer
