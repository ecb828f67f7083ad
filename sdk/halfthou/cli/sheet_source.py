"""Where a sheet comes from: a file or standard input, an engine file, an owner's overlay, and files of facts and wishes."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from .. import asking
from ..errors import SheetError, UsageError
from .common import dimension_map, engine_options, overlay_option, own_engine, units_option

if TYPE_CHECKING:
    from ..client import Client

Command = TypeVar("Command", bound=Callable[..., Any])


def engine_file_option(command: Command) -> Command:
    """``--engine``."""
    return click.option(
        "--engine", "engine_file", type=click.Path(path_type=Path), metavar="FILE.json", help="The engine, where the sheet carries none."
    )(command)


def sheet_options(command: Command) -> Command:
    """What names a sheet and its engine: FILE, ``--engine``, the engine's parts, ``--overlay``, ``--units``."""
    for add in (units_option, overlay_option, engine_options, engine_file_option):
        command = add(command)
    return click.argument("file", required=False, type=click.Path(path_type=Path, allow_dash=True))(command)


def facts_option(command: Command) -> Command:
    """``--facts``."""
    return click.option(
        "--facts", "facts_file", type=click.Path(path_type=Path), metavar="FILE.json",
        help="What you can tell beside the readings: shim leaves, pistons to be had ... A JSON sheet may carry it.",
    )(command)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Given:
    """A sheet that was read, how its engine is named, and the overlay used with it."""

    read: asking.Sheet
    engine: Mapping[str, Any] | None
    overlay: Path | None
    parts: Mapping[str, Any]

    @property
    def title(self) -> str:
        """``Sheet: id, class, use``, or the name of the file."""
        named = (self.read.json or {}).get("engine") or self.engine or {}
        told = [str(named[key]) for key in ("id", "engine_class", "use") if isinstance(named, Mapping) and named.get(key)]
        return f"Sheet: {', '.join(told)}" if told else f"Sheet: {self.read.name}"

    def sent(self, shop: Client) -> tuple[asking.Sheet, dict[str, Any]]:
        """The sheet and the engine's parts as the client takes them; the overlay's engine lends its id where the sheet names none."""
        sheet, engine = _owned(self.read, self.engine, shop, self.overlay)
        return sheet, {**self.parts, "engine": engine}


def given_sheet(
    file: Path | None,
    engine_file: Path | None,
    overlay: Path | None,
    *,
    features: tuple[str, ...] = (),
    dimensions: tuple[str, ...] = (),
    **asked: Any,
) -> Given:
    """The sheet that was named; ``asked`` goes to the client as it is.

    Raises:
        UsageError: none was named.
        SheetError: it cannot be read.
    """
    parts = {"features": features or None, "dimensions": dimension_map(dimensions), **asked}
    return Given(read_named(file), engine_of(engine_file) if engine_file else None, overlay, parts)


def given_engine(
    engine_file: Path | None, *, features: tuple[str, ...] = (), dimensions: tuple[str, ...] = (), **asked: Any
) -> dict[str, Any]:
    """The engine that was named, as the client takes it.

    Raises:
        UsageError: none was named.
        SheetError: the file cannot be read.
    """
    engine = engine_of(engine_file) if engine_file else None
    if not engine and not asked.get("engine_class"):
        raise UsageError("name the engine: --engine FILE.json (a sheet that carries one will do), or --class and --dimension")
    return {"engine": engine, "features": features or None, "dimensions": dimension_map(dimensions), **asked}


def owned_engine(asked: Mapping[str, Any], shop: Client, overlay: Path | None) -> dict[str, Any]:
    """The same with the id of the overlay's engine, where the engine has none of its own."""
    engine = dict(asked["engine"] or {})
    own = own_engine(shop, overlay, str(engine.get("id") or ""))
    return {**asked, "engine": {**engine, "id": own} if own else asked["engine"]}


def read_named(file: Path | None) -> asking.Sheet:
    """The sheet of a file, or of standard input where it is named ``-``.

    Raises:
        UsageError: no file is named.
        SheetError: it cannot be read.
    """
    if file is None:
        raise UsageError("there is no sheet: name a file, - for standard input; halfthou sheet --template csv prints one to start from")
    return asking.sheet_of_text(stdin(), "standard input") if str(file) == "-" else asking.read_sheet(file)


def part_of_file(path: Path | None, name: str) -> Mapping[str, Any] | None:
    """The ``facts`` or ``wishes`` of a JSON file, which may hold them alone or under their name.

    Raises:
        SheetError: it cannot be read.
    """
    if path is None:
        return None
    body = asking.json_object(asking.file_text(path), str(path))
    inner = body.get(name, body)
    if not isinstance(inner, Mapping):
        raise SheetError(f"{path} holds no {name}")
    return inner


def engine_of(path: Path) -> Mapping[str, Any]:
    """The engine of a JSON file, which may hold it alone or be a whole sheet."""
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


def stdin() -> str:
    """Standard input as text, read with a bound on its length."""
    body = sys.stdin.buffer.read(asking.MAX_SHEET + 1)
    if len(body) > asking.MAX_SHEET:
        raise SheetError(f"standard input is larger than the {asking.MAX_SHEET:,} bytes that the service takes")
    try:
        return body.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SheetError("standard input is not UTF-8 text") from None
