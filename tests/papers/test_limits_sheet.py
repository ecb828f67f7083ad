"""The limits sheet: everything that applies, once, whose figure each is, nothing left blank, and a guess that is never a verdict."""

from __future__ import annotations

import re
from collections import Counter
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
import simplejson
from tests.papers.papers_of_demo import limits
from tests.papers.sheets import bench, engine, readings, table

from halfthou_service.bench.papers.as_found_sheet import as_found_sheet
from halfthou_service.bench.papers.assemblies import STRIP_ORDER, WHOSE, _ten_words, applying, assembly_of, how
from halfthou_service.bench.papers.figures import NONE_KNOWN, edges, placed, reading, sizes, span
from halfthou_service.bench.papers.limits_sheet import LimitsSheet, Line, limits_sheet, to_dict
from halfthou_service.bench.papers.readiness import readiness
from halfthou_service.bench.sheet import judge_sheet
from halfthou_specdb.quantity import parse_quantity
from halfthou_specdb.rules import NONE_ON_FILE, Open
from halfthou_specdb.units import UNITS

INCH = UNITS["in"]
LONG = ("bore", "stroke", "rated-power", "rated-speed")


def lines(sheet: LimitsSheet) -> dict[str, Line]:
    return {line.characteristic: line for page in sheet.pages for line in page.lines}


def bare(**changes: Any) -> Any:
    """The demonstration's engine with only its bore, stroke, power and speed measured."""
    kept = {k: v for k, v in engine().dimensions.items() if k in LONG}
    at = bench(**changes)
    at.engine = type(at.engine)(at.engine.engine_class, at.engine.use, at.engine.id, at.engine.features, at.engine.absent, kept)
    return at


def test_everything_that_applies_stands_on_the_sheet_once() -> None:
    seen = Counter(x.characteristic for page in limits().pages for x in (*page.lines, *page.looks))
    assert set(seen.values()) == {1}
    assert set(seen) == {what.id for what, _ in applying(table(), engine())}


def test_what_does_not_apply_stays_off() -> None:
    seen = {x.characteristic for page in limits().pages for x in (*page.lines, *page.looks)}
    assert "spark-plug-gap" not in seen
    assert "rod-dipper" not in seen


def test_pages_follow_the_order_of_stripping() -> None:
    order = [a.id for a in STRIP_ORDER]
    found = [page.assembly.id for page in limits().pages]
    assert found == sorted(found, key=order.index)
    assert found[1] == "flywheels"
    assert found.index("rod") < found.index("crankshaft") < found.index("main-bearings")


def test_every_characteristic_of_the_table_has_an_assembly_of_its_own() -> None:
    last = STRIP_ORDER[-1]
    strays = [w.id for w in table().characteristics.values() if assembly_of(w) is last and w.component not in last.components]
    assert strays == []


@pytest.mark.parametrize("characteristic", list(table().characteristics))
def test_how_to_measure_takes_ten_words_and_is_written_for_each(characteristic: str) -> None:
    assert characteristic in _ten_words(), "write its ten words in bench/papers/ten_words.toml"
    assert 1 <= len(how(table().characteristics[characteristic]).split()) <= 10


def test_ten_words_speak_of_nothing_that_the_table_does_not_know() -> None:
    assert set(_ten_words()) <= set(table().characteristics)


def test_nothing_is_blank_and_every_figure_says_whose_it_is() -> None:
    words = {" / ".join(x) for x in [(w,) for w in WHOSE]} | set(WHOSE)
    for line in lines(limits()).values():
        for end in (line.new, line.stop):
            assert end.told.number
            if end.told.number == NONE_KNOWN:
                assert end.whose == ""
            else:
                assert end.whose
                assert set(end.whose.split(" / ")) <= words
        assert line.tool
        assert line.how
        assert line.unit


def test_a_line_we_drew_ourselves_never_reads_as_a_books() -> None:
    for page in limits().pages:
        for line in page.lines:
            if line.limit_id is None:
                continue
            resolved = bench().limit_for(table().characteristics[line.characteristic])
            if any(s.standing == "our-judgement" and s.grade != "from-memory" for e, s in resolved.standings.items() if e.startswith("fit")):
                assert "ours" in line.new.whose, line.name


