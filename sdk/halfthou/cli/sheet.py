"""``halfthou sheet``."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from .. import asking
from ..errors import SheetError, UsageError
from .common import (
    client,
    code_of_sheet,
    dimension_map,
    engine_options,
    leave,
    overlay_option,
    own_engine,
    print_json,
    service_options,
    told_errors,
    units_option,
)

if TYPE_CHECKING:
    from ..client import Client


@click.command("sheet")
@click.argument("file", required=False, type=click.Path(path_type=Path, allow_dash=True))
@click.option("--template", type=click.Choice(["csv", "json"]), help="Print a sheet to start from, and judge nothing.")
@click.option(
    "--engine", "engine_file", type=click.Path(path_type=Path), metavar="FILE.json", help="The engine of a CSV sheet."
)
@click.option("--stage", help="as-found, machine-shop, assembly, first-start or running.")
@engine_options
@overlay_option
@units_option
@service_options
def command(
    file: Path | None,
    template: str | None,
    engine_file: Path | None,
    stage: str | None,
    engine_class: str | None,
    use: str | None,
    features: tuple[str, ...],
    dimensions: tuple[str, ...],
    overlay: Path | None,
    units: Any,
    url: str | None,
    as_json: bool,
) -> None:
    """What a whole sheet means. FILE is JSON or CSV, or - for standard input.

    A JSON sheet carries its engine. A CSV sheet has any of the columns that --template csv prints, in any order; name its
    engine by --engine, or by --class, --use, --feature and --dimension.

    \b
    halfthou sheet --template csv > my-sheet.csv
    halfthou sheet my-sheet.csv --class slow-open-crank --dimension crankpin="2-1/4 in"
    """
    with told_errors(as_json):
        if template is not None:
            from ..template import sheet_template

            click.echo(sheet_template(template), nl=False)
            return
        if file is None:
            raise UsageError("there is no sheet to judge: name a file, - for standard input, or --template csv for one to start from")
        sheet = asking.sheet_of_text(_stdin(), "standard input") if str(file) == "-" else asking.read_sheet(file)
        engine = _engine(engine_file) if engine_file else None
        with client(url, overlay) as shop:
            sheet, engine = _owned(sheet, engine, shop, overlay)
            answer = shop.judge_sheet(
                sheet.json if sheet.json is not None else sheet.csv + "\n",
                engine=engine,
                engine_class=engine_class,
                use=use,
                features=features or None,
                dimensions=dimension_map(dimensions),
                stage=stage,
                units=units,
            )
        if as_json:
            print_json(answer.raw)
        else:
            from .sheet_page import page

            click.echo("\n".join(page(answer, _title(sheet, engine))))
        leave(code_of_sheet(answer))


def _engine(path: Path) -> Mapping[str, Any]:
    body = asking.json_object(asking.file_text(path), str(path))
    inner = body.get("engine", body)
    if not isinstance(inner, Mapping):
        raise SheetError(f"{path} holds no engine")
    return inner


def _owned(
    sheet: asking.Sheet, engine: Mapping[str, Any] | None, shop: Client, overlay: Path | None
) -> tuple[asking.Sheet, Mapping[str, Any] | None]:
    """Sheet and engine with the id of the overlay's engine, where an overlay is used and the engine has no id of its own."""
    if overlay is None:
        return sheet, engine
    stated = (sheet.json or {}).get("engine", engine)
    if stated is not None and not isinstance(stated, Mapping):
        return sheet, engine
    named = {**(stated or {}), "id": own_engine(shop, overlay, str((stated or {}).get("id") or ""))}
    if sheet.json is not None and "engine" in sheet.json:
        return replace(sheet, json={**sheet.json, "engine": named}), engine
    return sheet, named


def _title(sheet: asking.Sheet, engine: Mapping[str, Any] | None) -> str:
    named = (sheet.json or {}).get("engine") or engine or {}
    told = [str(named[key]) for key in ("id", "engine_class", "use") if isinstance(named, Mapping) and named.get(key)]
    return f"Sheet: {', '.join(told)}" if told else f"Sheet: {sheet.name}"


def _stdin() -> str:
    body = sys.stdin.buffer.read(asking.MAX_SHEET + 1)
    if len(body) > asking.MAX_SHEET:
        raise SheetError(f"standard input is larger than the {asking.MAX_SHEET:,} bytes that the service takes")
    try:
        return body.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SheetError("standard input is not UTF-8 text") from None
