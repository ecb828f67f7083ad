"""Parts back: his figure and mine against the order, with both doubts; and the report as CSV, there and back."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from fractions import Fraction

import pytest
import simplejson
from hypothesis import given
from hypothesis import strategies as st
from tests.papers.papers_of_demo import RETURNED, back, figure, order
from tests.papers.sheets import bench

from halfthou_service.bench.papers import parts_back_csv
from halfthou_service.bench.papers.csv_rows import CsvProblem
from halfthou_service.bench.papers.parts_back import BackLine, BackVerdict, Figure, order_lines, parts_back, to_dict
from halfthou_service.pages import parts_back_csv_text, work_order_csv
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
    assert len(lines) == sum(len(p.boxes) for p in order().parts)
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
