"""Raw records (as TOML or the built file hold them) to frozen records. One path for both, so neither can drift."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from .errors import RuleError, SpecdbError
from .quantity import Quantity
from .records import (
    BASES,
    Absence,
    Caution,
    Characteristic,
    Derivation,
    Dimension,
    EngineClass,
    Evidence,
    Fact,
    Feature,
    Limit,
    Material,
    Side,
    SizeRange,
    Typical,
    Word,
    Work,
)
from .rules import NONE_ON_FILE, Bound, Constant, parse_bound
from .survey_records import Pair, SurveyKind
from .tool_records import Instrument, UncertaintyPart, Variant
from .units import Unit, unit_named

Raw = Mapping[str, Any]
HARMLESS = "harmless"
_STEP = re.compile(r"\bstep\b|between the marks|half a (division|mark)")
"""Names of the part that is the step a tool reads to, where the record does not say."""


def _tuple(raw: Raw, key: str) -> tuple[str, ...]:
    return tuple(str(item) for item in raw.get(key, ()))


def _quantity(raw: Raw | None) -> Quantity | None:
    return None if raw is None else Quantity.of(Decimal(raw["value"]), str(raw["unit"]))


def _pair(raw: Raw | None) -> tuple[Quantity, Quantity] | None:
    if raw is None:
        return None
    return Quantity.of(Decimal(raw["from"]), raw["unit"]), Quantity.of(Decimal(raw["to"]), raw["unit"])


def _unit(raw: Raw) -> Unit | None:
    return unit_named(str(raw["unit"])) if raw.get("unit") else None


def work(raw: Raw) -> Work:
    """A publication."""
    return Work(str(raw["id"]), str(raw["title"]), str(raw["citation"]))


def engine_class(raw: Raw) -> EngineClass:
    """An engine class or a kin."""
    return EngineClass(
        raw["id"], raw["kind"], raw["name"], raw["description"], _tuple(raw, "implies"), _tuple(raw, "nearest_kin"),
        _quantity(raw.get("max_rated_speed")), _quantity(raw.get("min_rated_speed")),
    )  # fmt: skip


def dimension(raw: Raw) -> Dimension:
    """A nominal size."""
    return Dimension(raw["id"], raw["name"], unit_named(raw["unit"]).token)


def feature(raw: Raw) -> Feature:
    """A feature of an engine."""
    return Feature(raw["id"], raw["group"], raw["says"])


def fact(raw: Raw) -> Fact:
    """A condition worked out from dimensions."""
    return Fact(raw["id"], raw["says"])


def _part(raw: Raw) -> UncertaintyPart:
    span = Quantity.of(Decimal(raw["span"]), raw["unit"]) if "span" in raw else None
    if raw["kind"] == "constant" and not raw.get("unit"):
        raise SpecdbError(f"the constant part {raw['name']!r} has no unit")
    if raw["kind"] == "percent-of-span" and span is None:
        raise SpecdbError(f"the part {raw['name']!r} needs span and unit")
    return UncertaintyPart(raw["name"], raw["kind"], Decimal(raw["value"]), _unit(raw), span, raw["grade"],
                           bool(raw.get("random", False)), bool(raw.get("step", _STEP.search(raw["name"]) is not None)))  # fmt: skip


def instrument(raw: Raw) -> Instrument:
    """An instrument with its variants.

    Raises:
        SpecdbError: no default variant of that name, a part without its unit, counts without a resolution.
    """
    variants = tuple(
        Variant(v["id"], v["name"], _pair(v.get("reads")), _pair(v.get("sizes")), _quantity(v.get("resolution")),
                tuple(_part(p) for p in v["parts"]), str(v.get("shared_error", "")), str(v.get("note", "")),
                str(v.get("work", "")), str(v.get("locator", "")))
        for v in raw["variant"]
    )  # fmt: skip
    for v in variants:
        if any(p.kind == "counts" for p in v.parts) and v.resolution is None:
            raise SpecdbError(f"variant {v.id} counts a resolution it does not state")
    if raw["default_variant"] not in {v.id for v in variants}:
        raise SpecdbError(f"default_variant {raw['default_variant']!r} is not one of its variants")
    return Instrument(raw["id"], raw["name"], raw["measures"], str(raw.get("cannot_see", "")), int(raw["cost_class"]),
                      raw["default_variant"], variants, bool(raw.get("one_size", any(v.sizes for v in variants))),
                      _tuple(raw, "blind_to"))  # fmt: skip


def caution(raw: Raw) -> Caution:
    """A hazard and its caution."""
    return Caution(raw["id"], raw["hazard"], raw["when"], raw["says"], raw["grade"], str(raw.get("work", "")), str(raw.get("locator", "")))


def characteristic(raw: Raw) -> Characteristic:
    """A characteristic, with its words when it is a finding."""
    words = tuple(
        Word(w["word"], _tuple(w, "aliases"), w["meaning"], w["verdict"], w["veto"], str(w.get("remedy", ""))) for w in raw.get("words", ())
    )
    for word in words:
        if (word.veto != "none") != (word.verdict == "stop"):
            raise SpecdbError(f"the word {word.word!r}: a veto and the verdict stop go together")
    angle = raw.get("unit") == "deg" and raw["value_kind"] != "finding"
    if angle and bool(raw.get("datum")) != bool(raw.get("sign")):
        raise SpecdbError("an angle from a dead centre needs datum and sign both")
    return Characteristic(
        raw["id"], raw["name"], raw["component"], _tuple(raw, "synonyms"), raw["definition"], raw["how_to_measure"],
        _tuple(raw, "instruments"), str(raw.get("usual_instrument", "")), _tuple(raw, "scales_with"), raw["value_kind"],
        unit_named(raw["unit"]).token if raw.get("unit") else "", raw["basis"], bool(raw.get("non_negative", False)),
        str(raw.get("datum", "")), str(raw.get("sign", "")), str(raw.get("shaft", "")), str(raw.get("wave", "")),
        Side(raw["low_side"]["meaning"], raw["low_side"]["says"]), Side(raw["high_side"]["meaning"], raw["high_side"]["says"]),
        raw["consequence"], dict(raw.get("remedies", {})), _tuple(raw, "mistakes"), raw["stage"], raw["start_critical"],
        _tuple(raw, "applies_if"), _tuple(raw, "instances"), _tuple(raw, "cautions"), raw["grade"], words,
    )  # fmt: skip


def _sizes(raw: Raw | None, scale: str) -> SizeRange | None:
    if raw is None:
        return None
    low, high = _pair(raw) or (None, None)
    assert low is not None and high is not None
    return SizeRange(str(raw.get("of") or scale), low, high)


def _checked(bound: Bound, end: str, clearance: bool) -> Bound:
    if clearance and end.endswith("low") and isinstance(bound, Constant) and bound.value <= 0:
        raise RuleError(f"{end} is {bound.value}: zero or less is no lower bound of a clearance; write \"none_on_file\"")
    return bound


def is_clearance(characteristic_id: str) -> bool:
    """True for clearances, gaps between a moving pair: a zero or negative lower bound means nothing for them."""
    return characteristic_id.endswith(("-clearance", "-end-gap", "-end-float", "-end-play", "-backlash", "-lash-exhaust", "-lash-inlet"))


def evidence(raw: Raw, scale: str, dimension_units: Mapping[str, str]) -> Evidence:
    """One statement by one work.

    Raises:
        RuleError: a bound that is none, or a zero lower bound of a clearance.
    """
    unit = _unit(raw)
    if unit is None and (raw["low"], raw["high"]) != (NONE_ON_FILE.value, NONE_ON_FILE.value):
        raise RuleError("bounds with numbers need a unit")
    reading_unit = unit or unit_named("ratio")
    clearance = any(is_clearance(c) for c in raw["characteristics"])
    low, high = (_checked(parse_bound(raw[s], reading_unit, scale, dimension_units), s, clearance) for s in ("low", "high"))
    return Evidence(
        raw["id"], _tuple(raw, "characteristics"), raw["kin"], raw["written_for"], raw["says"], raw["kind"], raw["basis"], unit,
        low, high, _tuple(raw, "when"), _sizes(raw.get("sizes"), scale), raw["grade"], str(raw.get("work", "")),
        str(raw.get("locator", "")), str(raw.get("note", "")), str(raw.get("second_reading", "")), bool(raw.get("scan_doubt", False)),
    )  # fmt: skip


def _derivation(raw: Raw) -> Derivation:
    return Derivation(
        raw["op"], _tuple(raw, "of") or _tuple(raw, "between"), str(raw.get("how", "")), Decimal(raw.get("times", 1)),
        Decimal(raw.get("plus", 0)), str(raw.get("pick", "")), str(raw.get("outside", "")),
    )  # fmt: skip


def limit(raw: Raw, scale: str, dimension_units: Mapping[str, str], owner: bool = False) -> Limit:
    """An adopted limit, guide or safety limit (or an owner's figure, which needs no derivation).

    Raises:
        RuleError: a bad bound; a numeric end without a derivation; a derivation for an end without a number.
    """
    unit = unit_named(raw["unit"])
    wear = raw.get("wear", {"low": NONE_ON_FILE.value, "high": NONE_ON_FILE.value})
    clearance = is_clearance(raw["characteristic"])
    ends: dict[str, Bound] = {}
    for part, pair in (("fit", raw["fit"]), ("wear", wear)):
        for side in ("low", "high"):
            end = f"{part}_{side}"
            ends[end] = _checked(parse_bound(pair[side], unit, scale, dimension_units), end, clearance)
    derivation = {end: _derivation(d) for end, d in raw.get("derivation", {}).items()}
    numeric = {end for end, bound in ends.items() if not isinstance(bound, type(NONE_ON_FILE))}
    if not owner and numeric != set(derivation):
        raise RuleError(f"every numeric end has one derivation: {', '.join(sorted(numeric ^ set(derivation)))} differ")
    if raw["basis"] not in BASES:
        raise RuleError(f"basis {raw['basis']!r} is not known")
    return Limit(
        raw["id"], raw["kind"], raw["characteristic"], _tuple(raw, "classes"), raw["use"], _tuple(raw, "when"),
        _sizes(raw.get("sizes"), scale), unit, raw["basis"], ends["fit_low"], ends["fit_high"], ends["wear_low"], ends["wear_high"],
        derivation, raw["reasoning"], _tuple(raw, "differs"), _tuple(raw, "cautions"), owner,
    )  # fmt: skip


def absence(raw: Raw) -> Absence:
    """A "nobody publishes this"."""
    return Absence(raw["characteristic"], _tuple(raw, "classes"), raw["reason"], raw["instead"])


def material(raw: Raw) -> Material:
    """A material; its expansion may be a number or a table of value, low, high."""
    given = raw.get("expansion")
    spread = given if isinstance(given, dict) else {"value": given} if given is not None else {}
    value, low, high = (Decimal(spread[k]) if spread.get(k) is not None else None for k in ("value", "low", "high"))
    return Material(raw["id"], raw["name"], value, low, high, raw["grade"], str(raw.get("work", "")), str(raw.get("locator", "")),
                    str(raw.get("note", "")))  # fmt: skip


def survey(raw: Raw) -> SurveyKind:
    """A feature read at stations and on axes."""
    diameter, out_of_round, taper, wear = (str(raw.get(k, "")) for k in ("diameter", "out_of_round", "taper", "wear"))
    return SurveyKind(raw["id"], raw["name"], raw["inside"], diameter, out_of_round, taper, wear, raw["new"],
                      _tuple(raw, "stations"), _tuple(raw, "axes"), raw.get("taper_between", "all"), _tuple(raw, "unworn"),
                      str(raw.get("joint", "")), tuple((across, on) for across, on in raw.get("across_joint", ())))  # fmt: skip


def several(raw: Raw) -> SurveyKind:
    """One characteristic of several things of a kind, or at several places of one thing."""
    return SurveyKind(raw["id"], raw["name"], False, raw["reads"], "", "", "", "", (), (), each=raw["each"], judged=raw["judged"],
                      difference=str(raw.get("difference", "")))  # fmt: skip


def pair(raw: Raw) -> Pair:
    """A bore and the shaft in it."""
    return Pair(raw["clearance"], raw["bore"], raw["shaft"], raw["judged"])


def typical(raw: Raw) -> Typical:
    """A usual size by horsepower band."""
    return Typical(
        raw["id"], Decimal(raw["hp_from"]), Decimal(raw["hp_to"]), raw["class"], raw["dimension"], Decimal(raw["low"]),
        Decimal(raw["high"]), unit_named(raw["unit"]).token, raw["grade"], str(raw.get("note", "")),
    )  # fmt: skip
