"""Papers and remedies from the SDK, over the real service in process."""

from __future__ import annotations

import dataclasses
import typing
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

import halfthou
from halfthou import Client, Quantity, QuantityError, Refused, SheetError, UsageError, jsonio
from halfthou.asking_papers import FACT_SIZES, WISH_SIZES, facts_body, line_body, report_request
from halfthou_service.bench.papers.order_case import Wish
from halfthou_service.bench.remedies import facts as bench_facts
from halfthou_specdb.quantity import Quantity as Told

ROD = "rod-bearing-running-clearance"
DEMO: dict[str, Any] = jsonio.loads(files("halfthou_service.demo").joinpath("sheet.json").read_bytes())
ENGINE: dict[str, Any] = {"engine_class": "slow-open-crank", "dimensions": {"crankpin": "2-1/4 in", "bore": "5 in"}}
PIN = {"engine_class": "slow-open-crank", "size": "2-1/4 in"}


def sheet(*readings: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"engine": {"id": "H", **ENGINE}, "readings": list(readings), **more}


def rod(value: str, **more: Any) -> dict[str, Any]:
    return {"id": "rod", "characteristic": ROD, "value": value, "instrument": "plastic-gauge-strip", "place": "rod", **more}


def ground(low: str = "1.7995 in", high: str = "1.8000 in") -> dict[str, Any]:
    """A sheet whose owner sends the crankshaft to be ground between two sizes of his own."""
    pin = {"id": "pin", "characteristic": "crankpin-diameter", "value": "1.8092 in", "instrument": "outside-micrometer"}
    return sheet(pin, wishes={"crankshaft": {"send": True, "low": low, "high": high}})


@pytest.fixture(scope="module")
def shop():
    with pytest.MonkeyPatch.context() as patch:
        patch.delenv("HALFTHOU_OVERLAY", raising=False)
        with Client.embedded() as found:
            yield found


# -- remedies --------------------------------------------------------------------------------------------------------


def test_remedies_come_where_they_are_asked_for(shop: Client) -> None:
    plain = shop.judge(ROD, "9.2 thou", instrument="plastic-gauge-strip", **PIN)
    assert plain.remedies == ()
    asked = shop.judge(ROD, "9.2 thou", instrument="plastic-gauge-strip", remedies=True, **PIN)
    assert asked.verdict == "beyond_limit"
    first = asked.remedies[0]
    assert (first.reversible, first.cost_class, first.reaches) == (True, "free", "fit")
    # The loose half of a new fit at 2.25 in, by the rule of the limit (0.001 D to 0.0015 D + 0.0005 in): 3.0625 to 3.875 thou.
    assert first.predicted is not None
    assert first.predicted.unit == "thou"
    assert Decimal("3.0625") <= first.predicted.value <= Decimal("3.875")
    assert first.tolerance is not None
    assert float(first.tolerance.high.quantity.value) == pytest.approx(3.875)  # type: ignore[union-attr]
    assert first.steps
    assert first.raw["id"] == first.id
    costs = [remedy.cost_class for remedy in asked.remedies]
    assert costs == sorted(costs, key=["free", "hand", "machine", "part"].index)
    assert [r.reversible for r in asked.remedies] == sorted((r.reversible for r in asked.remedies), reverse=True)


def test_facts_sharpen_a_remedy_and_may_be_written_as_text(shop: Client) -> None:
    # 7.2 thou wants to come into 3.0625 to 3.875. Of leaves of 3, 2 and 1 thou a side, taking 3 and 1 out leaves 3.2; 3 leaves 4.2, 5 leaves 2.2.
    leaves = {"bearing": "rod", "left": ["3 thou", (2, "thou"), "1 thou"], "right": [Quantity(Decimal(3), "thou"), "2 thou", "1 thou"]}
    told = shop.judge(ROD, "7.2 thou", standard_uncertainty="0.1 thou", remedies=True, facts={"shims": [leaves]}, **PIN)
    assert told.verdict == "beyond_limit"
    assert str(told.remedies[0].predicted) == "3.2 thou"
    without = shop.judge(ROD, "7.2 thou", standard_uncertainty="0.1 thou", remedies=True, **PIN)
    # 6 thou a side less 4: what stands under the cap afterwards is known only where the leaves are told.
    assert "2 thou" in {str(amount.value) for amount in told.remedies[0].amount}
    assert "2 thou" not in {str(amount.value) for amount in without.remedies[0].amount}
    assert any("leaves" in ask for ask in without.remedies[0].asks)
    first = told.remedies[0].amount[0]
    assert str(first) == f"{first.name.replace('-', ' ')} {first.value}"


