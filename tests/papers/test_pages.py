"""Pages, Markdown and CSV: valid, printable without colour, no script, and nothing a client wrote is ever run or rendered."""

from __future__ import annotations

import base64
import csv
import hashlib
import io
import re
import unicodedata

import pytest
from tests.papers.markup import read_strictly, words
from tests.papers.papers_of_demo import as_found, back, before_after, before_start, limits, order, pages
from tests.papers.sheets import bench, judged, reading

from halfthou_service.bench.papers.as_found_sheet import as_found_sheet
from halfthou_service.bench.papers.comparison import compare
from halfthou_service.bench.papers.limits_sheet import limits_sheet
from halfthou_service.bench.papers.readiness import readiness
from halfthou_service.bench.papers.work_order import Letterhead, work_order
from halfthou_service.bench.readings import Place
from halfthou_service.pages import (
    CONTENT_POLICY,
    STYLE,
    STYLE_HASH,
    as_found_csv_text,
    as_found_markdown,
    as_found_page,
    comparison_csv,
    comparison_markdown,
    comparison_page,
    limits_csv,
    limits_markdown,
    limits_page,
    parts_back_markdown,
    readiness_csv,
    readiness_markdown,
    readiness_page,
    work_order_csv,
    work_order_markdown,
    work_order_page,
)
from halfthou_service.pages.cells import cell, csv_text, md

NAMES = list(pages())
EVIL = "<script>alert(1)</script>|`[x](javascript:1)` **b** \n# h"
GREY = re.compile(r"#([0-9a-f]{3}|[0-9a-f]{6})\b", re.IGNORECASE)
NAMED = {"black", "white", "gray", "grey", "transparent"}
COLOURS = set("red green blue yellow orange purple brown pink cyan magenta lime navy teal maroon olive silver gold crimson tomato".split())


@pytest.mark.parametrize("name", NAMES)
def test_a_page_is_well_formed_and_complete(name: str) -> None:
    found = read_strictly(pages()[name])
    assert found.faults == []
    assert found.doctype.lower() == "doctype html"
    assert pages()[name].startswith("<!doctype html>\n<html lang=\"en\">")
    assert found.elements.count("title") == found.elements.count("style") == 1
    assert "h1" in found.elements


@pytest.mark.parametrize("name", NAMES)
def test_a_page_runs_nothing_and_fetches_nothing(name: str) -> None:
    page = pages()[name]
    assert not re.search(r"<script|<img|<link|<iframe|<form|<a\b|\son\w+=|\sstyle=|url\(|@import|https?:", page.replace(STYLE, ""), re.IGNORECASE)
    assert not re.search(r"url\(|@import|https?:|expression|<", STYLE)


def test_the_policy_lets_in_this_style_and_nothing_else() -> None:
    wanted = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
    assert f"sha256-{wanted}" == STYLE_HASH
    assert f"style-src '{STYLE_HASH}'" in CONTENT_POLICY
    assert "default-src 'none'" in CONTENT_POLICY
    assert "unsafe" not in CONTENT_POLICY
    for page in pages().values():
        (inside,) = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
        assert inside == STYLE


