"""Records of the table as plain values for JSON; each is made once and kept."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Any

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.records import Caution, Characteristic, Dimension, EngineClass, Fact, Feature, Material, Work
from halfthou_specdb.tool_records import Instrument, UncertaintyPart, Variant
from halfthou_specdb.units import Unit


def number(value: Fraction | Decimal, digits: int = 12) -> Decimal:
    """An exact value as a decimal without a positive exponent."""
    return _number(value.numerator, value.denominator, digits) if isinstance(value, Fraction) else _plain(value)


@lru_cache(maxsize=4096)
def _number(numerator: int, denominator: int, digits: int) -> Decimal:
    return _plain(decimal_of(Fraction(numerator, denominator), digits))


def _plain(found: Decimal) -> Decimal:
    exponent = found.as_tuple().exponent
    return Decimal(int(found)) if isinstance(exponent, int) and exponent > 0 else found


def quantity(given: Quantity | None) -> dict[str, Any] | None:
    """A quantity with its own digits."""
    return None if given is None else {"value": given.value, "unit": given.unit.token}


def _span(given: tuple[Quantity, Quantity] | None) -> dict[str, Any] | None:
    return None if given is None else {"low": quantity(given[0]), "high": quantity(given[1])}


def engine_class(record: EngineClass) -> dict[str, Any]:
    """An engine class or a kin."""
    return {
        "id": record.id, "kind": record.kind, "name": record.name, "description": record.description, "implies": list(record.implies),
        "nearest_kin": list(record.nearest_kin), "min_rated_speed": quantity(record.min_rated_speed),
        "max_rated_speed": quantity(record.max_rated_speed),
    }  # fmt: skip


def work(record: Work) -> dict[str, Any]:
    """A publication."""
    return {"id": record.id, "title": record.title, "citation": record.citation}


def dimension(record: Dimension) -> dict[str, Any]:
    """A nominal size."""
    return {"id": record.id, "name": record.name, "unit": record.unit}


def feature(record: Feature) -> dict[str, Any]:
    """A feature."""
    return {"id": record.id, "group": record.group, "says": record.says}


def fact(record: Fact) -> dict[str, Any]:
    """A condition worked out from dimensions."""
    return {"id": record.id, "says": record.says}


def caution(record: Caution) -> dict[str, Any]:
    """A hazard and its caution."""
    return {"id": record.id, "hazard": record.hazard, "when": record.when, "says": record.says, "grade": record.grade,
            "work": record.work or None, "locator": record.locator}  # fmt: skip


def _part(part: UncertaintyPart) -> dict[str, Any]:
    return {"name": part.name, "kind": part.kind, "value": part.value, "unit": part.unit.token if part.unit else None,
            "span": quantity(part.span), "grade": part.grade, "random": part.random}  # fmt: skip


def _variant(variant: Variant) -> dict[str, Any]:
    return {
        "id": variant.id, "name": variant.name, "reads": _span(variant.reads), "sizes": _span(variant.sizes),
        "resolution": quantity(variant.resolution), "parts": [_part(part) for part in variant.parts], "shared_error": variant.shared_error,
        "note": variant.note, "work": variant.work or None, "locator": variant.locator,
    }  # fmt: skip


def instrument(record: Instrument) -> dict[str, Any]:
    """An instrument with its variants."""
    return {
        "id": record.id, "name": record.name, "measures": record.measures, "cannot_see": record.cannot_see, "cost_class": record.cost_class,
        "default_variant": record.default_variant, "variants": [_variant(variant) for variant in record.variants],
    }  # fmt: skip


def material(record: Material) -> dict[str, Any]:
    """A material; expansion in 1e-6 per kelvin."""
    return {
        "id": record.id, "name": record.name, "expansion": record.expansion, "expansion_low": record.expansion_low,
        "expansion_high": record.expansion_high, "expansion_unit": "um/m/K", "grade": record.grade, "work": record.work or None,
        "locator": record.locator, "note": record.note,
    }  # fmt: skip


def unit(record: Unit) -> dict[str, Any]:
    """A unit; its factor to the canonical unit of its dimension as an exact fraction in text."""
    return {
        "token": record.token, "dimension": record.dimension, "symbol": record.symbol, "aliases": list(record.aliases),
        "factor": str(record.factor), "offset": str(record.offset), "exact": record.exact, "ucum": record.ucum or None,
        "pint": record.pint or None, "system": record.system,
    }  # fmt: skip


def words(record: Characteristic) -> list[dict[str, Any]]:
    """The allowed words of a finding, best first."""
    return [
        {"word": w.word, "aliases": list(w.aliases), "meaning": w.meaning, "verdict": w.verdict, "veto": w.veto, "remedy": w.remedy}
        for w in record.words
    ]


def characteristic_in_short(record: Characteristic) -> dict[str, Any]:
    """What a list tells of a characteristic."""
    return {
        "id": record.id, "name": record.name, "component": record.component, "synonyms": list(record.synonyms),
        "definition": record.definition, "value_kind": record.value_kind, "unit": record.unit or None, "basis": record.basis,
        "scales_with": list(record.scales_with), "stage": record.stage, "start_critical": record.start_critical,
    }  # fmt: skip


def characteristic(record: Characteristic) -> dict[str, Any]:
    """Everything about a characteristic."""
    return characteristic_in_short(record) | {
        "how_to_measure": record.how_to_measure, "instruments": list(record.instruments), "usual_instrument": record.usual_instrument or None,
        "non_negative": record.non_negative, "datum": record.datum or None, "sign": record.sign or None, "shaft": record.shaft or None,
        "wave": record.wave or None,
        "low_side": {"meaning": record.low_side.meaning, "says": record.low_side.says},
        "high_side": {"meaning": record.high_side.meaning, "says": record.high_side.says},
        "consequence": record.consequence, "remedies": dict(record.remedies), "mistakes": list(record.mistakes),
        "applies_if": list(record.applies_if), "instances": list(record.instances), "cautions": list(record.cautions), "grade": record.grade,
        "words": words(record),
    }  # fmt: skip