def test_the_rod_reads_as_worked_out_by_hand() -> None:
    # crankpin 1.8125 in, bearing 2.25 in long, 430 rpm: 0.001 D; 0.0015 D + 0.0005; 0.004 D
    rod = lines(limits())["rod-bearing-running-clearance"]
    assert (rod.new.told.number, rod.new.told.unit) == ("1.82 to 3.21", "thou")
    assert rod.stop.told.number == "under 1.82, over 7.25"
    metric = lines(limits("metric"))["rod-bearing-running-clearance"]
    assert (metric.new.told.number, metric.new.told.unit) == ("0.0461 to 0.0817", "mm")


def test_printed_edges_are_never_looser_than_the_limit() -> None:
    for system in ("inch", "metric"):
        for line in lines(limits(system)).values():
            if line.fit is None or line.new.told.number == NONE_KNOWN:
                continue
            scale = UNITS["thou"].factor if line.new.told.unit == "thou" else None
            unit = next((u for u in UNITS.values() if u.symbol == line.new.told.unit and u.dimension == line.fit.unit.dimension), line.fit.unit)
            found = [Fraction(Decimal(n)) for n in re.findall(r"-?\d+(?:\.\d+)?", line.new.told.number)]
            factor, offset = scale or unit.factor, Fraction(0) if scale else unit.offset
            low, high = ((None if isinstance(v, Open) else v * line.fit.unit.factor + line.fit.unit.offset) for v in (line.fit.low, line.fit.high))
            exact = [n * factor + offset for n in found]
            if low is not None and low != high:
                assert exact[0] >= low, line.name
            if high is not None and low != high:
                assert exact[-1] <= high, line.name


def test_one_unit_of_length_a_sheet() -> None:
    inch, metric = (simplejson.dumps([[str(x.new.told), str(x.stop.told), x.unit] for x in lines(limits(s)).values()]) for s in ("inch", "metric"))
    assert not re.search(r"\bmm\b", re.sub(r"(vibrator)[^]]*]", "", inch))
    assert not re.search(r"thou|\bin\b(?!/ft)|°F|psi|lbf", metric)  # a taper is told per foot in either


def test_a_guide_stops_nothing() -> None:
    for line in lines(limits()).values():
        if line.kind == "guide":
            assert line.stop.told.number == NONE_KNOWN


def test_red_flags_stand_on_the_page_of_their_assembly() -> None:
    wheels = next(p for p in limits().pages if p.assembly.id == "flywheels")
    assert any("hairline from keyway" in flag for flag in wheels.red_flags)
    speed = next(flag for flag in wheels.red_flags if "rim speed" in flag)
    assert "658 rpm" in speed  # 5,000 ft/min round a 29 in wheel: 5000 x 12 / (29 pi) = 658.6
    assert "cast in one piece" in speed


def test_cautions_stand_at_the_end_whatever_the_limits() -> None:
    assert {"C051", "C053", "C021", "C030"} <= {c.id for c in limits().cautions}


def test_guesses_are_marked_wherever_a_figure_rests_on_one() -> None:
    sheet = limits_sheet(bare())
    guessed = {g.dimension for g in sheet.guesses}
    assert {"crankpin", "main-journal", "wrist-pin", "flywheel"} <= guessed
    assert not guessed & set(LONG)
    rod = lines(sheet)["rod-bearing-running-clearance"]
    assert rod.guessed == ("crankpin",)
    assert (rod.new.whose, rod.stop.whose) == ("guess", "guess")
    piston = lines(sheet)["piston-to-bore-clearance"]
    assert piston.guessed == ()
    assert "guess" not in piston.new.whose
    assert any("its diameter is a guess" in flag for page in sheet.pages for flag in page.red_flags)


def test_without_guessing_the_sheet_asks_for_the_size() -> None:
    rod = lines(limits_sheet(bare(), guess=False))["rod-bearing-running-clearance"]
    assert rod.new.told.number == NONE_KNOWN
    assert rod.needs == "measure the crankpin diameter first"


def test_a_guess_is_never_used_for_a_verdict() -> None:
    at = bare()
    limits_sheet(at)
    item = judge_sheet(at, readings("a38")).items[0]
    assert item.verdict == "not_judged"
    assert item.problem is not None
    assert item.problem.code == "missing-dimension"


def test_an_owners_figure_reads_yours() -> None:
    from halfthou_service.bench.inline import owners_limit

    what = table().characteristics["crankshaft-end-float"]
    ends = {"fit_low": Fraction(8, 1000), "fit_high": Fraction(12, 1000), "wear_low": NONE_ON_FILE, "wear_high": Fraction(20, 1000)}
    own = owners_limit("mine", what, INCH, ends)  # type: ignore[arg-type]
    line = lines(limits_sheet(bench(overlay=(own,))))["crankshaft-end-float"]
    assert (line.new.told.number, line.new.whose, line.stop.whose) == ("8 to 12", "yours", "yours")


