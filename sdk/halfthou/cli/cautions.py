"""``halfthou cautions``."""

from __future__ import annotations

import click

from .common import client, print_json, service_options, told_errors


@click.command("cautions")
@service_options
def command(url: str | None, as_json: bool) -> None:
    """What can hurt you, by hazard."""
    from . import show

    with told_errors(as_json), client(url) as shop:
        entries = shop.cautions()
        if as_json:
            print_json({"items": [entry.raw for entry in entries]})
            return
        groups: dict[str, list[str]] = {}
        for entry in entries:
            groups.setdefault(entry.hazard or "other", []).append(
                f"{entry.when}: {entry.says}" if entry.when else entry.says or entry.id
            )
        for hazard, told in groups.items():
            lines = show.section(hazard) + [line for text in told for line in show.wrapped(text, "  - ", "    ")]
            click.echo("\n".join(lines))