def test_the_style_is_black_white_and_grey_alone() -> None:
    for value in GREY.findall(STYLE):
        parts = {value[i : i + len(value) // 3] for i in range(0, len(value), len(value) // 3)}
        assert len(parts) == 1, f"#{value} is a colour"
    assert not re.search(r"rgb|hsl|hwb|lab\(|lch|oklab|color\(|gradient|filter|opacity", STYLE)
    assert not COLOURS & set(re.findall(r"[a-z]+", STYLE.lower()))
    assert re.search(r"html \{ background: #fff; color: #000 \}", STYLE)


def test_figures_are_fourteen_points_and_finish_to_is_the_biggest() -> None:
    assert re.search(r"^\.fig \{ font-size: 14pt;", STYLE, re.MULTILINE)
    assert not re.search(r"\.(tight|tighter) \.fig \{[^}]*font-size", STYLE)
    sizes = {float(size) for size in re.findall(r"font(?:-size)?:[^;}]*?([0-9.]+)pt", STYLE)}
    huge = [float(s) for s in re.findall(r"\.huge \{ font-size: ([0-9.]+)pt", STYLE)]
    assert max(huge) == max(sizes)


def test_every_class_of_the_pages_has_a_style_and_the_other_way_round() -> None:
    used = {c for page in pages().values() for names in re.findall(r'class="([^"]*)"', page) for c in names.split()}
    styled = set(re.findall(r"\.([a-z][a-z]*)", re.sub(r"[0-9]*\.[0-9]+[a-z]*", "", STYLE)))
    assert styled - used <= {"denser", "longer", "soft", "long", "one", "triple", "dense"}
    assert used - styled <= {"clear", "what", "words", "fill"}


def test_what_must_be_seen_needs_no_colour() -> None:
    text = words(pages()["limits"])
    assert "Red flags: any of these and it is not run" in text
    assert "none known" in text
    assert "must be looked at before the engine is started" in text
    order_text = words(pages()["work-order"])
    for label in ("Finish to", "Mates with", "Do not cut", "Fillet", "Finish", "Do first", "Do after", "Stop and ring me if", "his", "mine"):
        assert label in order_text, label


def test_the_columns_of_the_limits_sheet() -> None:
    headings = re.findall(r'<th scope="col">([^<]*)</th>', pages()["limits"])
    assert "what where new stop at my reading tool ok" in " ".join(headings)


def test_the_machinists_copy_is_one_part() -> None:
    assert pages()["machinist"].count("<section") == 1
    assert pages()["work-order"].count("<section") == len(order().parts) + 1


def test_guesses_shout_on_every_form_of_the_sheet() -> None:
    known = {k: q for k, q in bench().engine.dimensions.items() if k in ("rated-power", "bore")}
    at = bench(dimensions={k: {"value": str(q.value), "unit": q.unit.token} for k, q in known.items()})
    sheet = limits_sheet(at)
    assert '<span class="tag">guess</span>' in limits_page(sheet)
    assert "Guessed, not measured" in words(limits_page(sheet))
    assert "(GUESS)" in limits_markdown(sheet)
    rows = list(csv.DictReader(io.StringIO(limits_csv(sheet))))
    rod = next(r for r in rows if r["characteristic"] == "rod-bearing-running-clearance")
    assert (rod["new_whose"], rod["guessed"]) == ("guess", "crankpin")


def evil_sheet() -> tuple[object, object, list[object]]:
    """A sheet whose every free text is hostile."""
    raw = {"characteristic": "crankshaft-end-float", "value": {"value": "0.036", "unit": "in"}, "instrument": "dial-indicator", "note": EVIL}
    found = [reading({**raw, "id": f"{n}{EVIL}"[:80], "place": {"instance": EVIL, "station": "=1+1", "axis": "@x"}, **more})
             for n, more in enumerate(({}, {"characteristic": "crankpin-out-of-round"}, {"characteristic": EVIL[:40]}))]  # fmt: skip
    return judged(found, id=EVIL)  # type: ignore[return-value]


def test_a_hostile_sheet_is_shown_and_never_obeyed() -> None:
    at, answer, found = evil_sheet()
    head = Letterhead(EVIL, EVIL, EVIL, EVIL)
    written = work_order(at, answer, found, letterhead=head)  # type: ignore[arg-type]
    against = readiness(at, found)  # type: ignore[arg-type]
    changed = compare(at, (answer, found), (answer, found))  # type: ignore[arg-type]
    sheet = limits_sheet(at)  # type: ignore[arg-type]
    blank = as_found_sheet(at)  # type: ignore[arg-type]
    assert isinstance(found[0].place, Place)  # type: ignore[attr-defined]
    for page in (work_order_page(written), readiness_page(against), comparison_page(changed), limits_page(sheet), as_found_page(blank)):
        assert read_strictly(page).faults == []
        assert "<script" not in page
        assert "&lt;script&gt;" in page
    texts = (work_order_markdown(written), readiness_markdown(against), comparison_markdown(changed), limits_markdown(sheet),
             as_found_markdown(blank))  # fmt: skip
    for text in texts:
        assert "<script" not in re.sub(r"\\<", "", text)
        assert not re.search(r"(?<!\\)\[x(?<!\\)\]\(", text)
        assert "\n# h" not in text
    for table in (work_order_csv(written), readiness_csv(against), comparison_csv(changed), limits_csv(sheet), as_found_csv_text(blank)):
        for row in csv.reader(io.StringIO(table)):
            for value in row:
                assert not value.startswith(("=", "+", "@", "\t")), value
                assert not value.startswith("-") or re.fullmatch(r"-\d+(\.\d+)?", value), value


@pytest.mark.parametrize(
    ("given", "told"),
    [("=1", "'=1"), ("+1", "'+1"), ("-1", "-1"), ("-1.5", "-1.5"), ("-1+1", "'-1+1"), ("@a", "'@a"), (" =1", "' =1"), ("\t=1", "'\t=1"),
     ("a=b", "a=b"), ("-0.1 to 0.1 thou", "'-0.1 to 0.1 thou")],
)  # fmt: skip
def test_cells_that_a_spreadsheet_would_run(given: str, told: str) -> None:
    assert cell(given) == told


def test_csv_is_quoted_and_ends_its_lines_as_it_should() -> None:
    assert csv_text([["a", 'b "c", d'], ["1", ""]]) == 'a,"b ""c"", d"\r\n1,\r\n'


@pytest.mark.parametrize(
    ("given", "told"),
    [("a|b", r"a\|b"), ("<b>", r"\<b\>"), ("*x* _y_", r"\*x\* \_y\_"), ("two\nlines", "two lines"), ("`c`", r"\`c\`"), ("[t](u)", r"\[t\](u)"),
     ("out-of-round (rod)", "out-of-round (rod)"), ("# no heading", r"\# no heading"), ("1.8 to 1.9", "1.8 to 1.9"), ("a\\b", r"a\\b")],
)  # fmt: skip
def test_markdown_text_is_text(given: str, told: str) -> None:
    assert md(given) == told


def test_markdown_tables_keep_their_columns() -> None:
    texts = (limits_markdown(limits()), work_order_markdown(order()), readiness_markdown(before_start()), comparison_markdown(before_after()),
             parts_back_markdown(back()), as_found_markdown(as_found()))  # fmt: skip
    for text in texts:
        width = 0
        for line in text.splitlines():
            bars = len(re.findall(r"(?<!\\)\|", line)) if line.startswith("|") else 0
            assert not (bars and width) or bars == width, line
            width = bars


def test_the_limits_sheet_as_csv_has_a_row_for_each_place_and_a_space_to_write() -> None:
    rows = list(csv.DictReader(io.StringIO(limits_csv(limits()))))
    mains = [r for r in rows if r["characteristic"] == "main-bearing-running-clearance"]
    assert [r["where"] for r in mains] == ["left main", "right main"]
    assert {r["my_reading"] for r in rows} == {""}
    assert all(r["new"] and r["stop_at"] for r in rows)


UNSEEN = "A\x00\x07\x1b[31m\x1f\x7f\x85\u202e\u2066\u200f\u061cB"


def test_characters_that_nobody_sees_stand_on_no_paper() -> None:
    """Control characters ring bells and hide text; a right-to-left override (Unicode bidi, UAX 9) turns a figure round."""
    raw = {"characteristic": "crankshaft-end-float", "value": {"value": "0.036", "unit": "in"}, "instrument": "dial-indicator", "note": UNSEEN}
    found = [reading({**raw, "id": f"{n}{UNSEEN}", "place": {"instance": UNSEEN, "station": UNSEEN}, **more})
             for n, more in enumerate(({}, {"characteristic": "crankpin-diameter"}, {"characteristic": UNSEEN}))]  # fmt: skip
    at, answer, found = judged(found)
    order_ = work_order(at, answer, found, "inch", letterhead=Letterhead(UNSEEN, UNSEEN, UNSEEN, UNSEEN))
    before = readiness(at, found, answer=answer)
    papers = [work_order_page(order_), work_order_markdown(order_), work_order_csv(order_), readiness_page(before), readiness_markdown(before),
              readiness_csv(before), cell(UNSEEN), md(UNSEEN)]  # fmt: skip
    assert "A[31mB" in "".join(papers)
    for paper in papers:
        assert not [c for c in paper if c not in "\t\r\n" and unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp")]


def test_what_nobody_sees_hides_no_formula_and_line_ends_stay() -> None:
    assert (cell("\x00=1+1"), cell("\u202e-cmd"), cell("two\nlines"), cell("tab\tbed")) == ("'=1+1", "'-cmd", "two\nlines", "tab\tbed")
