"""``halfthou demo``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import click

from .. import asking
from ..errors import NotInstalled
from .common import client, print_json, told_errors

NOTICE = (
    "This engine is invented: every size, reading and history below is made up to show what an answer looks like, "
    "with a few traps planted. It copies no real engine; use none of it as data."
)


@click.command("demo")
@click.option("--json", "as_json", is_flag=True, help="Print the service's answer as JSON.")
def command(as_json: bool) -> None:
    """An invented engine, judged by the service installed here. Exit code 0 where it ran, whatever it found."""
    with told_errors(as_json):
        sheet = demo_sheet()
        with client(None) as shop:
            answer = shop.judge_sheet(sheet)
        if as_json:
            print_json(answer.raw)
            return
        from .sheet_page import page

        click.echo("\n".join(page(answer, "Demonstration: an invented engine", NOTICE)))


def demo_sheet() -> Mapping[str, Any]:
    """The demonstration sheet that comes with the service.

    Raises:
        NotInstalled: the service part is not installed here.
    """
    from importlib.resources import files

    try:
        text = (files("halfthou_service") / "demo" / "sheet.json").read_text(encoding="utf-8")
    except (ImportError, OSError) as error:
        raise NotInstalled(
            "the demonstration comes with the service, which is not installed here;"
            " get it with: pip install 'halfthou[service]'"
        ) from error
    return asking.json_object(text, "the demonstration sheet")
