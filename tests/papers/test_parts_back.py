"""Parts back: his figure and mine against the order, with both doubts; and the report as CSV, there and back."""

from __future__ import annotations

import csv
import io
import re
from decimal import Decimal
from fractions import Fraction

import pytest
import simplejson
from hypothesis import given
from hypothesis import strategies as st
from tests.papers.papers_of_demo import RETURNED, back, figure, order
from tests.papers.sheets import bench, judged, reading, readings

from halfthou_service.bench.papers import parts_back_csv
from halfthou_service.bench.papers.csv_rows import CsvProblem
from halfthou_service.bench.papers.parts_back import BackLine, BackVerdict, Figure, order_lines, parts_back, to_dict
from halfthou_service.bench.papers.work_order import work_order
from halfthou_service.pages import parts_back_csv_text, parts_back_markdown, parts_back_page, work_order_csv
from halfthou_specdb.quantity import Quantity, parse_quantity


def one(
    *, low: str = "1.7995 in", high: str = "1.8000 in", his: Figure | None = None, mine: Figure | None = None, what: str = "Crankpin"
) -> BackVerdict:
    line = BackLine("crankshaft", what, "middle", "", parse_quantity(low) if low else None, parse_quantity(high) if high else None,
                    his or Figure(), mine or Figure())  # fmt: skip
    return parts_back(bench(), [line]).lines[0]


def test_the_two_traps_of_the_demonstration() -> None:
    pin, fillet, runout, top, below = back().lines
    assert (fillet.answer, fillet.agreement) == ("not_to_order", "only_mine")
    assert '"as original" is no figure' in fillet.text
    assert (below.answer, below.agreement) == ("cannot_tell", "same")  # 0.4 thou under, inside the gauge's 0.5
    assert "reads outside the order but not by more than its doubt" in below.text
    assert {v.agreement for v in (pin, runout, top)} == {"same"}
    assert "1 not to the order" in back().text


@pytest.mark.parametrize(
    ("his", "mine", "u", "agreement"),
    [
        ("1.8000 in", "1.7997 in", "0.00015 in", "same"),  # 0.3 thou apart, 0.3 + 0.3 allowed
        ("1.8000 in", "1.7994 in", "0.00015 in", "same"),  # exactly the two added
        ("1.8000 in", "1.7993 in", "0.00015 in", "differ"),
        ("45.72 mm", "1.8001 in", "0.00015 in", "same"),  # 1.8000 in
    ],
)
def test_less_than_both_doubts_added_is_the_same_figure(his: str, mine: str, u: str, agreement: str) -> None:
    assert one(his=figure(his, u), mine=figure(mine, u)).agreement == agreement


def test_the_two_doubts_are_added_not_rooted() -> None:
    # 0.5 thou apart with 0.3 and 0.3: more than their root-sum-square (0.42), less than their sum
    assert one(his=figure("1.8000 in", "0.00015 in"), mine=figure("1.7995 in", "0.00015 in")).agreement == "same"


@pytest.mark.parametrize(
    ("mine", "answer"), [("1.79975 in", "to_order"), ("1.8001 in", "cannot_tell"), ("1.8010 in", "not_to_order"), ("1.7980 in", "not_to_order")]
)
def test_a_figure_is_judged_against_the_order_with_its_doubt(mine: str, answer: str) -> None:
    assert one(mine=figure(mine, "0.0001 in")).answer == answer


def test_his_figure_is_judged_where_i_have_none() -> None:
    found = one(his=figure("1.8010 in", "0.0001 in"))
    assert (found.answer, found.agreement) == ("not_to_order", "only_his")


def test_nobody_measured_is_said() -> None:
    found = one()
    assert (found.answer, found.agreement) == ("no_figure", "nobody")
    assert "nobody gave a figure" in found.text


def test_an_unnamed_tool_is_assumed_aloud_and_never_without_doubt() -> None:
    found = one(his=figure("1.8000 in"))
    assert any("he named no tool; taken as outside micrometer" in line for line in found.assumed)
    assert found.u_his
    assert found.u_his > 0


def test_a_bore_is_taken_as_read_with_a_bore_tool() -> None:
    found = one(his=figure("5.2500 in"), what="Cylinder bore", low="5.25 in", high="5.2505 in")
    assert any("telescoping gauge" in line for line in found.assumed)


def test_a_tool_that_cannot_read_it_leaves_the_answer_open() -> None:
    found = one(mine=figure("1.7997 in", tool="stop-watch"))
    assert found.answer == "cannot_tell"
    assert any("not known" in line for line in found.assumed)


