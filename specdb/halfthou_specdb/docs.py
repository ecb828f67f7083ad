"""The pages of the table as Markdown, kept in ``docs/table``; a test compares them with the records."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from .coverage import coverage_page
from .page_parts import Block, Bullets, Grid, Heading, Page, Paragraph, Span
from .pages import pages
from .table import Table

HEAD = "<!-- Made from the data files by `python -m halfthou_specdb docs`; edit those, not this page. -->\n"
_MARKS = str.maketrans({"\\": "\\\\", "*": "\\*", "`": "\\`", "<": "&lt;", "\n": " "})


def markdown_pages(table: Table) -> dict[str, str]:
    """File name -> text of every page."""
    return {f"{name}.md": markdown(page) for name, page in pages(table).items()}


def write(table: Table, folder: Path) -> list[Path]:
    """Write every page into a folder and remove pages that no longer belong."""
    folder.mkdir(parents=True, exist_ok=True)
    wanted = markdown_pages(table)
    for stale in (p for p in folder.glob("*.md") if p.name not in wanted):
        stale.unlink()
    for name, text in wanted.items():
        (folder / name).write_text(text, encoding="utf-8")
    return [folder / name for name in wanted]


def coverage(table: Table) -> str:
    """The coverage report as Markdown."""
    return markdown(coverage_page(table))


def markdown(page: Page) -> str:
    """One page as Markdown."""
    return "\n".join([HEAD, f"# {_words(page.title)}\n", *map(_block, page.blocks)])


def _block(block: Block) -> str:
    match block:
        case Heading():
            return f"## {_words(block.text)}\n"
        case Paragraph():
            return f"{_spans(block.spans)}\n"
        case Bullets():
            return "\n".join(f"- {_spans(item)}" for item in block.items) + "\n"
        case Grid():
            return "\n".join([_row(block.head), "|" + "---|" * len(block.head), *map(_row, block.rows)]) + "\n"


def _spans(spans: Iterable[Span]) -> str:
    return "".join(_span(span) for span in spans)


def _span(span: Span) -> str:
    match span.kind:
        case "strong":
            return f"**{_words(span.text)}**"
        case "emphasis":
            return f"*{_words(span.text)}*"
        case "code":
            return f"`{span.text}`"
        case "link":
            return f"[{_words(span.text)}]({span.target}.md)"
        case _:
            return _words(span.text)


def _words(text: str) -> str:
    return text.translate(_MARKS)


def _row(cells: Iterable[str]) -> str:
    return "| " + " | ".join(_words(cell).replace("|", "\\|") for cell in cells) + " |"
