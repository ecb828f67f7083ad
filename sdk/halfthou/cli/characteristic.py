"""``halfthou characteristic``."""

from __future__ import annotations

import click

from .common import client, print_json, service_options, told_errors


@click.command("characteristic")
@click.argument("name", required=False)
@service_options
def command(name: str | None, url: str | None, as_json: bool) -> None:
    """What the characteristic NAME is and how to measure it; without NAME, the list of all."""
    from . import show

    with told_errors(as_json), client(url) as shop:
        if name:
            entry = shop.characteristic(name)
            print_json(entry.raw) if as_json else click.echo("\n".join(show.characteristic(entry)))
            return
        entries = shop.characteristics()
        if as_json:
            print_json({"items": [entry.raw for entry in entries]})
            return
        groups: dict[str, list[tuple[str, str]]] = {}
        for entry in entries:
            groups.setdefault(entry.component, []).append((f"  {entry.id}", entry.name))
        for component, rows in groups.items():
            click.echo("\n".join([show.clean(component.replace("-", " ")), *show.listed(rows)]))