def test_one_sided_orders_are_told_in_one_unit_with_the_reading() -> None:
    assert "ordered at least 125 thou" in one(low="0.125 in", high="", mine=figure("0.04 in", "0.005 in"), what="Fillet radius").text
    assert "ordered up to 2 thou" in one(low="", high="0.002 in", mine=figure("0.0018 in", "0.0005 in"), what="Runout").text


def test_the_form_holds_every_place_of_the_order_with_its_limits() -> None:
    lines = order_lines(order())
    assert len(lines) == sum(len(p.boxes) + len(p.form_boxes) for p in order().parts)
    pin = next(x for x in lines if x.what == "Crankpin")
    assert (pin.low, pin.high) == (Quantity.of("1.7995", "in"), Quantity.of("1.8", "in"))
    fillet = next(x for x in lines if x.what.startswith("Fillet"))
    assert fillet.low is not None
    assert (fillet.low.exact, fillet.high) == (Fraction("0.125"), None)


def test_an_empty_form_reads_back_as_the_order() -> None:
    assert parts_back_csv.read(work_order_csv(order())) == order_lines(order())


def test_a_filled_report_reads_back_exactly() -> None:
    out = io.StringIO()
    csv.writer(out).writerows(parts_back_csv.rows(RETURNED))
    again = parts_back_csv.read(out.getvalue())
    assert [v.text for v in parts_back(bench(), again).lines] == [v.text for v in back().lines]


def test_a_figure_takes_the_unit_of_its_line_unless_it_has_its_own() -> None:
    text = "what,ordered_low,ordered_high,unit,reported,measured,measured_uncertainty\nBore,133.35,133.3627,mm,133.36,5.2501 in,0.5 thou\n"
    line = parts_back_csv.read(text)[0]
    assert line.reported.value == Quantity.of("133.36", "mm")
    assert line.measured.value == Quantity.of("5.2501", "in")
    assert line.measured.standard_uncertainty is not None
    assert line.measured.standard_uncertainty.exact == Fraction("0.25")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("what,colour\nBore,red\n", "no such column"), ("part,reported\ncylinder,5.25\n", "no column called what"),
        ("what,reported\nBore,5.25 furlongs\n", "line 2, reported"), ("what,reported\nBore,\"5,25\"\n", "line 2, reported"),
        ("what,reported,reported_uncertainty\nBore,5.25,0\n", "a doubt is above zero"),
    ],
)  # fmt: skip
def test_a_report_that_cannot_be_read_says_where(text: str, says: str) -> None:
    with pytest.raises(CsvProblem, match=says):
        parts_back_csv.read(text)


def test_a_report_of_too_many_lines_is_refused() -> None:
    with pytest.raises(CsvProblem, match="at most 5000"):
        parts_back_csv.read("what,reported\n" + "Bore,5.25\n" * 5001)


def test_plain_values_carry_both_parties() -> None:
    found = simplejson.loads(simplejson.dumps(to_dict(back()), use_decimal=True), use_decimal=True)
    first = found["lines"][0]
    assert first["ordered"]["low"] == {"value": Decimal("1.7995"), "unit": "in"}
    assert first["reported"]["value"]["value"] == Decimal("1.8000")
    assert found["lines"][1]["reported"] == {"words": "as original"}


def test_the_judged_report_as_csv_runs_nothing() -> None:
    line = BackLine("=cmd|calc", "@SUM", "+x", "-y", None, None, figure(words="=HYPERLINK(1)"), Figure())
    rows = list(csv.reader(io.StringIO(parts_back_csv_text(parts_back(bench(), [line])))))
    assert all(not cell.startswith(("=", "+", "-", "@")) for cell in rows[1])


@given(st.integers(-40, 40), st.integers(1, 12), st.integers(1, 12))
def test_agreement_does_not_ask_who_is_who(apart: int, a: int, b: int) -> None:
    first, second = figure("1.8 in", f"{a / 20} thou"), figure(f"{1.8 + apart / 10000:.4f} in", f"{b / 20} thou")
    there, back_again = one(his=first, mine=second), one(his=second, mine=first)
    assert there.agreement == back_again.agreement
    assert (there.agreement == "same") == (abs(apart) <= a + b)


# -- form, worked out from the sizes ---------------------------------------------------------------------------------