def test_sources_on_the_back_name_rule_and_works() -> None:
    rod = next(s for p in limits().pages for s in p.sources if s.name == "Connecting-rod bearing running clearance")
    assert "0.0015 in per inch of crankpin" in rod.rule
    assert rod.works
    assert all(w.id in table().works and w.locator for w in rod.works)
    assert {w.id for p in limits().pages for s in p.sources for w in s.works} == {w.id for w in limits().works}


def test_plain_values_keep_every_number_exact() -> None:
    found = to_dict(limits())
    text = simplejson.dumps(found, use_decimal=True)
    again = simplejson.loads(text, use_decimal=True)
    rod = next(x for p in again["pages"] for x in p["lines"] if x["characteristic"] == "rod-bearing-running-clearance")
    assert rod["fit"]["high"] == {"value": Decimal("0.00321875"), "unit": "in"}
    assert rod["wear"]["low"] == "none_on_file"
    assert rod["reading"] is None


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        ("0.0018125", "0.00321875", "1.82 to 3.21 thou"), ("", "0.0005", "up to 0.5 thou"), ("0.03", "", "at least 30 thou"), ("", "", "none known"),
        ("0.375", "0.546875", "0.375 to 0.546 in"), ("0.014", "0.014", "14 thou"),
    ],
)  # fmt: skip
def test_spans_as_spoken(low: str, high: str, said: str) -> None:
    ends = [Fraction(Decimal(v)) if v else NONE_ON_FILE for v in (low, high)]
    assert str(span(ends[0], ends[1], INCH, "inch")) == said


def test_stops_as_spoken() -> None:
    assert str(edges(Fraction(1, 1000), Fraction(6, 1000), INCH, "inch")) == "under 1, over 6 thou"


@pytest.mark.parametrize(
    ("given", "system", "said"),
    [
        ("1.8081 in", "inch", "1.8081 in"), ("5.257 in", "inch", "5.2570 in"), ("9.6 in", "inch", "9.6 in"), ("0.0053 in", "inch", "5.3 thou"),
        ("1.8081 in", "metric", "45.926 mm"), ("66 degF", "metric", "18.89 °C"), ("3.8 thou", "inch", "3.8 thou"),
    ],
)  # fmt: skip
def test_readings_keep_the_digits_they_were_read_with(given: str, system: Any, said: str) -> None:
    assert str(reading(parse_quantity(given), system)) == said


def test_limits_of_a_size_are_rounded_into_their_zone() -> None:
    assert str(sizes(Fraction("1.80222"), Fraction("1.80291"), INCH, "inch")) == "1.8023 to 1.8029 in"
    assert str(sizes(Fraction("1.12613"), Fraction("1.12634"), INCH, "inch")) == "1.12613 to 1.12634 in"


def test_figures_in_standing_texts_follow_the_units_of_the_sheet() -> None:
    assert placed("within {0.0005 in}", "inch") == "within 0.5 thou"
    assert placed("within {0.0005 in}", "metric") == "within 0.0127 mm"


def test_the_tool_named_for_a_clearance_is_one_that_can_prove_a_new_fit() -> None:
    """Main of 1.6875 in: fit 1.69 to 3.03 thou, half of it 0.67. A telescoping gauge and micrometer leave u = 0.51 thou (1.3 u, 81 in 100); a
    plastic strip 0.36 (1.9 u, 94 in 100), a dial bore gauge 0.25 (2.6 u, 99 in 100), where 95 is asked for."""
    wanted = {"main-bearing-running-clearance": "plastic gauge strip or dial bore gauge", "rod-bearing-running-clearance": "plastic gauge strip",
              "cylinder-bore-diameter": "telescoping gauge and outside micrometer"}  # fmt: skip
    by_limits = {line.characteristic: line.tool for page in limits().pages for line in page.lines}
    by_found = {r.characteristic: r.tool for s in as_found_sheet(bench()).sections for r in s.readings}
    looked = {n.characteristic: n.clear for n in readiness(bench(), []).not_looked}
    for what, tool in wanted.items():  # the bore has no fit to prove
        assert by_limits[what] == tool
        assert by_found.get(what, tool) == tool
        assert f"Tool: {tool}." in looked.get(what, f"Tool: {tool}.")
    assert "main-bearing-running-clearance" in by_found
