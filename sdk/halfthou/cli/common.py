"""What every command shares: the options that name the service and the engine, error messages and exit codes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from .. import jsonio
from ..errors import HalfthouError, Refused, ServiceError, UsageError

if TYPE_CHECKING:
    from ..client import Client
    from ..models import SheetAnswer, Verdict

Command = TypeVar("Command", bound=Callable[..., Any])

ALL_WELL = 0
SOMETHING = 1
USAGE = 2
NO_SERVICE = 3
STOP = 4


def service_options(command: Command) -> Command:
    """``--url`` and ``--json``."""
    command = click.option("--json", "as_json", is_flag=True, help="Print the service's answer as JSON.")(command)
    return click.option(
        "--url", envvar="HALFTHOU_URL", metavar="URL", help="A running service; without it, the one installed here."
    )(command)


def engine_options(command: Command) -> Command:
    """``--class``, ``--use``, ``--feature``, ``--dimension``."""
    for add in (
        click.option(
            "--dimension",
            "dimensions",
            multiple=True,
            metavar="NAME=SIZE",
            help="Such as crankpin='2-1/4 in'; may be repeated.",
        ),
        click.option(
            "--feature", "features", multiple=True, help="What the engine has, such as drip-oiled; may be repeated."
        ),
        click.option("--use", help="work (default), demonstrate or show."),
        click.option("--engine-class", "--class", "engine_class", metavar="ID", help="Engine class, such as slow-open-crank."),
    ):
        command = add(command)
    return command


def units_option(command: Command) -> Command:
    """``--units``."""
    return click.option(
        "--units", type=click.Choice(["inch", "metric"]), help="Units of the answer; without it, your own."
    )(command)


def dimension_map(given: tuple[str, ...]) -> dict[str, str] | None:
    """``NAME=SIZE`` options as a mapping.

    Raises:
        UsageError: no equals sign, or one name twice.
    """
    out: dict[str, str] = {}
    for text in given:
        name, equals, size = text.partition("=")
        if not equals or not name.strip() or not size.strip():
            raise UsageError(f"--dimension {text!r}: write it like crankpin='2-1/4 in'")
        if name.strip() in out:
            raise UsageError(f"--dimension {name.strip()} is given twice")
        out[name.strip()] = size.strip()
    return out or None


def overlay_option(command: Command) -> Command:
    """``--overlay``."""
    return click.option(
        "--overlay",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="Your own figures for one engine; without --url. See: halfthou overlay",
    )(command)


def client(url: str | None, overlay: Path | None = None) -> Client:
    """The service at ``url``, or the embedded one, with the owner's overlay where one is named.

    Raises:
        UsageError: both are named, or the overlay cannot be used.
    """
    from ..client import Client

    if url and overlay is not None:
        raise UsageError(
            "--overlay is for the service installed here; a running one (--url, HALFTHOU_URL) has its own, by HALFTHOU_OVERLAY"
        )
    if url:
        return Client(url)
    return Client.embedded() if overlay is None else Client.embedded(overlay=overlay)


def own_engine(shop: Client, overlay: Path | None, engine_id: str = "") -> str:
    """The id to ask by: the engine's own, or that of the overlay's engine. Says so where the overlay is for another engine."""
    own = shop.overlay if overlay is not None else None
    if own is None:
        return engine_id
    if engine_id and engine_id != own.engine:
        from .show import clean

        click.echo(
            clean(f"halfthou: {overlay} is for engine {own.engine}; this one is {engine_id}, so none of it counts"), err=True
        )
    return engine_id or own.engine


@contextmanager
def told_errors(as_json: bool = False) -> Iterator[None]:
    """Turn an error of the SDK into one message on standard error and the right exit code."""
    try:
        yield
    except HalfthouError as error:
        from .show import clean

        if as_json and isinstance(error, ServiceError):
            body = error.problem.raw or {
                "title": error.problem.title,
                "status": error.status,
                "detail": error.problem.detail,
            }
            click.echo(jsonio.dumps(body, indent=1), err=True)
        elif as_json:
            click.echo(jsonio.dumps({"title": type(error).__name__, "detail": str(error)}, indent=1), err=True)
        else:
            click.echo("\n".join(clean(line) for line in f"halfthou: {error}".splitlines()), err=True)
        leave(USAGE if isinstance(error, (UsageError, Refused)) else NO_SERVICE)


def leave(code: int) -> NoReturn:
    """End the command with this exit code."""
    raise click.exceptions.Exit(code)


def print_json(value: Any) -> None:
    """The answer as the service gave it, indented, digits kept."""
    click.echo(jsonio.dumps(value, indent=1))


def code_of(verdict: Verdict) -> int:
    """The exit code of one verdict."""
    if verdict.verdict == "stop":
        return STOP
    return ALL_WELL if verdict.passes else SOMETHING


def code_of_sheet(answer: SheetAnswer) -> int:
    """The exit code of a sheet: a stop above all; then anything that does not pass, or that was asked for and is missing."""
    if answer.stops:
        return STOP
    return ALL_WELL if answer.all_pass and not answer.missing else SOMETHING
