"""``halfthou instruments``."""

from __future__ import annotations

import click

from .common import client, print_json, service_options, told_errors


@click.command("instruments")
@service_options
def command(url: str | None, as_json: bool) -> None:
    """The measuring tools the table knows, and what each cannot see."""
    with told_errors(as_json), client(url) as shop:
        entries = shop.instruments()
        if as_json:
            print_json({"items": [entry.raw for entry in entries]})
            return
        from .show import listed

        rows = [
            (entry.id, entry.name + (f". Cannot see {entry.cannot_see}" if entry.cannot_see else ""))
            for entry in entries
        ]
        click.echo("\n".join(listed(rows)))
