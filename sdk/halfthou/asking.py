"""From arguments to the bodies and query parameters that the service takes. Pure: nothing is sent here."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from . import jsonio
from .asking_surveys import survey_body
from .errors import QuantityError, SheetError, UsageError
from .quantities import QuantityLike, quantity, quantity_text

Dimensions = Mapping[str, QuantityLike]
QUANTITY_FIELDS = (
    "value",
    "low",
    "high",
    "goes",
    "does_not_go",
    "standard_uncertainty",
    "expanded_uncertainty",
    "temperature",
    "instrument_temperature",
)
ENGINE_FIELDS = ("id", "engine_class", "use", "features", "dimensions")
MAX_SHEET = 2 * 2**20
"""The service takes no larger body [bytes]."""


def name_of(word: str) -> str:
    """Ids are kebab-case; ``crankpin_length`` is taken for ``crankpin-length``."""
    return word.strip().replace("_", "-")


def dimension_bodies(dimensions: Dimensions | None) -> dict[str, dict[str, Any]]:
    """Dimensions as quantities, by id.

    Raises:
        QuantityError: one of them is not a quantity; the message names it.
    """
    out: dict[str, dict[str, Any]] = {}
    for name, given in (dimensions or {}).items():
        out[name_of(name)] = _named(f"dimension {name_of(name)}", given)
    return out


def engine_body(
    engine: Mapping[str, Any] | None = None,
    *,
    engine_class: str | None = None,
    use: str | None = None,
    features: Iterable[str] | str | None = None,
    dimensions: Dimensions | None = None,
) -> dict[str, Any]:
    """The ``engine`` of a request. What is given by name stands over what ``engine`` says.

    Raises:
        QuantityError: a dimension is not a quantity.
        UsageError: ``engine`` is not a mapping.
    """
    if engine is not None and not isinstance(engine, Mapping):
        raise UsageError("the engine is a mapping of engine_class, use, features, dimensions")
    body: dict[str, Any] = dict(engine or {})
    stated = body.get("dimensions")
    sizes = dimension_bodies(stated if isinstance(stated, Mapping) else None) | dimension_bodies(dimensions)
    if stated is not None and not isinstance(stated, Mapping):
        raise UsageError("the engine's dimensions are a mapping of name to size")
    if sizes:
        body["dimensions"] = sizes
    if engine_class is not None:
        body["engine_class"] = engine_class
    if use is not None:
        body["use"] = use
    if features is not None:
        body["features"] = feature_list(features)
    return body


def feature_list(features: Iterable[str] | str) -> list[str]:
    """Features as a list; one text may hold several, parted by commas."""
    return [part.strip() for part in (features.split(",") if isinstance(features, str) else features) if part.strip()]


def engine_params(engine: Mapping[str, Any]) -> list[tuple[str, str]]:
    """An engine as query parameters: engine_class, use, features, ``dimension.<name>``.

    Raises:
        UsageError: the engine says something that has no query parameter.
    """
    refuse_strange(engine)
    out = [(key, str(engine[key])) for key in ("engine_class", "use") if engine.get(key)]
    if engine.get("id"):
        out.append(("engine", str(engine["id"])))
    if engine.get("features"):
        out.append(("features", ",".join(feature_list(engine["features"]))))
    for name, given in (engine.get("dimensions") or {}).items():
        out.append((f"dimension.{name_of(name)}", quantity_text(given)))
    return out


def refuse_strange(engine: Mapping[str, Any]) -> None:
    """Refuse an engine that says something an engine has not; words of the owner's own beside it are let pass.

    Raises:
        UsageError: it does.
    """
    strange = sorted(set(engine) - set(ENGINE_FIELDS) - {"note", "name", "description"})
    if strange:
        raise UsageError(f"an engine has {', '.join(ENGINE_FIELDS)}; this one also has {', '.join(map(str, strange))}")


def reading_body(reading: Mapping[str, Any]) -> dict[str, Any]:
    """A reading with its quantities in body form; fields that are None are left out.

    Raises:
        QuantityError: one of its quantities cannot be read; the message names the field.
    """
    body = {key: value for key, value in reading.items() if value is not None}
    for key in QUANTITY_FIELDS:
        if key in body:
            body[key] = _named(key.replace("_", " "), body[key])
    if "values" in body:
        given = body["values"]
        if isinstance(given, (str, Mapping)) or not isinstance(given, Iterable):
            raise QuantityError("values is a list of readings, such as ['3.8 thou', '3.9 thou']")
        body["values"] = [_named(f"value {place}", one) for place, one in enumerate(given, 1)]
    if isinstance(body.get("place"), str):
        body["place"] = {"instance": body["place"]}
    if isinstance(body.get("second_opinion"), Mapping):
        asked = body["second_opinion"].items()
        body["second_opinion"] = {key: value if key == "feed" else _named(key.replace("_", " "), value) for key, value in asked}
    if "limit" in body:
        body["limit"] = _limit(body["limit"])
    if isinstance(body.get("budget"), (list, tuple)):
        body["budget"] = [_line(line) if isinstance(line, Mapping) else line for line in body["budget"]]
    if "pooled_scatter" in body:
        body["pooled_scatter"] = _pooled(body["pooled_scatter"])
    return body


def sheet_body(sheet: Mapping[str, Any]) -> dict[str, Any]:
    """A sheet with its quantities in body form.

    Raises:
        QuantityError: a quantity cannot be read; the message names the reading.
    """
    body = dict(sheet)
    if isinstance(body.get("engine"), Mapping):
        body["engine"] = engine_body(body["engine"])
    readings = body.get("readings")
    if isinstance(readings, (list, tuple)):
        done: list[Any] = []
        for place, reading in enumerate(readings):
            try:
                done.append(reading_body(reading) if isinstance(reading, Mapping) else reading)
            except QuantityError as error:
                which = reading.get("id") or f"number {place + 1}"
                raise QuantityError(f"reading {which}: {error}", error.code) from None
        body["readings"] = done
    surveys = body.get("surveys")
    if isinstance(surveys, (list, tuple)):
        body["surveys"] = [_survey(survey, place) for place, survey in enumerate(surveys, 1)]
    return body


def _survey(survey: Any, place: int) -> Any:
    try:
        return survey_body(survey) if isinstance(survey, Mapping) else survey
    except QuantityError as error:
        raise QuantityError(f"survey {survey.get('id') or f'number {place}'}: {error}", error.code) from None


def _line(line: Mapping[str, Any]) -> dict[str, Any]:
    return {key: _named(f"budget line {line.get('name', '')}", value) if key == "standard_uncertainty" else value for key, value in line.items()}


def _pooled(given: Any) -> Any:
    """``("0.2 thou", 12)``, or a mapping of value, unit and degrees_of_freedom."""
    if isinstance(given, tuple) and len(given) == 2:
        return {**_named("pooled scatter", given[0]), "degrees_of_freedom": given[1]}
    return given


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet as it came: decoded JSON, or CSV text."""

    json: Mapping[str, Any] | None = None
    csv: str = ""
    name: str = "the sheet"


