"""What a calculation takes, and what it answers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from ..quantities import Quantity, quantity_in_answer
from . import fields as f
from .table import Caution, raw_field


@dataclass(frozen=True, slots=True)
class CalculationInput:
    """One input: ``kind`` is the kind of unit, or ``choice`` or ``flag``; ``most`` above 1 makes it a list."""

    name: str
    kind: str = ""
    says: str = ""
    required: bool = False
    unit: str = ""
    units: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    most: int = 1
    default: Quantity | str | bool | None = None
    low: Quantity | None = None
    high: Quantity | None = None

    @classmethod
    def from_json(cls, value: Any) -> CalculationInput:
        """From one of ``inputs``."""
        raw = f.an_object(value, "an input")
        default = raw.get("default")
        return cls(
            f.needed(raw, "name", "an input"), f.text(raw, "kind"), f.text(raw, "says"), f.flag(raw, "required"), f.text(raw, "unit"),
            f.texts(raw, "units"), f.texts(raw, "choices"), f.count(raw, "most") or 1,
            default if isinstance(default, (str, bool)) else quantity_in_answer(default),
            quantity_in_answer(raw.get("low")), quantity_in_answer(raw.get("high")),
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class CalculationRecord:
    """A calculation described. In a list of them ``inputs`` carry their names only, and ``docs`` is empty."""

    id: str
    title: str = ""
    says: str = ""
    inputs: tuple[CalculationInput, ...] = ()
    outputs: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    references: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    docs: str = ""
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> CalculationRecord:
        """From ``GET /v1/calculations/{id}``, or from one item of ``GET /v1/calculations``."""
        raw = f.an_object(value, "a calculation")
        inputs = raw.get("inputs")
        return cls(
            f.needed(raw, "id", "a calculation"), f.text(raw, "title"), f.text(raw, "says"),
            tuple(CalculationInput(item) if isinstance(item, str) else CalculationInput.from_json(item) for item in inputs)
            if isinstance(inputs, list) else (),
            tuple(item if isinstance(item, str) else f.text(item, "name") for item in raw.get("outputs") or ()),
            f.texts(raw, "assumptions"), f.texts(raw, "references"), f.texts(raw, "warnings"),
            tuple(Caution.from_json(entry) for entry in f.parts(raw, "cautions")), f.text(raw, "docs"), f.text(raw, "edition"), raw,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class CalculationOutput:
    """One output. ``value`` is a quantity, words, true or false, or None where these inputs do not lead to it."""

    name: str
    says: str = ""
    value: Quantity | str | bool | None = None
    standard_uncertainty: Quantity | None = None

    @classmethod
    def from_json(cls, value: Any) -> CalculationOutput:
        """From one of ``outputs``."""
        raw = f.an_object(value, "an output")
        told: Quantity | str | bool | None = quantity_in_answer(raw)
        if told is None:
            told = raw["text"] if isinstance(raw.get("text"), str) else raw["value"] if isinstance(raw.get("value"), bool) else None
        return cls(f.needed(raw, "name", "an output"), f.text(raw, "says"), told, quantity_in_answer(raw.get("standard_uncertainty")))


@dataclass(frozen=True, slots=True)
class CalculationFlag:
    """Something to know before the answer is used: outside validity, an upper bound only."""

    code: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class CalculationAnswer:
    """What a calculation answers. ``answer["film_thickness"]`` is the value of one output."""

    id: str
    title: str = ""
    outputs: tuple[CalculationOutput, ...] = ()
    flags: tuple[CalculationFlag, ...] = ()
    assumed: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    references: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    def __iter__(self) -> Iterator[CalculationOutput]:
        return iter(self.outputs)

    def output(self, name: str) -> CalculationOutput:
        """One output by name.

        Raises:
            KeyError: the calculation has no such output.
        """
        for entry in self.outputs:
            if entry.name == name:
                return entry
        raise KeyError(name)

    def __getitem__(self, name: str) -> Quantity | str | bool | None:
        return self.output(name).value

    def number(self, name: str) -> Decimal:
        """One output as a bare number in its own unit.

        Raises:
            KeyError: no such output, or one that is no number.
        """
        value = self[name]
        if not isinstance(value, Quantity):
            raise KeyError(name)
        return value.value

    @classmethod
    def from_json(cls, value: Any) -> CalculationAnswer:
        """From ``POST /v1/calculations/{id}``."""
        raw = f.an_object(value, "an answer")
        return cls(
            f.needed(raw, "id", "an answer"), f.text(raw, "title"), tuple(CalculationOutput.from_json(entry) for entry in f.parts(raw, "outputs")),
            tuple(CalculationFlag(f.text(entry, "code"), f.text(entry, "says")) for entry in f.parts(raw, "flags")), f.texts(raw, "assumed"),
            f.texts(raw, "assumptions"), f.texts(raw, "references"), f.texts(raw, "warnings"),
            tuple(Caution.from_json(entry) for entry in f.parts(raw, "cautions")), f.text(raw, "edition"), raw,
        )  # fmt: skip
