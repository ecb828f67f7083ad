"""``halfthou dimensions``."""

from __future__ import annotations

import click

from .common import client, print_json, service_options, told_errors


@click.command("dimensions")
@service_options
def command(url: str | None, as_json: bool) -> None:
    """What an engine measures: --dimension ID='SIZE' for each, or dimensions in an engine file; any unit of its kind."""
    with told_errors(as_json), client(url) as shop:
        entries = shop.dimensions()
        if as_json:
            print_json({"items": [entry.raw for entry in entries]})
            return
        from .show import listed

        lines = listed((entry.id, f"{entry.name}{f' [{entry.unit}]' if entry.unit else ''}") for entry in entries)
        click.echo("\n".join(lines))
