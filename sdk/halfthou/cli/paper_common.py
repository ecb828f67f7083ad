"""What the commands of papers share: ``--format``, ``--out``, and how a paper is handed over."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from .. import jsonio
from ..errors import UsageError
from .common import service_options

if TYPE_CHECKING:
    from ..papers import Format

Command = TypeVar("Command", bound=Callable[..., Any])
PAPERS: Mapping[str, Format] = {"html": "html", "markdown": "markdown", "csv": "csv"}
FORMATS = ("text", *PAPERS)
BY_SUFFIX = {".html": "html", ".htm": "html", ".md": "markdown", ".csv": "csv", ".json": "json"}


def paper_options(command: Command) -> Command:
    """``--format``, ``--out``, ``--replace``, and those of the service."""
    for add in (
        service_options,
        click.option("--replace", is_flag=True, help="Write over the file of --out."),
        click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="Write it there; .html, .md, .csv and .json name the format."),
        click.option("--format", "form", type=click.Choice(FORMATS), help="text without it; html and markdown to print or mail."),
    ):
        command = add(command)
    return command


def form_of(form: str | None, out: Path | None, as_json: bool) -> str:
    """The format that was asked for: ``text``, ``html``, ``markdown``, ``csv`` or ``json``.

    Raises:
        UsageError: ``--json`` beside another format.
    """
    if as_json and form is not None:
        raise UsageError(f"--json or --format {form}; not both")
    if as_json:
        return "json"
    return form or (BY_SUFFIX.get(out.suffix.lower(), "text") if out else "text")


def hand_over(
    form: str, out: Path | None, replace: bool, *, raw: Any, lines: Callable[[], Iterable[str]], paper: Callable[[Format], str]
) -> None:
    """Print the paper in its format, or write it to a file.

    Args:
        raw: the answer, for ``json``.
        lines: makes the text for the terminal.
        paper: asks the service for the paper as HTML, Markdown or CSV.

    Raises:
        UsageError: the file is there already, or cannot be written.
    """
    checked(out, replace)
    wanted = PAPERS.get(form)
    if wanted is not None:
        text = paper(wanted)
    else:
        text = jsonio.dumps(raw, indent=1) + "\n" if form == "json" else "\n".join(lines()) + "\n"
    if out is None:
        click.echo(text, nl=False)
        return
    write_whole(out, text, replace)
    click.echo(f"{out}: written")


def checked(out: Path | None, replace: bool) -> None:
    """Refuse a file that is there already, unless it may be replaced: a form someone has filled in is not lost to a blank one.

    Raises:
        UsageError: it is there.
    """
    if out is not None and not replace and out.exists():
        raise UsageError(f"{out} is there already and is left alone; name another file, or add --replace")


def write_whole(out: Path, text: str, replace: bool) -> None:
    """Write all of it or nothing.

    Raises:
        UsageError: it is there already, or cannot be written.
    """
    checked(out, replace)
    part = out.with_name(f".{out.name}.{os.getpid()}.part")
    try:
        try:
            with part.open("x", encoding="utf-8", newline="") as handle:
                handle.write(text)
            part.replace(out)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise UsageError(f"{out} cannot be written: {error.strerror}") from None