def test_a_cracked_wheel_has_nothing_but_its_end(shop: Client) -> None:
    found = shop.judge("flywheel-hub-crack", finding="hairline from keyway", remedies=True, engine_class="slow-open-crank")
    assert found.verdict == "stop"
    assert all(remedy.reaches != "fit" and not remedy.amount for remedy in found.remedies)
    assert "Do not run" in found.remedies[0].text


def test_advice_is_no_remedy(shop: Client) -> None:
    answer = shop.judge_sheet(sheet(rod("9.2 thou")))
    assert answer.items[0].remedies == ()
    assert isinstance(answer.items[0].advice, tuple)
    whole = shop.judge_sheet(sheet(rod("9.2 thou")), remedies=True)
    assert whole.item("rod").remedies
    assert hash(whole.item("rod").remedies)


def test_a_csv_sheet_has_remedies_too(shop: Client, tmp_path: Path) -> None:
    path = tmp_path / "sheet.csv"
    path.write_text(f"id,characteristic,value,unit,instrument,instance\nrod,{ROD},9.2,thou,plastic-gauge-strip,rod\n")
    bare = shop.judge_sheet(path, remedies=True, **ENGINE)
    facts = {"shims": [{"bearing": "rod", "left": ["3 thou"], "right": ["3 thou"]}]}
    told = shop.judge_sheet(path, remedies=True, facts=facts, **ENGINE)
    assert bare.items[0].remedies
    assert told.items[0].remedies[0].text != bare.items[0].remedies[0].text


