"""``halfthou features``."""

from __future__ import annotations

import click

from .common import client, print_json, service_options, told_errors


@click.command("features")
@service_options
def command(url: str | None, as_json: bool) -> None:
    """What an engine may have: --feature ID for each, or features in an engine file; not:ID for what it has not."""
    with told_errors(as_json), client(url) as shop:
        entries = shop.features()
        if as_json:
            print_json({"items": [entry.raw for entry in entries]})
            return
        from .show import listed, section

        groups: dict[str, list[tuple[str, str]]] = {}
        for entry in entries:
            groups.setdefault(entry.group or "other", []).append((f"  {entry.id}", entry.says))
        lines = [line for group, rows in groups.items() for line in (*section(group.replace("-", " ")), *listed(rows))][1:]
        click.echo("\n".join(lines))