def pin_report(sizes: dict[tuple[str, str], str], u: str = "0.00002 in") -> dict[str, BackVerdict]:
    """A report of one pin, ordered 1.7990 to 1.8010 with 0.5 thou of out of round and of taper, as I read it; by what."""
    low, high, half = parse_quantity("1.7990 in"), parse_quantity("1.8010 in"), parse_quantity("0.0005 in")
    lines = [BackLine("crankshaft", "Crankpin", *at, low, high, measured=figure(size, u)) for at, size in sizes.items()]
    lines += [BackLine("crankshaft", f"Crankpin {form}", "", "", None, half) for form in ("out of round", "taper")]
    found = parts_back(bench(), lines).lines
    assert all(v.answer == "to_order" for v in found if v.line.what == "Crankpin")
    return {v.line.what: v for v in found}


THROW, ACROSS = "in line of throw", "across throw"


def test_out_of_round_and_taper_are_judged_from_the_sizes() -> None:
    # inner 1.8001 and 1.7992: 0.9 thou out of round; means 1.79965 inner and 1.8000 outer: 0.35 thou of taper
    found = pin_report({("inner", THROW): "1.8001 in", ("inner", ACROSS): "1.7992 in", ("outer", THROW): "1.8000 in", ("outer", ACROSS): "1.8000 in"})
    oval, taper = found["Crankpin out of round"], found["Crankpin taper"]
    assert (oval.answer, taper.answer) == ("not_to_order", "to_order")
    assert "you read 0.9 thou" in oval.text
    assert "you read 0.35 thou" in taper.text
    assert all(v.worked_out and "worked out from the sizes above" in v.text for v in (oval, taper))
    # the difference of two readings by one tool: u sqrt 2
    assert oval.u_mine == pytest.approx(0.00002 * 2**0.5, rel=1e-9)


def test_a_tapered_pin_inside_its_size_goes_back() -> None:
    # means 1.8008 and 1.7998: 1 thou; the middle counts for nothing, since the table's taper is of the ends
    sizes = {("inner", THROW): "1.8008 in", ("middle", THROW): "1.7991 in", ("outer", THROW): "1.7998 in"}
    assert pin_report(sizes)["Crankpin taper"].answer == "not_to_order"
    assert "1 thou" in pin_report(sizes)["Crankpin taper"].text


def test_a_line_that_one_station_lacks_is_no_taper() -> None:
    # one line each: nothing is shared, so neither taper nor out of round follows
    found = pin_report({("inner", THROW): "1.8001 in", ("outer", ACROSS): "1.7992 in"})
    assert [found[f"Crankpin {w}"].answer for w in ("out of round", "taper")] == ["no_figure", "no_figure"]


def test_his_own_word_for_the_form_counts_only_where_it_is_worse() -> None:
    half, size = parse_quantity("0.0005 in"), parse_quantity("1.8010 in")
    pins = [BackLine("crankshaft", "Crankpin", "inner", axis, None, size, figure(value, "0.00002 in")) for axis, value in
            ((THROW, "1.8001 in"), (ACROSS, "1.7992 in"))]  # fmt: skip
    for said, told in (("0.0001 in", "0.9 thou"), ("0.0015 in", "1.5 thou")):
        form = BackLine("crankshaft", "Crankpin out of round", "", "", None, half, figure(said, "0.00002 in"))
        assert f"he says {told}" in parts_back(bench(), [*pins, form]).lines[-1].text


def test_the_form_of_the_order_stands_in_its_report() -> None:
    """Limits of the table for this engine: pin half a thou, runout 2 thou, whether or not either sends the shaft out."""
    found = {(x.part, x.what): x for x in order_lines(order())}
    for what, most in (("Crankpin out of round", "0.0005"), ("Crankpin taper", "0.0005"), ("Runout, whole reading", "0.002")):
        line = found["crankshaft", what]
        assert (line.low, line.high) == (None, Quantity.of(most, "in"))
    assert ("cylinder", "Cylinder bore taper") in found


def test_runout_is_ordered_and_told_as_found_where_only_the_pin_is_bad() -> None:
    at, answer, read = judged([*readings("a43", "a44"), *(reading(r) for r in (
        {"id": "p1", "characteristic": "crankpin-out-of-round", "value": {"value": "0.004", "unit": "in"}, "instrument": "outside-micrometer"},
        {"id": "r1", "characteristic": "crankshaft-runout", "value": {"value": "0.0005", "unit": "in"}, "instrument": "v-blocks-dial-indicator"},
    ))])  # fmt: skip
    crank = next(p for p in work_order(at, answer, read).parts if p.id == "crankshaft")
    assert {b.high for b in crank.boxes if b.box.what.startswith("Runout")} == {Fraction("0.002")}
    assert any(a.what == "Crankshaft runout" and str(a.told) == "0.5 thou" for a in crank.as_found)


