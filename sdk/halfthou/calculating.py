"""Calculations through a service: which there are, what one takes, what it answers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, TypeAlias
from urllib.parse import quote

from .errors import QuantityError, UsageError
from .models import CalculationAnswer, CalculationRecord
from .quantities import QuantityLike, quantity
from .table_reader import TableReader

if TYPE_CHECKING:
    from .client import Units

InputLike: TypeAlias = "QuantityLike | str | bool | list[QuantityLike]"
"""A quantity in any of its forms, a word such as ``'drip'``, true or false, or a list of quantities."""
PATH = "/v1/calculations"
_NUMBER = re.compile(r"\s*[+\-\u2212]?\s*(?:[0-9]|\.[0-9])", re.ASCII)


class Calculator(TableReader):
    """The part of the client that works things out."""

    def calculations(self) -> tuple[CalculationRecord, ...]:
        """Every calculation, in short."""
        return self._all(PATH, CalculationRecord.from_json)

    def calculation(self, calculation_id: str) -> CalculationRecord:
        """One calculation: inputs with their units and ranges, outputs, assumptions, references, the page of documentation.

        Raises:
            NotFound: no such calculation; near matches in ``problem.near``.
        """
        return CalculationRecord.from_json(self.get(_path(calculation_id)))

    def calculate(
        self,
        calculation_id: str,
        inputs: Mapping[str, InputLike] | None = None,
        /,
        *,
        standard_uncertainties: Mapping[str, QuantityLike] | None = None,
        units: Units | None = None,
        **named: InputLike,
    ) -> CalculationAnswer:
        """Work one out: ``shop.calculate("piston-speed", stroke="6 in", speed="450 rpm")``.

        Args:
            inputs: inputs by name, for names that are not Python words; ``named`` goes beside and above it.
            standard_uncertainties: one standard uncertainty (k = 1) by name of the input; carried through to the outputs.
            units: ``inch`` or ``metric`` for the answer; without it metric where the inputs are, otherwise inch.

        Raises:
            NotFound: no such calculation.
            QuantityError: an input is no quantity; the message names it.
            Refused: an input is missing, of the wrong kind, out of range, impossible beside the others, or unsafe.
        """
        body: dict[str, Any] = {"inputs": {name: input_body(name, given) for name, given in {**(inputs or {}), **named}.items()}}
        if standard_uncertainties:
            body["standard_uncertainties"] = {name: _named(f"uncertainty of {name}", given) for name, given in standard_uncertainties.items()}
        if units is not None:
            body["units"] = units
        return CalculationAnswer.from_json(self.post(_path(calculation_id), body, pure=True))


def input_body(name: str, given: InputLike) -> Any:
    """One input as it is sent: text that starts with a number is a quantity, other text a word, a list a list of quantities.

    Raises:
        QuantityError: it is no quantity; the message names the input.
    """
    if isinstance(given, bool) or (isinstance(given, str) and not _NUMBER.match(given)):
        return given
    if isinstance(given, list) or (isinstance(given, tuple) and not _pair(given)):
        return [_named(f"{name} {place}", each) for place, each in enumerate(given, 1)]
    return _named(name, given)


def _pair(given: tuple[Any, ...]) -> bool:
    return len(given) == 2 and isinstance(given[1], str) and not isinstance(given[0], str)


def _path(calculation_id: str) -> str:
    if not calculation_id:
        raise UsageError("the id of the calculation is empty")
    return f"{PATH}/{quote(calculation_id, safe='')}"


def _named(what: str, given: QuantityLike) -> dict[str, Any]:
    try:
        return quantity(given).to_json()
    except QuantityError as error:
        raise QuantityError(f"{what}: {error}", error.code) from None
