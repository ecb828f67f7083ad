"""What a page of the table is made of, before it is Markdown or HTML: a few plain blocks, and the words in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Span:
    """A run of words. ``target`` of a link is the name of another page."""

    text: str
    kind: Literal["plain", "strong", "code", "emphasis", "link"] = "plain"
    target: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading under the page's title; ``anchor`` is the id it can be linked by."""

    text: str
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One paragraph."""

    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list."""

    items: tuple[tuple[Span, ...], ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A table of texts: what it shows, its heads, its rows."""

    says: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


Block = Heading | Paragraph | Bullets | Grid


@dataclass(frozen=True, slots=True)
class Page:
    """One page. ``name`` is its file or its address, without ending."""

    name: str
    title: str
    blocks: tuple[Block, ...]


def plain(text: str) -> Span:
    """Words as they are."""
    return Span(text)


def strong(text: str) -> Span:
    """Words that carry the paragraph."""
    return Span(text, "strong")


def code(text: str) -> Span:
    """An id or a command."""
    return Span(text, "code")


def emphasis(text: str) -> Span:
    """Words set apart."""
    return Span(text, "emphasis")


def link(text: str, target: str) -> Span:
    """A link to another page of the table."""
    return Span(text, "link", target)


def paragraph(*spans: Span | str) -> Paragraph:
    """A paragraph of spans; a bare text is plain."""
    return Paragraph(tuple(Span(s) if isinstance(s, str) else s for s in spans))
