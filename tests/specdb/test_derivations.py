"""Every end of every adopted limit follows from its evidence: by the table's own check, and worked out again here from the raw text."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from halfthou_specdb.load import DATA
from halfthou_specdb.records import ENDS, GRADES
from halfthou_specdb.rules import Constant, Linear, Open
from halfthou_specdb.standing import derivation_faults, end_standings
from halfthou_specdb.table import Table

Raw = dict[str, Any]


def _records(folder: str, kind: str) -> list[Raw]:
    """Raw records of one kind, read here with nothing of the loader."""
    found: list[Raw] = []
    for path in sorted((DATA / folder).glob("*.toml")):
        found += tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal).get(kind, [])
    return found


LIMITS = _records("limits", "limit")
EVIDENCE = {e["id"]: e for e in _records("evidence", "evidence")}
SCALES = {c["id"]: (c.get("scales_with") or [""])[0] for c in _records("characteristics", "characteristic")}
NATIVE = {d["id"]: d["unit"] for d in tomllib.loads((DATA / "dimensions.toml").read_text(encoding="utf-8"))["dimension"]}

# Factors to one unit of each kind, typed here apart from the table's own list.
LENGTHS = {"in": Fraction(1), "thou": Fraction(1, 1000), "uin": Fraction(1, 10**6), "ft": Fraction(12), "mm": Fraction(5, 127),
           "um": Fraction(5, 127_000), "m": Fraction(5000, 127), "cm": Fraction(50, 127)}  # fmt: skip
SPEEDS = {"ft/min": Fraction(1), "ft/s": Fraction(60), "mi/h": Fraction(88)}
RATIOS = {"ratio": Fraction(1), "percent": Fraction(1, 100), "ppm": Fraction(1, 10**6), "in/ft": Fraction(1, 12), "thou/in": Fraction(1, 1000)}
TIMES = {"s": Fraction(1), "min": Fraction(60), "h": Fraction(3600), "d": Fraction(86400)}
VOLTS = {"V": Fraction(1), "kV": Fraction(1000), "mV": Fraction(1, 1000)}
OHMS = {"ohm": Fraction(1), "mohm": Fraction(1, 1000), "kohm": Fraction(1000), "Mohm": Fraction(10**6)}
KINDS = (LENGTHS, SPEEDS, RATIOS, TIMES, VOLTS, OHMS)


def _ratio(from_unit: str, to_unit: str) -> Fraction:
    if from_unit == to_unit:
        return Fraction(1)
    for kind in KINDS:
        if from_unit in kind and to_unit in kind:
            return kind[from_unit] / kind[to_unit]
    raise AssertionError(f"no ratio typed here for {from_unit} to {to_unit}")


def _size(of: str, unit: str, sizes: Mapping[str, Fraction]) -> Fraction:
    """A dimension in the record's unit where both are lengths, else in its own."""
    native = NATIVE[of]
    return sizes[of] * (_ratio(native, unit) if native in LENGTHS and unit in LENGTHS else 1)


def _work_out(rule: Any, record: Raw, scale: str, sizes: Mapping[str, Fraction], limit: Raw | None) -> Fraction | None:
    """A bound worked out from its raw form; None where it is open or asks for the size when new."""
    if isinstance(rule, str):
        return None
    if not isinstance(rule, dict):
        return Fraction(rule)
    rule = dict(rule)
    of = rule.pop("of", scale)
    if "steps" in rule:
        size = _size(of, record["unit"], sizes)
        if size <= Fraction(rule.get("from", 0)):
            return None
        return next((Fraction(s["value"]) for s in rule["steps"] if size <= Fraction(s["to"])), None)
    if "bound" in rule:
        base = _base(rule["bound"], record, scale, sizes, limit)
        if base is None:
            return None
        extra = Fraction(rule.get("plus", 0))
        if rule.get("plus_per"):
            extra += Fraction(rule["plus_per"]) * _size(of, record["unit"], sizes)
        return Fraction(rule.get("times", 1)) * base + extra
    if "per_speed" in rule:
        return Fraction(rule.get("offset", 0)) + Fraction(rule["per_speed"]) * sizes["rated-speed"] / Fraction(rule["per_rpm"])
    value = Fraction(rule.get("offset", 0)) + Fraction(rule["per"]) * _size(of, record["unit"], sizes)
    value = max(value, Fraction(rule["floor"])) if "floor" in rule else value
    return min(value, Fraction(rule["ceiling"])) if "ceiling" in rule else value


