"""Cells that nobody can run: text from a client, neutralised for Markdown and for spreadsheets."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

_MARKUP = re.compile(r"([\\`*_{}\[\]()#+!|~<>&$^=-])")
_KEPT = re.compile(r"(?<=[0-9A-Za-z])\\([-()])|\\([()])|^\\(-)(?=[0-9.])")
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?", re.ASCII)
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]+")
_UNSEEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]+")
RUNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")  # noqa: RUF001
"""First characters that make a spreadsheet run a cell."""


def seen(text: str) -> str:
    """Text without what nobody sees: control characters (tabs and line ends stay) and marks that turn the direction of what follows.

    >>> seen("12\u202e34 thou\x07")
    '1234 thou'
    """
    return _UNSEEN.sub("", text)


def md(text: object) -> str:
    """Text for one Markdown cell or line: one line, and nothing in it is markup or HTML.

    >>> md("a|b <b>*x*</b>")
    'a\\\\|b \\\\<b\\\\>\\\\*x\\\\*\\\\</b\\\\>'
    """
    plain = seen(_CONTROL.sub(" ", str(text))).strip()
    escaped = _MARKUP.sub(r"\\\1", plain)
    return _KEPT.sub(lambda m: m[1] or m[2] or m[3], escaped)


def cell(text: object) -> str:
    """Text for one CSV cell: what a spreadsheet would run gains an apostrophe; plain numbers stay numbers.

    >>> cell("=1+1"), cell("-0.5"), cell("-cmd")
    ("'=1+1", '-0.5', "'-cmd")
    """
    plain = seen(str(text))
    if _NUMBER.fullmatch(plain):
        return plain
    return f"'{plain}" if plain.lstrip(" \u00a0").startswith(RUNS) or plain.startswith(RUNS) else plain


def csv_text(rows: Iterable[Sequence[object]]) -> str:
    """Rows as CSV, every cell neutralised, lines ended as RFC 4180 wants."""
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerows([[cell(c) for c in row] for row in rows])
    return out.getvalue()


def table(heading: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A Markdown table."""
    lines = [f"| {' | '.join(md(h) for h in heading)} |", f"|{'|'.join(' --- ' for _ in heading)}|"]
    lines += [f"| {' | '.join(md(c) for c in row)} |" for row in rows]
    return "\n".join(lines)


def bullets(lines: Iterable[object], mark: str = "-") -> str:
    """A Markdown list; each line neutralised."""
    return "\n".join(f"{mark} {md(line)}" for line in lines)