# -- both inside, units and digits -----------------------------------------------------------------------------------


def test_what_both_read_inside_is_told_apart_and_once() -> None:
    # a band of 0.5 thou and a doubt of 0.36: nothing proves it, and nothing is wrong
    lines = [BackLine("crankshaft", "Crankpin", s, a, parse_quantity("1.7995 in"), parse_quantity("1.8000 in"), figure("1.7997 in", "0.00018 in"),
                      figure(f"1.799{n} in", "0.00018 in")) for n, s in ((6, "inner"), (8, "outer")) for a in (THROW, ACROSS)]  # fmt: skip
    lines.append(BackLine("crankshaft", "Crankpin", "middle", THROW, lines[0].low, lines[0].high, Figure(), figure("1.8012 in", "0.00018 in")))
    found = parts_back(bench(), lines)
    assert [v.both_inside for v in found.lines] == [True] * 4 + [False]
    assert found.text.startswith("1 not to the order; 4 where both of you read inside and your tool cannot prove it")
    once, fault = found.words
    assert (once.places, once.both_inside, fault.answer) == (4, True, "not_to_order")
    assert "Crankpin, 4 places: both of you read inside; your tool cannot prove it" in once.text
    assert "you read 1.7996 in to 1.7998 in, give or take 0.36 thou" in once.text
    for paper in (parts_back_page(found), parts_back_markdown(found)):
        assert paper.count("you read 1.7996 in to") == 1
        assert paper.index("not to the order") < paper.index("4 places")


def test_a_fault_is_never_rounded_into_the_order() -> None:
    found = one(low="1.8685 in", high="1.8690 in", his=figure("1.86905 in", "0.00001 in"))
    assert found.answer == "not_to_order"
    assert "he says 1.86905 in" in found.text
    assert "ordered 1.8685 to 1.8690 in" in found.text
    # 47.4735 mm is 1.8690354 in, which four places would tell as 1.8690
    assert "he says 1.86904 in" in one(low="1.8685 in", high="1.8690 in", his=figure("47.4735 mm", "0.0002 mm")).text


def test_a_report_is_told_in_one_system() -> None:
    line = BackLine("crankshaft", "Crankpin", "inner", THROW, parse_quantity("1.7995 in"), parse_quantity("1.8000 in"),
                    figure("45.71 mm", "0.003 mm"), figure("1.7997 in", "0.0001 in"))  # fmt: skip
    for system, foreign in (("inch", r"\bmm\b"), ("metric", r"\bthou\b|\d in\b")):
        found = parts_back(bench(), [line], system)  # type: ignore[arg-type]
        for told in (found.lines[0].text, parts_back_page(found), parts_back_markdown(found), parts_back_csv_text(found)):
            body = told.partition("</style>")[2] or told
            assert not re.search(foreign, body.partition("Before paying")[0]), (system, body)


# -- what is no length -----------------------------------------------------------------------------------------------


def test_volts_before_and_after_are_taken_and_compared() -> None:
    blank = [x for x in order_lines(order()) if x.what == "Output"]
    assert {x.unit for x in blank} == {"V"}
    text = "part,what,station,unit,measured,measured_uncertainty\nmagneto,Output,before,V,3.1,0.4\nmagneto,Output,after,V,6.5,0.4\n"
    found = parts_back(bench(), parts_back_csv.read(text))
    assert [v.answer for v in found.lines] == ["no_limit", "no_limit"]
    # 6.5 - 3.1; 2 sqrt(0.2^2 + 0.2^2) = 0.566, rounded up
    assert "More than before it went by 3.4 V, give or take 0.57 V." in found.lines[1].text
    same = parts_back(bench(), parts_back_csv.read(text.replace("6.5", "3.4")))
    assert "As before it went" in same.lines[1].text
    by_tool = parts_back(bench(), parts_back_csv.read("part,what,station,unit,reported\nmagneto,Output,after,V,6.5\n")).lines[0]
    assert any("multimeter" in said for said in by_tool.assumed)


@pytest.mark.parametrize("text", ["part,what,reported\nmagneto,Output,3 in\n", "part,what,unit,reported\nmagneto,Output,in,3\n"])
def test_an_output_in_inches_is_refused(text: str) -> None:
    with pytest.raises(CsvProblem, match="a voltage is wanted"):
        parts_back_csv.read(text)
