"""What the standard tables refuse, as problems."""

from __future__ import annotations

from halfthou_specdb.errors import QuantityError, UnknownId
from halfthou_specdb.standards import NotPublished, OutsideTable, UnknownDesignation

from .faults import Fault, of_quantity
from .problems import ProblemError, refuse
from .query import Query

Refused = (UnknownId, QuantityError, UnknownDesignation, OutsideTable, NotPublished)
"""Everything a look-up may raise."""


def problem_of(error: Exception, query: Query, parameter: str) -> ProblemError:
    """The problem behind a refusal; ``parameter`` is the one at fault where the error does not tell."""
    if isinstance(error, UnknownId):
        named = next((name for name, text in query.texts.items() if text.strip().casefold() == error.given.casefold()), parameter)
        fault = Fault("bad-parameter", str(error), parameter=named, near=error.near, allowed=error.allowed)
    elif isinstance(error, QuantityError):
        fault = of_quantity(error, parameter=parameter)
    elif isinstance(error, UnknownDesignation):
        fault = Fault("unknown-designation", str(error), parameter=parameter, near=error.near)
    elif isinstance(error, OutsideTable):
        fault = Fault("outside-standard", str(error), parameter=error.about if error.about in query.texts else parameter)
    else:
        fault = Fault("not-published", str(error), parameter="into" if "into" in query.texts else parameter)
    return refuse([fault])