@pytest.mark.parametrize(("facts", "says"), [
    ({"shims": [{"bearing": "rod", "left": ["3"]}]}, "shims 1, left 1: '3' has no unit"),
    ({"cylinder": {"wall": "0,3 in"}}, "cylinder, wall: '0,3 in' has a decimal comma"),
    ({"shim_stock": [3]}, "shim stock 1: 3 has no unit"),
    ({"measured": [{"characteristic": "x", "value": "thick"}]}, "measured 1, value: 'thick' does not start with a number"),
])  # fmt: skip
def test_a_fact_that_is_no_quantity_is_named_before_anything_is_sent(shop: Client, facts: dict[str, Any], says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        shop.judge(ROD, "9 thou", remedies=True, facts=facts, **PIN)


def test_a_fact_nobody_knows_is_refused_by_name(shop: Client) -> None:
    with pytest.raises(Refused) as refusal:
        shop.judge(ROD, "9 thou", remedies=True, facts={"shimz": []}, **PIN)
    assert refusal.value.problem.errors[0].pointer == "/facts/shimz"


def quantities_of(record: type) -> set[str]:
    """Fields of a record that hold quantities, and of the records within it."""
    found: set[str] = set()
    for name, kind in typing.get_type_hints(record).items():
        parts = {kind, *typing.get_args(kind)}
        parts |= {inner for part in parts for inner in typing.get_args(part)}
        found |= {name} if Told in parts else set()
        for inner in parts:
            if dataclasses.is_dataclass(inner) and isinstance(inner, type) and inner.__module__ == record.__module__:
                found |= quantities_of(inner)
    return found


def test_every_quantity_that_facts_and_wishes_take_may_be_text() -> None:
    assert quantities_of(bench_facts.RemedyFacts) == FACT_SIZES
    assert quantities_of(Wish) == set(WISH_SIZES)


def test_facts_keep_what_is_no_quantity() -> None:
    given = {"most_leaves": 4, "gear": {"centres_adjust": True, "cam_gear_teeth": 60}, "found": [{"characteristic": "a", "word": "3 thou"}]}
    assert facts_body(given) == given


# -- readiness -------------------------------------------------------------------------------------------------------


def test_what_stands_against_a_start_engine_stops_first(shop: Client) -> None:
    paper = shop.readiness(DEMO)
    # The traps of the demonstration (tests/demo/expected.toml): a crack at the keyway, a tank that weeps, a spark before dead centre.
    stopping = {entry.item for entry in paper.stops if entry.stops_engine}
    assert {"a04", "a80", "a88"} <= stopping
    assert [e.stops_engine for e in paper.stops] == sorted((e.stops_engine for e in paper.stops), reverse=True)
    assert all(entry.clear for entry in (*paper.stops, *paper.doubts))
    assert (paper.stage, paper.engine_id, paper.units) == ("first-start", "invented-demo-engine", "inch")
    assert paper.stops_engine
    assert not paper.nothing_found
    assert paper.not_looked_at_count == len(paper.not_looked_at) > 0
    assert paper.first_start[0].lines[0].says
    assert "safe" not in paper.text.lower()
    assert "%" not in paper.text


def test_the_stage_asked_for_stands_over_the_sheets(shop: Client) -> None:
    asked = shop.readiness({**DEMO, "stage": "running"}, stage="assembly", units="metric")
    assert (asked.stage, asked.units, asked.first_start) == ("assembly", "metric", ())
    with pytest.raises(Refused):
        shop.readiness(DEMO, stage="machine-shop")


def test_a_judged_sheet_has_it_in_short_where_a_stage_asks(shop: Client) -> None:
    short = shop.judge_sheet({**DEMO, "stage": "first-start"}).readiness
    whole = shop.readiness(DEMO)
    assert short is not None
    assert (short.text, [e.item for e in short.stops]) == (whole.text, [e.item for e in whole.stops])
    assert (short.not_looked_at, short.not_looked_at_count) == ((), whole.not_looked_at_count)
    assert shop.judge_sheet(sheet(rod("3 thou"))).readiness is None


def test_a_reading_that_cannot_be_read_is_a_doubt(shop: Client) -> None:
    paper = shop.readiness(sheet(rod("3 thou"), {"id": "odd", "characteristic": "crankshaft-end-float", "value": "3 V"}))
    assert [entry.item for entry in paper.doubts] == ["odd"]


# -- sheets of one engine --------------------------------------------------------------------------------------------


def test_the_limits_sheet_tells_both_figures_and_whose_they_are(shop: Client) -> None:
    found = shop.limits_sheet(engine={"id": "H"}, **ENGINE)
    (line,) = [line for page in found.pages for line in page.lines if line.characteristic == ROD]
    limit = shop.limit(ROD, **PIN)
    assert line.limit_id == limit.limit_id
    assert line.fit is not None
    assert line.wear is not None
    assert line.wear.high == limit.wear.high
    assert (line.new_grade, line.stop_grade) != ("", "")
    assert (found.engine_id, found.use, found.units) == ("H", "work", "inch")
    assert found.sizes["Cylinder bore"] == "5 in"
    assert {caution.id for caution in found.cautions} >= {"C051", "C021"}
    (crack,) = [look for page in found.pages for look in page.looks if look.characteristic == "flywheel-hub-crack"]
    assert "hairline from keyway" in crack.stop_words
    assert "none found" not in crack.stop_words


def test_a_guessed_size_is_marked_and_may_be_left_out(shop: Client) -> None:
    power = {"engine_class": "slow-open-crank", "dimensions": {"rated-power": "5 hp"}}
    guessed = shop.limits_sheet(**power)
    assert "crankpin" in {guess.dimension for guess in guessed.guesses}
    assert any("crankpin" in line.guessed for page in guessed.pages for line in page.lines)
    plain = shop.limits_sheet(guess=False, **power)
    assert plain.guesses == ()
    assert not any(line.guessed for page in plain.pages for line in page.lines)


def filled_form(blank: str, **cells: str) -> str:
    """The form with cells filled in by the start of its lines."""
    lines = blank.splitlines()
    for start, value in cells.items():
        leaf = f",{start.replace('_', '-')},"
        at = next(n for n, line in enumerate(lines) if (leaf in line and ",leaf" in line) or line.startswith(f"mark-{start}"))
        parts = lines[at].split(",")
        lines[at] = ",".join([*parts[:2], value, *parts[3:]])
    return "\n".join(lines) + "\n"


def test_the_as_found_form_goes_out_blank_and_comes_back_as_a_sheet(shop: Client, tmp_path: Path) -> None:
    form = shop.as_found_sheet(**ENGINE)
    assert [side for section in form.sections for _, side in section.shims if section.assembly == "rod"] == ["left side", "right side"]
    assert any(mark.id == "photographs" for section in form.sections for mark in section.marks)
    assert any(look.characteristic == "flywheel-hub-crack" for section in form.sections for look in section.findings)
    blank = shop.paper("as-found-sheet", format="csv", **ENGINE)
    empty = shop.read_as_found(blank)
    assert (empty.readings, empty.packs) == ((), ())
    assert empty.empty
    path = tmp_path / "filled.csv"
    path.write_text(filled_form(blank, rod_shim_pack="5", photographs="24"))
    filled = shop.read_as_found(path)
    assert filled.marks["photographs"] == "24"
    assert [(pack.characteristic, pack.instance, str(pack.value)) for pack in filled.packs] == [("rod-shim-pack", "left side", "5 thou")]
    assert filled.facts["shims"][0]["left"] == [{"value": 5, "unit": "thou"}]
    judged = shop.judge_sheet(filled.sheet(ENGINE), remedies=True)
    assert [item.characteristic for item in judged] == ["rod-shim-pack"]
    as_csv = shop.paper("filled-sheet", path, format="csv")
    assert [item.characteristic for item in shop.judge_sheet(as_csv, **ENGINE)] == ["rod-shim-pack"]
    with pytest.raises(SheetError):
        shop.read_as_found(tmp_path / "none.csv")
    with pytest.raises(Refused):
        shop.read_as_found("a,b\n1,2\n")


# -- orders and what comes back --------------------------------------------------------------------------------------


def test_the_work_order_tells_each_machinist_and_keeps_a_cracked_part_at_home(shop: Client) -> None:
    order = shop.work_order(DEMO, letterhead={"owner": "J. Doe", "date": "12 March"})
    assert (order.owner, order.date, order.machinist) == ("J. Doe", "12 March", "")
    assert [part.name for part in order.withheld] == ["Flywheel hub"]
    shaft = order.part("crankshaft")
    assert shaft.finish_to[0].interval.said
    assert shaft.stop_and_ring_if
    assert shaft.do_not_cut
    assert any("cheeks" in line for line in shaft.do_not_cut)
    with pytest.raises(KeyError):
        order.part("magic")


def test_wishes_stand_whether_in_the_sheet_or_by_name(shop: Client) -> None:
    inside = shop.work_order(ground()).part("crankshaft").finish_to[0].interval
    assert (str(inside.low), str(inside.high)) == ("1.7995 in", "1.8 in")
    by_name = shop.work_order(ground(), wishes={"crankshaft": {"send": True, "low": "1.7890 in", "high": "1.7895 in"}})
    assert str(by_name.part("crankshaft").finish_to[0].interval.high) == "1.7895 in"
    with pytest.raises(QuantityError, match="crankshaft, low: '1,8 in' has a decimal comma"):
        shop.work_order(ground(low="1,8 in"))


def test_the_machinists_copy_is_one_part_without_what_the_owner_decides(shop: Client) -> None:
    copy = shop.work_order(DEMO, part="crankshaft")
    assert [part.id for part in copy.parts] == ["crankshaft"]
    assert (copy.parts[0].decide_first, copy.parts[0].proposals, copy.withheld) == ((), (), ())
    assert {line["part"] for line in copy.report} == {"crankshaft"}
    with pytest.raises(Refused, match="A cracked part is not worked on"):
        shop.work_order(DEMO, part="flywheel-hub")


def test_a_csv_sheet_makes_an_order_with_a_letterhead(shop: Client) -> None:
    text = "characteristic,value,instrument\ncrankpin-diameter,1.8092 in,outside-micrometer\n"
    wishes = {"crankshaft": {"send": True, "low": "1.7995 in", "high": "1.8000 in"}}
    order = shop.work_order(text, wishes=wishes, letterhead={"ring": "555 0143"}, **ENGINE)
    assert (order.ring, [part.id for part in order.parts]) == ("555 0143", ["crankshaft"])


# Ordered 1.7995 to 1.8000 in. He and I differ by 0.1 thou, less than 2 x (0.05 + 0.05) thou: the same figure. Mine lies 0.2 thou inside the nearer
# end, 4 u: to the order. 1.8010 in is 1 thou past it, 20 u: not to the order. Design, section 5: p >= 0.95, guarded.
U = {"standard_uncertainty": "0.05 thou"}


@pytest.mark.parametrize(("mine", "his", "answer", "agreement"), [
    ("1.7998 in", "1.7999 in", "to_order", "same"), ("1.8010 in", "1.8010 in", "not_to_order", "same"),
    ("1.8000 in", "1.8000 in", "cannot_tell", "same"), ("1.7998 in", "1.8010 in", "to_order", "differ"),
    ("1.7998 in", None, "to_order", "only_mine"), (None, "1.7998 in", "to_order", "only_his"),
    (None, "as original", "no_figure", "nobody"), (None, None, "no_figure", "nobody"),
])  # fmt: skip
def test_a_report_against_the_order(shop: Client, mine: str | None, his: str | None, answer: str, agreement: str) -> None:
    line = next(line for line in shop.work_order(ground()).report if line["what"] == "Crankpin")
    figures = {who: {"value": told, **U} if told and told[0].isdigit() else told for who, told in (("measured", mine), ("reported", his))}
    back = shop.parts_back([{**line, **figures}])
    assert [(one.answer, one.agreement) for one in back.lines] == [(answer, agreement)]
    assert back.all_to_order is (answer == "to_order" and agreement != "differ")
    assert back.before_paying


def test_a_report_comes_in_every_form(shop: Client, tmp_path: Path) -> None:
    blank = shop.paper("work-order", ground(), format="csv")
    form = blank.replace(",in,,,,,,", ",in,1.7998,0.0001,,1.7997,0.0001,")
    path = tmp_path / "report.csv"
    path.write_bytes(form.encode())
    of_csv = shop.parts_back(path)
    lines = [{key: one.raw[key] for key in ("part", "what", "station", "axis", "ordered", "reported", "measured")} for one in of_csv.lines]
    told = jsonio.dumps([{k: {n: v for n, v in x.items() if v} if isinstance(x, dict) else x for k, x in line.items() if x} for line in lines])
    answers = [one.answer for one in of_csv.lines]
    assert "to_order" in answers
    for given in (form, told, f'{{"lines": {told}}}', jsonio.loads(told), {"lines": jsonio.loads(told)}):
        assert [one.answer for one in shop.parts_back(given).lines] == answers
    assert shop.parts_back(path, units="metric", engine_id="H").units == "metric"


@pytest.mark.parametrize(("report", "kind", "says"), [
    ([{"what": "Crankpin", "measured": "1,8 in"}], QuantityError, "line 1, Crankpin, measured: '1,8 in' has a decimal comma"),
    ([{"what": "Crankpin", "measured": "1.8"}], QuantityError, "has no unit"), (["Crankpin 1.8 in"], UsageError, "line 1 of the report is a str"),
    ("no/such/file.csv", SheetError, "cannot be read"), ([], Refused, "lines: 1 to 2000 entries are wanted"),
    ("what,measured\nCrankpin,1.8 volts\n", Refused, "line 2, measured"),
])  # fmt: skip
def test_a_report_that_cannot_be_read_is_told(shop: Client, report: Any, kind: type[Exception], says: str) -> None:
    with pytest.raises(kind, match=says):
        shop.parts_back(report)


def test_figures_of_a_line() -> None:
    in_body = {"value": Decimal("1.8"), "unit": "in"}
    line = line_body({"what": "x", "station": None, "ordered": {"low": "1.8 in", "high": "unbounded"}, "reported": "as original",
                      "measured": ("1.8 in")}, 1)  # fmt: skip
    assert line["ordered"] == {"low": in_body, "high": "unbounded"}
    assert (line["reported"], line["measured"], "station" in line) == ({"words": "as original"}, {"value": in_body}, False)
    assert line_body({"what": "x", "measured": {**in_body}}, 1)["measured"] == {"value": in_body}
    sent = report_request("/p", "what\nx\n", engine_id="H", units=None)
    assert (sent.media_type.partition(";")[0], sent.params) == ("text/csv", (("engine", "H"),))


def test_before_and_after(shop: Client) -> None:
    def floats(value: str, u: str = "0.5 thou", **more: Any) -> dict[str, Any]:
        return {"id": "f", "characteristic": "crankshaft-end-float", "value": value, "standard_uncertainty": u, **more}

    # 36 - 11 = 25 thou apart; the two doubts together are 2 x sqrt(0.5^2 + 0.5^2) = 1.41 thou: a real change. 0.5 thou apart is none.
    (row,) = shop.compare(sheet(floats("36 thou")), sheet(floats("11 thou"))).rows
    assert (row.change, row.better, str(row.difference)) == ("changed", "better", "-25 thou")
    assert row.last is row.after
    (same,) = shop.compare(sheet(floats("11 thou")), sheet(floats("11.5 thou"))).rows
    assert same.change == "same"
    one = shop.compare(sheet(floats("36 thou"), {**floats("11 thou"), "id": "g", "state": "as_made"}))
    assert [r.change for r in one.rows] == ["changed"]
    assert one.counts == {"changed": 1}
    with pytest.raises(Refused):
        shop.compare(sheet(floats("36 thou")), {**sheet(floats("11 thou")), "engine": {"id": "K", **ENGINE}})


def test_before_and_after_of_csv_sheets(shop: Client) -> None:
    texts = [f"characteristic,value,standard_uncertainty,unit\ncrankshaft-end-float,{value},0.5,thou\n" for value in ("36", "11")]
    (row,) = shop.compare(texts[0], texts[1], **ENGINE).rows
    assert row.change == "changed"
    as_json = sheet({"characteristic": "crankshaft-end-float", "value": "11 thou"})
    assert shop.compare(texts[0], as_json, engine={"id": "H"}, **ENGINE).rows[0].before is not None
    with pytest.raises(UsageError, match="carry their own engine"):
        shop.compare(as_json, as_json, **ENGINE)


# -- paper -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("format", ["html", "markdown", "csv"])
@pytest.mark.parametrize(("kind", "given", "asked"), [
    ("readiness", DEMO, {"stage": "assembly"}), ("limits-sheet", None, ENGINE), ("as-found-sheet", None, {**ENGINE, "units": "metric"}),
    ("work-order", DEMO, {"part": "crankshaft"}), ("parts-back", [{"what": "Crankpin", "measured": "1.8 in"}], {}),
    ("comparison", DEMO, {"after": DEMO}),
])  # fmt: skip
def test_every_paper_comes_as_text(shop: Client, kind: Any, given: Any, asked: dict[str, Any], format: Any) -> None:
    text = shop.paper(kind, given, format=format, **asked)
    start = {"html": "<!doctype html>", "markdown": "# ", "csv": ""}[format]
    assert text.startswith(start)
    assert len(text) > 100 or format == "csv"
    assert ("," in text.splitlines()[0]) is (format == "csv") or format != "csv"


@pytest.mark.parametrize(("kind", "given", "asked", "says"), [
    ("diploma", None, {}, "'diploma' is no paper"), ("readiness", None, {}, "give it first"), ("limits-sheet", DEMO, {}, "from the engine alone"),
    ("parts-back", [{"what": "x"}], {"stage": "assembly"}, "does not take that"), ("readiness", DEMO, {"format": "pdf"}, "'pdf' is no format"),
])  # fmt: skip
def test_a_paper_that_cannot_be_made_is_a_usage_error(shop: Client, kind: Any, given: Any, asked: dict[str, Any], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        shop.paper(kind, given, **asked)


def test_records_are_exported_frozen_and_keep_the_answer(shop: Client) -> None:
    names = """Against AsFoundSheet BackLine ComparedPlace Comparison FilledSheet LimitsSheet NotLookedAt PartOrder PartsBack Readiness Remedy
        WorkOrder""".split()
    for name in names:
        record = getattr(halfthou, name)
        assert name in halfthou.__all__
        assert record.__dataclass_params__.frozen
        assert "raw" in record.__slots__
    paper = shop.readiness(sheet(rod("3 thou")))
    assert paper.raw["paper"] == "readiness"
    with pytest.raises(AttributeError):
        paper.text = "all well"  # type: ignore[misc]


# -- a CSV sheet with more beside it -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", [
    "characteristic,value,unit,instance\n{rod},3.8,thou,rod\n", 'characteristic;value;note\n{rod};"2 1/4"" ";x\n',
    "characteristic\tvalue (thou)\n{rod}\t3.8\n",
    "characteristic,repeats,unit\n{rod},3.8|3.9 thou|0.0038 in,thou\n", "characteristic,low,high,unit\n{rod},3,4,thou\n",
    "characteristic,goes,does_not_go,unit\n{rod},3,4,thou\n",
    "characteristic,finding,instance,confirmed\nflywheel-hub-crack,none found,gear side,yes\n",
    "characteristic,value,unit,fit_low,fit_high,wear_high,standard_uncertainty\nown,5.1,V,5,8,none on file,0.05\n",
    "characteristic,value,unit,temperature (degF),material\ncrankpin-diameter,2.2493,in,66,steel-1040\n",
    "characteristic,value,unit,pooled_scatter,pooled_degrees_of_freedom\n{rod},3.8,thou,0.2,12\n",
    "characteristic,value,unit,expanded_uncertainty,coverage_factor,degrees_of_freedom\n{rod},3.8,thou,0.4,2,9\n",
    "characteristic,value,unit,relative,along\nigniter-timing-start,0.3,in,before,rim-arc\n",
    '\ncharacteristic,value,note\n\n{rod},3.8 thou,"two\nlines"\n{rod},4 thou,\n',
])  # fmt: skip
def test_a_csv_sheet_means_the_same_with_facts_beside_it(shop: Client, text: str) -> None:
    engine = {"engine_class": "slow-open-crank", "dimensions": {"crankpin": "2-1/4 in", "flywheel": "29 in"}}
    text = text.format(rod=ROD)
    alone = shop.judge_sheet(text, **engine)
    beside = shop.judge_sheet(text, **engine, facts={"spring": {"wanted": "4 lbf"}})
    assert [i.raw for i in beside] == [i.raw for i in alone]


