"""``halfthou classes``."""

from __future__ import annotations

import click

from .common import client, print_json, service_options, told_errors


@click.command("classes")
@service_options
def command(url: str | None, as_json: bool) -> None:
    """The classes an engine may be of: --class, or engine_class in an engine file."""
    with told_errors(as_json), client(url) as shop:
        entries = [entry for entry in shop.engine_classes() if entry.kind == "class"]
        if as_json:
            print_json({"items": [entry.raw for entry in entries]})
            return
        from .show import listed

        lines = listed((entry.id, ". ".join(part for part in (entry.name, entry.description) if part)) for entry in entries)
        click.echo("\n".join(lines))
