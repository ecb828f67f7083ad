"""One page of documentation for each calculation, from its docstring and its declaration, and an index of them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from textwrap import dedent

from halfthou_specdb.units import UNITS, units_of

from .frame import Calculation, Input, Output, from_si
from .registry import CALCULATIONS

MADE = "<!-- Made by: python -m halfthou_service.calculations docs docs/calculations -->"
INDEX = "README.md"
_HEADING = re.compile(r"^(Equation|In|Out|Valid|Worked|References):$", re.MULTILINE)
_SYMBOL = re.compile(r"^(\w+) \[[^\]]+\]: (.+(?:\n +.+)*)", re.MULTILINE)


def pages() -> dict[str, str]:
    """Text of every page by file name."""
    return {INDEX: _index()} | {f"{what.id}.md": page(what) for what in CALCULATIONS.values()}


def page(what: Calculation) -> str:
    """The page of one calculation."""
    parts = sections(what.docs)
    told = _symbols(parts["In"]) | {f"out {name}": text for name, text in _symbols(parts["Out"]).items()}
    lines = [MADE, f"# {what.title}", "", f"`{what.id}`. {_joined(parts['summary'])}", "", "## Equation", "", "```text", parts["Equation"], "```", ""]
    lines += ["## Inputs", "", "| name | what | unit | range | if left out |", "|---|---|---|---|---|"]
    lines += [f"| `{i.name}` | {_cell(told[i.name])} | {_kind(i)} | {_range(i)} | {_left_out(i)} |" for i in what.inputs]
    lines += ["", "Any unit of the same kind is taken: " + "; ".join(_units(what.inputs)) + ".", ""] if _units(what.inputs) else [""]
    lines += ["## Outputs", "", "| name | what | unit |", "|---|---|---|"]
    lines += [f"| `{o.name}` | {_cell(told[f'out {o.name}'])} | {_told_in(o)} |" for o in what.outputs]
    lines += ["", "## Where it holds", "", _prose(parts["Valid"]), "", *_listed("What it assumes", what.assumptions)]
    lines += ["## A worked number", "", "```text", parts["Worked"], "```", "", "## What it rests on", "", _numbered(parts["References"]), ""]
    if what.cautions:
        lines += [*_listed("Mind", what.cautions)[:-1], "", "`halfthou cautions` and `GET /v1/cautions/{id}` tell a caution in full.", ""]
    lines += ["## Asking", "", f"Over HTTP: `POST /v1/calculations/{what.id}`. At the command line: `halfthou calc {what.id} --describe`.", ""]
    return "\n".join(lines)


def sections(docs: str) -> dict[str, str]:
    """The docstring by heading, dedented; what stands before the first heading under ``summary``."""
    pieces = _HEADING.split(dedent("    " + docs))
    found = {"summary": pieces[0].strip()}
    found.update({name: dedent(text.strip("\n")).rstrip() for name, text in zip(pieces[1::2], pieces[2::2], strict=True)})
    return found


def _index() -> str:
    rows = [f"| [{what.id}]({what.id}.md) | {_cell(_joined(sections(what.docs)['summary']))} |" for what in CALCULATIONS.values()]
    return "\n".join([
        MADE, "# Calculations", "",
        f"{len(CALCULATIONS)} calculations, each with its equation, where it holds, a worked number and what it rests on. A number says how far",
        "it can be trusted: published, quoted (read through another text), derived, common practice, from memory.",
        "How to ask: [http.md](../http.md).", "",
        "| id | what |", "|---|---|", *rows, "",
    ])  # fmt: skip


def _symbols(text: str) -> dict[str, str]:
    return {m[1]: _joined(m[2]) for m in _SYMBOL.finditer(text)}


def _joined(text: str) -> str:
    return " ".join(text.split())


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("<", "&lt;")


def _prose(text: str) -> str:
    return text.replace("<", "&lt;")


def _numbered(text: str) -> str:
    """References with each entry's further lines indented under it."""
    return re.sub(r"\n +(?![0-9]+\. )", "\n   ", text)


def _listed(title: str, texts: Iterable[str]) -> list[str]:
    return [f"## {title}", "", *(f"- {text}" for text in texts), ""]


def _kind(item: Input) -> str:
    if item.dimension in ("choice", "flag"):
        return "a word" if item.choices else "true or false"
    return f"{_unit(item.unit)}, a list of up to {item.many}" if item.many else _unit(item.unit)


def _unit(token: str) -> str:
    return "a number" if token in ("ratio", "count") else f"`{token}`"


def _told_in(output: Output) -> str:
    if output.dimension in ("text", "flag"):
        return "words" if output.dimension == "text" else "true or false"
    return _unit(output.inch) if output.inch == output.metric else f"{_unit(output.inch)} or {_unit(output.metric)}"


def _number(value: float, unit: str) -> str:
    return f"{Decimal(f'{from_si(value, unit):.4g}'):f}"


def _range(item: Input) -> str:
    if item.dimension in ("choice", "flag"):
        return ", ".join(f"`{word}`" for word in item.choices)
    low = None if item.low is None else _number(item.low, item.unit)
    high = None if item.high is None else _number(item.high, item.unit)
    over = "over " if item.open_low else ""
    if low is None:
        return "any" if high is None else f"up to {high}"
    return f"{over}{low} to {high}" if high is not None else f"{over}{low}" if over else f"{low} and up"


def _left_out(item: Input) -> str:
    if item.default is None:
        return "refused" if item.required else ""
    if isinstance(item.default, str | bool):
        return f"`{item.default}`"
    symbol = UNITS[item.unit].symbol
    return f"{_number(item.default, item.unit)} {symbol}".rstrip()


def _units(inputs: Iterable[Input]) -> list[str]:
    kinds = dict.fromkeys(item.dimension for item in inputs if item.dimension not in ("choice", "flag", "ratio", "count"))
    return [f"{kind.replace('_', ' ')} ({', '.join(units_of(kind))})" for kind in kinds]
