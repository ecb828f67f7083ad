"""``halfthou search``."""

from __future__ import annotations

import click

from .common import ALL_WELL, SOMETHING, client, leave, print_json, service_options, told_errors


@click.command("search")
@click.argument("words", nargs=-1, required=True)
@service_options
def command(words: tuple[str, ...], url: str | None, as_json: bool) -> None:
    """Find a characteristic by WORDS, such as: how loose is the rod"""
    with told_errors(as_json), client(url) as shop:
        found = shop.search(" ".join(words))
        if as_json:
            print_json({"items": [entry.raw for entry in found]})
        elif found:
            from .show import listed

            click.echo("\n".join(listed((entry.id, entry.name) for entry in found)))
        else:
            click.echo("Nothing by those words. Try fewer, or: halfthou characteristic")
        leave(ALL_WELL if found else SOMETHING)