def test_a_fault_of_a_csv_sheet_tells_its_line_with_facts_beside_it(shop: Client) -> None:
    text = f"characteristic,value,unit\n{ROD},3.8,V\n"
    for facts in (None, {"spring": {"wanted": "4 lbf"}}):
        with pytest.raises(Refused, match="line 2, unit"):
            shop.judge_sheet(text, engine_class="slow-open-crank", dimensions={"crankpin": "2-1/4 in"}, facts=facts)


# -- what is no sheet ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("given", [None, 1, 1.5, True, b"{}", [], (1, 2), object()], ids=lambda g: type(g).__name__)
@pytest.mark.parametrize("ask", ["readiness", "work_order", "judge_sheet", "compare", "read_as_found"])
def test_what_is_no_sheet_is_refused_with_what_was_expected(shop: Client, ask: str, given: Any) -> None:
    with pytest.raises(UsageError, match=r"^a (sheet is a mapping|filled form is CSV text).* given$"):
        getattr(shop, ask)(given)


@pytest.mark.parametrize("given", [None, 1, 1.5, True, b"{}", object()], ids=lambda g: type(g).__name__)
def test_what_is_no_report_is_refused_with_what_was_expected(shop: Client, given: Any) -> None:
    with pytest.raises(UsageError, match=r"^a report is its lines.* given$"):
        shop.parts_back(given)


@pytest.mark.parametrize("given", [[], 0, 1, "facts.json", ()], ids=repr)
def test_facts_wishes_and_letterhead_are_mappings(shop: Client, given: Any) -> None:
    good = sheet(rod("3.8 thou"))
    with pytest.raises(UsageError, match=r"^facts is a mapping of name to value"):
        shop.readiness(good, facts=given)
    with pytest.raises(UsageError, match=r"^facts is a mapping"):
        shop.judge(ROD, "3.8 thou", facts=given, **PIN)
    with pytest.raises(UsageError, match=r"^wishes is a mapping"):
        shop.work_order(good, wishes=given)
    with pytest.raises(UsageError, match=r"^letterhead is a mapping"):
        shop.work_order(good, letterhead=given)


def test_no_facts_are_no_facts(shop: Client) -> None:
    assert shop.readiness(sheet(rod("3.8 thou")), facts={}).text == shop.readiness(sheet(rod("3.8 thou"))).text