def read_sheet(given: Sheet | Mapping[str, Any] | str | os.PathLike[str]) -> Sheet:
    """A sheet from a mapping, JSON text, CSV text (more than one line), or a path to either; one that was read already stays as it is.

    Raises:
        SheetError: no such file, too large, neither JSON nor CSV.
        UsageError: something else was given.
    """
    if isinstance(given, Sheet):
        return given
    if isinstance(given, Mapping):
        return Sheet(json=given)
    if not isinstance(given, (str, os.PathLike)):
        raise UsageError(f"a sheet is a mapping with engine and readings, JSON or CSV text, or a path to either; {kind_of(given)} was given")
    if isinstance(given, str) and ("\n" in given.strip() or given.lstrip().startswith("{")):
        return sheet_of_text(given, "the sheet")
    path = Path(given)
    return sheet_of_text(file_text(path), str(path))


def kind_of(given: object) -> str:
    """What was given instead, in words."""
    return "nothing" if given is None else f"an object of type {type(given).__name__}"


def file_text(path: Path) -> str:
    """A text file, read with a bound on its length.

    Raises:
        SheetError: it cannot be read, is larger than the service takes, or is not UTF-8.
    """
    try:
        with path.open("rb") as file:
            body = file.read(MAX_SHEET + 1)
        if len(body) > MAX_SHEET:
            raise SheetError(f"{path} is larger than the {MAX_SHEET:,} bytes that the service takes")
        return body.decode("utf-8-sig")
    except (OSError, ValueError) as error:
        if isinstance(error, SheetError):
            raise
        reason = error.strerror if isinstance(error, OSError) else "not UTF-8 text"
        raise SheetError(f"{path} cannot be read: {reason}") from None


def sheet_of_text(text: str, name: str) -> Sheet:
    """A sheet from JSON text (it starts with a brace) or CSV text.

    Raises:
        SheetError: empty, or JSON that cannot be read.
    """
    text = text.removeprefix("\ufeff")
    if not text.strip():
        raise SheetError(f"{name} is empty")
    if text.lstrip()[0] in "{[":
        return Sheet(json=json_object(text, name), name=name)
    return Sheet(csv=text, name=name)


def json_object(text: str, name: str) -> Mapping[str, Any]:
    """A JSON object from text.

    Raises:
        SheetError: not JSON, or JSON that is not an object.
    """
    try:
        value = jsonio.loads(text)
    except jsonio.NotJson as error:
        raise SheetError(f"{name} is not JSON: {error}") from None
    if not isinstance(value, Mapping):
        raise SheetError(f"{name} holds a {type(value).__name__}, not an object with engine and readings")
    return value


def _limit(given: Any) -> Any:
    if not isinstance(given, Mapping):
        return given
    return {
        part: {
            end: bound if bound in ("unbounded", "none_on_file") else _named(f"limit {part} {end}", bound)
            for end, bound in ends.items()
        }
        if isinstance(ends, Mapping)
        else ends
        for part, ends in given.items()
    }


def _named(what: str, given: QuantityLike) -> dict[str, Any]:
    try:
        return quantity(given).to_json()
    except QuantityError as error:
        raise QuantityError(f"{what}: {error}", error.code) from None
