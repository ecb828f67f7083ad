"""``halfthou overlay``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ..errors import UsageError
from .common import ALL_WELL, SOMETHING, client, leave, print_json, service_options, told_errors

if TYPE_CHECKING:
    from ..models import OverlayCheck

COUNTS = {"yes": "counts", "no": "does not count", "where_tighter": "counts where it is tighter"}


@click.group("overlay")
def command() -> None:
    """Figures from your own book, for one engine: begin a file of them, check it, then use it with --overlay FILE.

    \b
    halfthou overlay new H my-book.toml
    halfthou overlay check my-book.toml
    halfthou limit rod-bearing-running-clearance --class slow-open-crank --size "2-1/4 in" --overlay my-book.toml
    """


@command.command("new")
@click.argument("engine_id")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option("--url", envvar="HALFTHOU_URL", metavar="URL", help="A running service; without it, the one installed here.")
def new(engine_id: str, file: Path | None, url: str | None) -> None:
    """Begin an overlay for ENGINE_ID, the name you send with its readings; into FILE, or printed. It changes nothing yet."""
    with told_errors(), client(url) as shop:
        text = shop.overlay_template(engine_id)
        if file is None:
            click.echo(text, nl=False)
            return
        try:
            with file.open("x", encoding="utf-8") as handle:
                handle.write(text)
        except FileExistsError:
            raise UsageError(f"{file} is there already and is left alone") from None
        except OSError as error:
            raise UsageError(f"{file} cannot be written: {error.strerror}") from None
        click.echo(f"{file}: fill in your figures, then: halfthou overlay check {file}")


@command.command("check")
@click.argument("file", type=click.Path(path_type=Path))
@service_options
def check(file: Path, url: str | None, as_json: bool) -> None:
    """Every fault of an overlay FILE with its line; or what it would change. Exit code 1 where it has faults."""
    with told_errors(as_json), client(url) as shop:
        found = shop.check_overlay(file)
        if as_json:
            print_json(found.raw)
        else:
            click.echo("\n".join(_page(found, str(file))))
        leave(ALL_WELL if found.ok else SOMETHING)


def _page(found: OverlayCheck, name: str) -> list[str]:
    from .show import wrapped

    lines: list[str] = []
    for fault in found.faults:
        lines += wrapped(f"{name}:{fault.line}: {fault.id}: {fault.detail}", "", "  ")
    lines += wrapped(found.text)
    for tool in found.tools:
        lines += wrapped(f"tool {tool}", "  ", "    ")
    for change in found.changes:
        lines += ["", *wrapped(f"{change.id}, {change.characteristic}: {COUNTS.get(change.counts, change.counts)}")]
        lines += wrapped(change.says, "  ")
        lines += wrapped(f"yours: {change.yours}", "  ", "    ")
        for ours in change.ours:
            lines += wrapped(f"ours: {ours}", "  ", "    ")
    return lines
