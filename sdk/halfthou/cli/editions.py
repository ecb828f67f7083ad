"""``halfthou editions``."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from .common import client, print_json, service_options, told_errors

if TYPE_CHECKING:
    from ..models import EditionChange

LONGEST = 300


@click.group("editions", invoke_without_command=True)
@service_options
@click.pass_context
def command(ctx: click.Context, url: str | None, as_json: bool) -> None:
    """The editions of the table, the one that answers now first.

    \b
    halfthou editions
    halfthou editions diff 0.1.0 current
    """
    if ctx.invoked_subcommand is not None:
        return
    with told_errors(as_json), client(url) as shop:
        found = shop.editions()
        own = shop.overlay
        if as_json:
            print_json({"items": [entry.raw for entry in found]})
            return
        from .show import clean, wrapped

        for entry in found:
            click.echo(clean(f"{entry.id}{'  answers now' if entry.current else '  released'}"))
        if own is not None:
            tools = f", and {own.tools} tools" if own.tools else ""
            click.echo("\n".join(wrapped(f"with your own figures: {own.title}, {own.figures} for engine {own.engine}{tools}", "  ")))


@command.command("diff")
@click.argument("old")
@click.argument("new", default="current")
@service_options
def diff(old: str, new: str, url: str | None, as_json: bool) -> None:
    """What changed from edition OLD to edition NEW (the one that answers now, where NEW is left out)."""
    with told_errors(as_json), client(url) as shop:
        found = shop.compare_editions(old, new)
        if as_json:
            print_json({"items": [entry.raw for entry in found]})
        else:
            click.echo("\n".join(_page(found)))


def _page(found: tuple[EditionChange, ...]) -> list[str]:
    from .show import wrapped

    if not found:
        return ["Nothing differs between these two."]
    numbers = [change for change in found if change.number]
    rest = [change for change in found if not change.number]
    lines = wrapped(f"{len(numbers)} that a verdict could turn on, {len(rest)} other.")
    for change in (*numbers, *rest):
        what = " ".join(part for part in (change.record, change.id, change.field.replace("_", " ")) if part)
        told = f"{what}: {_short(change.old) or 'not there'} -> {_short(change.new) or 'gone'}"
        lines += wrapped(told, "  ! " if change.number else "  . ", "    ")
    return lines


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else text[: LONGEST - 3] + "..."
