"""Surveys as the service takes them, from the forms people write them in. Pure: nothing is sent here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeAlias

from .errors import QuantityError
from .quantities import QuantityLike, quantity

SurveyReadings: TypeAlias = "Mapping[Any, Any] | Iterable[Mapping[str, Any]]"
"""``{"top": {"thrust": "5.2621 in", "pin": "5.2574 in"}}``; ``{("top", "thrust"): "5.2621 in"}``; or a list of station, axis, value.
A list in place of a value holds repeats. Bare numbers need the survey's unit."""
LENGTHS = ("standard_uncertainty", "expanded_uncertainty", "shared_uncertainty", "new", "new_uncertainty")
TEMPERATURES = ("temperature", "instrument_temperature")


def survey_body(survey: Mapping[str, Any]) -> dict[str, Any]:
    """A survey with its quantities in body form; fields that are None or False are left out.

    Raises:
        QuantityError: one of its quantities cannot be read; the message names the place.
    """
    body = {key: value for key, value in survey.items() if value is not None and value is not False}
    for key in (*LENGTHS, *TEMPERATURES):
        if key in body:
            body[key] = _named(key.replace("_", " "), body[key])
    if isinstance(body.get("readings"), (Mapping, list, tuple)):
        body["readings"] = places(body["readings"], "unit" in body)
    return body


def places(readings: SurveyReadings, bare: bool = False) -> list[Any]:
    """The places of a survey as the service takes them. ``bare``: the survey has a unit, so numbers may stand alone.

    Raises:
        QuantityError: a reading cannot be read.
    """
    if isinstance(readings, Mapping):
        return [_place(station, axis, given, bare) for (station, axis), given in _spots(readings)]
    return [_told(entry, bare) if isinstance(entry, Mapping) else entry for entry in readings]


def several_places(readings: Mapping[str, Any], key: str, station: str | None, bare: bool = False) -> list[Any]:
    """The places of a survey of several things. ``key``: ``instance``, or ``station`` where they are places of one thing.

    Raises:
        QuantityError: a reading cannot be read.
    """
    shared = {"station": station} if station and key != "station" else {}
    return [_told({key: str(name), **shared, **_given(given)}, bare) for name, given in readings.items()]


def _given(given: Any) -> dict[str, Any]:
    several = isinstance(given, (list, tuple)) and not (isinstance(given, tuple) and len(given) == 2 and isinstance(given[1], str))
    return {("values" if several else "value"): given}


def _spots(readings: Mapping[Any, Any]) -> Iterable[tuple[tuple[str, str], Any]]:
    for key, given in readings.items():
        if isinstance(key, tuple):
            station, axis = (*map(str, key), "", "")[:2]
            yield (station, axis), given
        elif isinstance(given, Mapping) and "unit" not in given:
            for axis, one in given.items():
                yield (str(key), str(axis)), one
        else:
            yield (str(key), ""), given


def _place(station: str, axis: str, given: Any, bare: bool) -> dict[str, Any]:
    told: dict[str, Any] = {name: word for name, word in (("station", station), ("axis", axis)) if word}
    return _told({**told, **_given(given)}, bare)


def _told(entry: Mapping[str, Any], bare: bool) -> dict[str, Any]:
    body = dict(entry)
    where = ", ".join(str(body[key]) for key in ("instance", "station", "axis") if body.get(key)) or "a place"
    if "value" in body:
        body["value"] = _size(where, body["value"], bare)
    if isinstance(body.get("values"), (list, tuple)):
        body["values"] = [_size(where, one, bare) for one in body["values"]]
    return body


def _size(where: str, given: QuantityLike, bare: bool) -> Any:
    if bare and not isinstance(given, (str, Mapping, tuple)) and not hasattr(given, "to_json") and not hasattr(given, "magnitude"):
        return given
    return _named(where, given)


def _named(what: str, given: QuantityLike) -> dict[str, Any]:
    try:
        return quantity(given).to_json()
    except QuantityError as error:
        raise QuantityError(f"{what}: {error}", error.code) from None
