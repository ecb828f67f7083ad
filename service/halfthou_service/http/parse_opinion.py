"""What a reading asks a second opinion with: true, or what is known of the bearing."""

from __future__ import annotations

from typing import Any

from ..bench.readings import FilmAsked
from ..bench.second_opinion import BEARINGS
from .faults import Fault, FaultError, Near, kind_of, shown, token
from .quantities import read_quantity
from .schemas.requests import FEEDS

KINDS = {"load": "force", "firing_pressure": "pressure", "viscosity": "viscosity", "journal_roughness": "length", "bearing_roughness": "length"}
FIELDS = (*KINDS, "feed")


def read_second_opinion(raw: Any, near: Near) -> FilmAsked | None:
    """What is asked; None where the field is false.

    Raises:
        FaultError: neither true, false nor an object; an unknown field; a quantity of another kind or not above zero; an unknown feed.
    """
    if isinstance(raw, bool):
        return FilmAsked() if raw else None
    if not isinstance(raw, dict):
        raise FaultError(Fault("bad-field", f"a second opinion is true, or an object of {', '.join(FIELDS)}, not {kind_of(raw)}"))
    found: dict[str, Any] = {}
    for name, value in raw.items():
        if name not in FIELDS:
            raise FaultError(near.unknown("unknown-field", "field of a second opinion", name, FIELDS, token(name)))
        try:
            found[name] = _feed(value, near) if name == "feed" else read_quantity(value, near, KINDS[name])
        except FaultError as error:
            raise FaultError(error.fault.under("/" + name)) from None
        if name != "feed" and found[name].canonical <= 0:
            raise FaultError(Fault("not-positive", f"{name} is {found[name]}; it must be above zero", f"/{name}/value"))
    return FilmAsked(**found)


def not_a_bearing() -> Fault:
    """The fault of a second opinion on something that has no oil film."""
    detail = f"a second opinion by oil film is for {' and '.join(BEARINGS)}; leave it out here"
    return Fault("bad-field", detail, "/second_opinion", allowed=tuple(BEARINGS))


def _feed(raw: Any, near: Near) -> str:
    if isinstance(raw, str) and raw in FEEDS:
        return raw
    said = shown(raw) if isinstance(raw, str) else kind_of(raw)
    matches = near.of(raw, FEEDS) if isinstance(raw, str) else ()
    raise FaultError(Fault("bad-field", f"{said} is given; it may be {', '.join(FEEDS)}", near=matches, allowed=FEEDS))