def _base(name: str, record: Raw, scale: str, sizes: Mapping[str, Fraction], limit: Raw | None) -> Fraction | None:
    if name == "original":
        return None
    part, _, side = name.rpartition(".")
    if part in ("fit", "wear"):
        owner = limit or record
        return _work_out(owner[part][side], owner, scale, sizes, limit) if part in owner else None
    return _work_out(EVIDENCE[part][side], EVIDENCE[part], scale, sizes, limit)


def _parent(reference: str, limit: Raw, sizes: Mapping[str, Fraction]) -> Fraction | None:
    evidence_id, _, side = reference.rpartition(".")
    record = EVIDENCE[evidence_id]
    value = _work_out(record[side], record, SCALES[limit["characteristic"]], sizes, limit)
    return None if value is None else value * _ratio(record["unit"], limit["unit"])


def _trials(limit: Raw) -> list[dict[str, Fraction]]:
    """Seven sizes across the range, other dimensions held at 2 (450 rpm)."""
    base = dict.fromkeys(NATIVE, Fraction(2)) | {"rated-speed": Fraction(450)}
    span = limit.get("sizes")
    if span is None:
        return [base]
    of = span.get("of", SCALES[limit["characteristic"]])
    low, high = (Fraction(span[k]) * _ratio(span["unit"], NATIVE[of]) for k in ("from", "to"))
    return [base | {of: low + (high - low) * i / 6} for i in range(7)]


def _ends(op: str) -> list[tuple[Raw, str]]:
    return [(limit, end) for limit in LIMITS for end, d in limit.get("derivation", {}).items() if d["op"] == op]


def _end(limit: Raw, end: str, sizes: Mapping[str, Fraction]) -> Fraction | None:
    part, side = end.split("_")
    return _work_out(limit[part][side], limit, SCALES[limit["characteristic"]], sizes, limit)


@pytest.mark.parametrize("limit_id", [limit["id"] for limit in LIMITS])
def test_every_end_follows_from_its_derivation(limit_id: str, table: Table) -> None:
    assert derivation_faults(table, table.limits[limit_id]) == []


def test_an_end_that_equals_its_evidence_equals_it_at_every_size() -> None:
    ends = _ends("equals")
    assert len(ends) > 100
    wrong = []
    for limit, end in ends:
        (reference,) = limit["derivation"][end]["of"]
        for sizes in _trials(limit):
            got, parent = _end(limit, end, sizes), _parent(reference, limit, sizes)
            if got is None or got != parent:
                wrong.append(f"{limit['id']} {end}: {got} but {reference} is {parent}")
    assert wrong == []


def test_an_envelope_is_the_outermost_or_where_it_says_so_the_tightest() -> None:
    wrong = []
    for limit, end in _ends("envelope"):
        d = limit["derivation"][end]
        outermost = min if end.endswith("low") else max
        pick = {min: max, max: min}[outermost] if d.get("pick") == "tightest" else outermost
        for sizes in _trials(limit):
            parents = [_parent(reference, limit, sizes) for reference in d["of"]]
            if None in parents or _end(limit, end, sizes) != pick(p for p in parents if p is not None):
                wrong.append(f"{limit['id']} {end}")
    assert wrong == []


def test_a_judgement_lies_between_its_works_or_says_why_it_does_not() -> None:
    wrong = []
    for limit, end in _ends("judgement"):
        d = limit["derivation"][end]
        for sizes in _trials(limit):
            parents = [_parent(reference, limit, sizes) for reference in d["between"]]
            got = _end(limit, end, sizes)
            inside = None not in parents and got is not None and min(parents) <= got <= max(parents)  # type: ignore[type-var]
            if not inside and not d.get("outside"):
                wrong.append(f"{limit['id']} {end}: {got} not in {parents}")
    assert wrong == []


