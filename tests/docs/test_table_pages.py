"""The pages of the table: those in the repository are fresh, the HTML says the same, and coverage is kept and printed."""

from __future__ import annotations

import base64
import hashlib
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from halfthou_service.http import Settings, create_app
from halfthou_specdb import __main__ as command
from halfthou_specdb.coverage import covers
from halfthou_specdb.docs import coverage, markdown, markdown_pages, write
from halfthou_specdb.page_parts import Grid, Heading, Page, paragraph, strong
from halfthou_specdb.pages import components, pages
from halfthou_specdb.records import GRADES

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "docs" / "table"
NASTY = '<script>alert(1)</script> "a" & b | c * d'


class Reader(HTMLParser):
    """What a browser would show, and the elements used."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in ("meta",):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join("".join(self.words).split())


def test_the_pages_in_the_repository_are_fresh(table):
    """Write them anew: python -m halfthou_specdb docs docs/table."""
    wanted = markdown_pages(table)
    kept = {path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.md")}
    assert sorted(kept) == sorted(wanted)
    assert [name for name in wanted if kept[name] != wanted[name]] == []


def test_writing_removes_pages_that_no_longer_belong(table, tmp_path):
    (tmp_path / "gone.md").write_text("old")
    write(table, tmp_path)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(markdown_pages(table))


def test_a_page_tells_limits_reasoning_evidence_and_cautions_of_its_component(table):
    text = markdown_pages(table)["connecting-rod.md"]
    what = table.characteristics["rod-bearing-running-clearance"]
    for limit in table.limits_of[what.id]:
        assert limit.id in text
        assert limit.reasoning.replace("<", "&lt;") in text
    for evidence in table.evidence_of(what.id):
        assert f"| {evidence.id} |" in text
    assert "## Cautions" in text
    absence = table.absences_of["bearing-bore-out-of-round"][0]
    assert absence.instead in markdown_pages(table)["main-bearing.md"]


def test_coverage_is_kept_and_printed_by_lint(table, capsys):
    assert (FOLDER / "coverage.md").read_text(encoding="utf-8") == coverage(table)
    assert command.main(["coverage"]) == 0
    assert capsys.readouterr().out == coverage(table) + "\n"
    lint = re.search(r"^lint:.*\n((?:\t.*\n)+)", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)
    assert lint is not None
    assert "-m halfthou_specdb coverage" in lint[1]


def test_coverage_counts_every_characteristic_once_a_class_and_works_not_rows(table):
    found = covers(table)
    classes = [k.id for k in table.classes.values() if k.kind == "class"]
    for engine_class in classes:
        cells = [c for c in found if c.engine_class == engine_class]
        assert sum(c.things for c in cells) == len(table.characteristics)
        assert sum(c.limited for c in cells) == len({m.characteristic for m in table.limits.values()
                                                     if {engine_class, "any"} & set(m.classes)})  # fmt: skip
    for cell in found:
        assert cell.works <= len(table.works)
        assert cell.best is None or cell.best in GRADES
        assert (cell.best is None) == (cell.limited == 0)


def test_every_page_is_served_and_says_what_the_markdown_says(client, table):
    index = Reader(client.get("/table").text)
    links = {attrs["href"] for tag, attrs in index.tags if tag == "a"}
    assert links == {f"/table/{name}" for name in (*components(table), "coverage", "usual-sizes")}
    for link in sorted(links):
        page = pages(table)[link.removeprefix("/table/")]
        shown = Reader(client.get(link).text).text
        for block in page.blocks:
            if isinstance(block, Heading):
                assert " ".join(block.text.split()) in shown
            if isinstance(block, Grid):
                assert all(" ".join(cell.split()) in shown for row in block.rows for cell in row)


def test_a_characteristic_can_be_linked_to(client):
    tags = Reader(client.get("/table/connecting-rod").text).tags
    assert "rod-bearing-running-clearance" in {attrs.get("id") for tag, attrs in tags if tag == "h2"}


def test_a_page_runs_nothing_loads_nothing_and_wears_its_own_style_only(client):
    answer = client.get("/table/flywheel")
    assert answer.content_type == "text/html; charset=utf-8"
    style = re.search(r"<style>(.*?)</style>", answer.text, re.DOTALL)
    assert style is not None
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    policy = answer.headers["Content-Security-Policy"]
    assert policy == (f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
    assert not {"script", "img", "link", "iframe", "form"} & {tag for tag, _ in Reader(answer.text).tags}
    assert not [attrs for _, attrs in Reader(answer.text).tags if "style" in attrs or any(name.startswith("on") for name in attrs)]


def test_words_of_a_record_are_never_markup(app):
    from halfthou_service.http.state import KEY
    from halfthou_service.http.table_pages import html_of

    page = Page("x", NASTY, (Heading(NASTY, "x"), paragraph(strong(NASTY), NASTY), Grid(NASTY, (NASTY,), ((NASTY, NASTY),))))
    html = html_of(page, app.extensions[KEY])
    assert "<script" not in html
    assert Reader(html).text.count(NASTY) == 9  # title, h1, h2, two in the paragraph, caption, head, two cells
    text = markdown(page)
    assert "<script" not in text
    assert text.count("\\|") == 3  # the cells of the table


def test_markdown_is_answered_where_it_is_asked_for(client, table):
    answer = client.get("/table/flywheel", headers={"Accept": "text/markdown"})
    assert (answer.mimetype, answer.text) == ("text/markdown", markdown_pages(table)["flywheel.md"])
    assert client.get("/table/flywheel", headers={"Accept": "application/json"}).status_code == 406


@pytest.mark.parametrize(("path", "status"), [("/table/nope", 404), ("/table/README", 404), ("/table?x=1", 400), ("/table/flywheel?x=1", 400)])
def test_what_is_not_there_is_refused(client, path, status):
    assert client.get(path).status_code == status


def test_a_near_name_is_told(client):
    assert client.get("/table/fly-wheel").json["near"] == ["flywheel"]


def test_a_page_not_changed_is_not_sent_again(client):
    first = client.get("/table/flywheel")
    again = client.get("/table/flywheel", headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")
    assert again.headers["Content-Security-Policy"] == first.headers["Content-Security-Policy"]


def test_an_owner_is_told_that_their_figures_are_not_on_the_pages(tmp_path):
    own = tmp_path / "own.toml"
    own.write_text('[overlay]\nengine = "<H>"\ntitle = "mine"\n')
    text = create_app(Settings(overlay=str(own))).test_client().get("/table").text
    assert "The owner's own figures for &lt;H&gt; are not on these pages" in text.replace("&#39;", "'")


def test_the_usual_sizes_say_that_they_are_guesses(client):
    assert "Guesses." in Reader(client.get("/table/usual-sizes").text).text
