"""A strict reader of our own pages: every element closed and nested as HTML wants it. It is no general validator."""

from __future__ import annotations

from html.parser import HTMLParser

VOID = frozenset({"meta", "br", "hr", "img", "link", "input"})
BLOCKS = frozenset({"div", "p", "ul", "ol", "table", "section", "article", "h1", "h2", "h3", "body"})
CHILDREN = {
    "ul": {"li"}, "ol": {"li"}, "table": {"thead", "tbody", "caption"}, "thead": {"tr"}, "tbody": {"tr"}, "tr": {"td", "th"},
    "html": {"head", "body"}, "head": {"meta", "title", "style"},
}  # fmt: skip
PARENTS = {"li": {"ul", "ol"}, "tr": {"thead", "tbody"}, "td": {"tr"}, "th": {"tr"}, "thead": {"table"}, "tbody": {"table"}}
PHRASING_ONLY = frozenset({"p", "span", "b", "i", "h1", "h2", "h3", "title"})
ATTRIBUTES = {"class", "lang", "charset", "name", "content", "scope", "colspan", "rowspan"}


class Strict(HTMLParser):
    """Collects faults; ``text`` is what a person reads."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.faults: list[str] = []
        self.text: list[str] = []
        self.elements: list[str] = []
        self.doctype = ""

    def handle_decl(self, decl: str) -> None:
        self.doctype = decl

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        parent = self.open[-1] if self.open else ""
        names = [name for name, _ in attrs]
        where = f"line {self.getpos()[0]}: <{tag}> in <{parent}>"
        if len(names) != len(set(names)) or not set(names) <= ATTRIBUTES:
            self.faults.append(f"{where}: attributes {names}")
        if tag in PARENTS and parent not in PARENTS[tag]:
            self.faults.append(where)
        if parent in CHILDREN and tag not in CHILDREN[parent]:
            self.faults.append(where)
        if tag in BLOCKS and any(p in PHRASING_ONLY for p in self.open):
            self.faults.append(f"{where}: block inside {self.open}")
        self.elements.append(tag)
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1] != tag:
            self.faults.append(f"line {self.getpos()[0]}: </{tag}> closes {self.open[-3:]}")
        else:
            self.open.pop()

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in ("ul", "ol", "table", "tr", "tbody", "thead") and data.strip():
            self.faults.append(f"line {self.getpos()[0]}: text in <{self.open[-1]}>: {data.strip()[:40]}")
        if "style" not in self.open:
            self.text.append(data)

    def close(self) -> None:
        super().close()
        if self.open:
            self.faults.append(f"left open: {self.open}")


def read_strictly(page: str) -> Strict:
    found = Strict()
    found.feed(page)
    found.close()
    return found


def words(page: str) -> str:
    """The text of a page on one line."""
    return " ".join(" ".join(read_strictly(page).text).split())