def test_every_judgement_outside_its_works_is_explained_in_a_sentence() -> None:
    for limit, end in _ends("judgement"):
        outside = limit["derivation"][end].get("outside")
        assert outside is None or len(outside.split()) >= 4, f"{limit['id']} {end}"


def test_the_table_reads_what_stands_in_the_text(table: Table) -> None:
    assert set(table.limits) == {limit["id"] for limit in LIMITS}
    assert set(table.evidence_ids()) == set(EVIDENCE)
    for raw in LIMITS:
        for part in ("fit", "wear"):
            for side in ("low", "high") if part in raw else ():
                bound, text = table.limits[raw["id"]].bound(f"{part}_{side}"), raw[part][side]
                if isinstance(bound, Constant):
                    assert str(bound.value) == str(text)
                elif isinstance(bound, Linear):
                    assert str(bound.per) == str(text["per"])
                elif isinstance(bound, Open):
                    assert bound.value == text


def test_standing_and_grade_are_worked_out_for_every_numeric_end(table: Table) -> None:
    for limit in table.limits.values():
        for engine_class in (c for c, v in table.classes.items() if v.kind == "class"):
            standings = end_standings(table, limit, engine_class)
            assert set(standings) == {end for end in ENDS if not isinstance(limit.bound(end), Open)}
            for end, standing in standings.items():
                d = limit.derivation[end]
                parents = [table.evidence(r.rpartition(".")[0], limit.characteristic) for r in d.parents]
                weakest = max(GRADES.index(p.grade) for p in parents)
                assert GRADES.index(standing.grade) >= weakest, f"{limit.id} {end}"
                assert (standing.standing == "our-judgement") is (d.op == "judgement")
                if standing.standing == "stated":
                    assert {p.kin for p in parents} == {engine_class}
                if standing.standing == "carried-over":
                    assert standing.carried_from


def test_recall_behind_an_end_always_shows(table: Table) -> None:
    for limit in table.limits.values():
        for end, standing in end_standings(table, limit, "slow-open-crank").items():
            recalled = any(table.evidence(r.rpartition(".")[0]).grade == "from-memory" for r in limit.derivation[end].parents)
            assert (standing.grade == "from-memory") is recalled, f"{limit.id} {end}"


def test_no_limit_rests_only_on_a_scan_in_doubt() -> None:
    for limit in LIMITS:
        parents = [r.rpartition(".")[0] for d in limit.get("derivation", {}).values() for r in (d.get("of") or d["between"])]
        assert not parents or not all(EVIDENCE[p].get("scan_doubt") for p in parents), limit["id"]


def test_no_single_end_rests_only_on_a_scan_in_doubt() -> None:
    doubtful = [
        f"{limit['id']} {end}"
        for limit in LIMITS
        for end, d in limit.get("derivation", {}).items()
        if all(EVIDENCE[r.rpartition(".")[0]].get("scan_doubt") for r in (d.get("of") or d["between"]))
    ]
    assert doubtful == []


def test_no_clearance_has_a_lower_bound_of_zero_or_less() -> None:
    words = ("-clearance", "-lash", "-end-gap", "-end-float", "-end-play", "-backlash")
    for record in (*EVIDENCE.values(), *LIMITS):
        names = record.get("characteristics") or [record["characteristic"]]
        if any(word in name for name in names for word in words):
            for low in (record.get("low"), record.get("fit", {}).get("low"), record.get("wear", {}).get("low")):
                assert not isinstance(low, (int, Decimal)) or low > 0, record["id"]


def test_a_shop_fraction_is_held_to_its_last_place() -> None:
    """A sixty-fourth written as 0.0156 would fail a part that measures exactly 1/64."""
    rounded = []
    for record in (*EVIDENCE.values(), *LIMITS):
        for where in (record, record.get("fit", {}), record.get("wear", {})):
            for side in ("low", "high"):
                figure = where.get(side)
                if isinstance(figure, Decimal) and record.get("unit") == "in":
                    near = Fraction(round(figure * 64), 64)
                    if 0 < abs(near - Fraction(figure)) < Fraction(6, 100_000) and near.denominator >= 32:
                        rounded.append(f"{record['id']} {side}: {figure} for {near}")
    assert rounded == []
