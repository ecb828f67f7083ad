"""``halfthou calc``."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING, Any

import click

from ..errors import UsageError
from ..quantities import Quantity, plain
from .common import ALL_WELL, client, leave, print_json, service_options, told_errors, units_option

if TYPE_CHECKING:
    from ..models import CalculationAnswer, CalculationInput, CalculationOutput, CalculationRecord

FIGURES = 4
BARE = {"ratio": "", "count": "", "percent": "%", "delta_degF": "degF", "delta_degC": "degC"}
"""How a unit is said where the words beside it say the rest."""
TRUTH = {"true": True, "yes": True, "false": False, "no": False}
_PARTS = re.compile(r"\s*;\s*|\s*,\s+")


@click.command("calc")
@click.argument("calculation", required=False)
@click.argument("inputs", nargs=-1, metavar="[NAME=VALUE]...")
@click.option("--u", "doubts", multiple=True, metavar="NAME=SIZE", help="Standard uncertainty of an input; may be repeated.")
@click.option("--help-on", "--describe", "describe", is_flag=True, help="Say what the calculation takes and answers; work nothing out.")
@units_option
@service_options
def command(
    calculation: str | None, inputs: tuple[str, ...], doubts: tuple[str, ...], describe: bool, units: Any, url: str | None, as_json: bool
) -> None:
    """Work something out: CALCULATION with NAME=VALUE for each input. Without a calculation, list them.

    \b
    halfthou calc
    halfthou calc piston-speed --describe
    halfthou calc piston-speed stroke="6 in" speed="450 rpm" --u speed="5 rpm"
    halfthou calc shim-pack ... stock="2 thou, 3 thou, 5 thou"
    """
    with told_errors(as_json):
        if calculation is None and (doubts or describe):
            raise UsageError("name the calculation first; 'halfthou calc' lists them")
        with client(url) as shop:
            if calculation is None:
                found = shop.calculations()
                shown: Any = {"items": [entry.raw for entry in found]}
                lines = _list(found)
            elif describe or not inputs:
                record = shop.calculation(calculation)
                shown, lines = record.raw, _describe(record)
            else:
                known = {item.name: item for item in shop.calculation(calculation).inputs}
                given = {name: _value(known.get(name), text) for name, text in _pairs(inputs).items()}
                answer = shop.calculate(calculation, given, standard_uncertainties=_pairs(doubts, "--u "), units=units)
                shown, lines = answer.raw, _answer(answer)
        if as_json:
            print_json(shown)
        else:
            click.echo("\n".join(lines))
        leave(ALL_WELL)


def _pairs(given: tuple[str, ...], option: str = "") -> dict[str, str]:
    """``NAME=VALUE`` words as a mapping; a name may be written with hyphens. A name given again adds to a list.

    Raises:
        UsageError: no equals sign, or nothing after it.
    """
    out: dict[str, str] = {}
    for text in given:
        name, equals, value = text.partition("=")
        key = name.strip().replace("-", "_")
        if not equals or not key or not value.strip():
            raise UsageError(f"{option}{text!r}: write it like stroke='6 in'")
        out[key] = f"{out[key]}; {value.strip()}" if key in out else value.strip()
    return out


def _value(item: CalculationInput | None, text: str) -> Any:
    """One input as the client takes it; what the calculation does not know goes as it is, for the service to answer."""
    if item is not None and item.most > 1:
        return [part for part in _PARTS.split(text) if part]
    if item is not None and item.kind == "flag":
        return TRUTH.get(text.lower(), text)
    if ";" in text:
        raise UsageError(f"{item.name if item else text!r} is given twice; say it once")
    return text


def _list(found: tuple[CalculationRecord, ...]) -> list[str]:
    from .show import listed

    return [*listed((entry.id, entry.says or entry.title) for entry in found), "", "halfthou calc ID --describe says what one takes."]


def _describe(record: CalculationRecord) -> list[str]:
    from .show import cautions, heading, listed, section, wrapped

    lines = heading(record.title or record.id, record.id) + wrapped(record.says)
    lines += section("Takes") + listed((f"  {item.name}", _takes(item)) for item in record.inputs)
    outputs = {entry.get("name"): entry for entry in record.raw.get("outputs", ()) if isinstance(entry, dict)}
    lines += section("Answers") + listed((f"  {name}", _answers(outputs.get(name, {}))) for name in record.outputs)
    for title, texts in (("Assumes", record.assumptions), ("Rests on", record.references), ("Mind", record.warnings)):
        if texts:
            lines += section(title) + [line for text in texts for line in wrapped(text, "  - ", "    ")]
    return lines + (section("Cautions") + cautions(record.cautions) if record.cautions else [])


def _takes(item: CalculationInput) -> str:
    parts = [item.says]
    if item.choices:
        parts.append(f"one of {', '.join(item.choices)}")
    elif item.unit:
        low, high = (_short(end) if end else "" for end in (item.low, item.high))
        parts.append(f"{low} to {high}" if low and high else f"{low} and up" if low else f"up to {high}" if high else f"usually {item.unit}")
    if item.most > 1:
        parts.append(f"a list of up to {item.most}")
    if item.default is not None:
        parts.append(f"taken as {_short(item.default) if isinstance(item.default, Quantity) else item.default} if left out")
    elif not item.required:
        parts.append("may be left out")
    return "; ".join(part for part in parts if part)


def _answers(entry: dict[str, Any]) -> str:
    unit = entry.get("inch")
    return f"{entry.get('says', '')}{f' ({unit})' if unit and unit != 'ratio' else ''}"


def _answer(answer: CalculationAnswer) -> list[str]:
    from .show import cautions, heading, listed, section, wrapped

    lines = heading(answer.title or answer.id, f"edition {answer.edition}" if answer.edition else "")
    words = [entry for entry in answer if isinstance(entry.value, str)]
    for entry in words:
        lines += wrapped(f"{entry.name.replace('_', ' ')}: {entry.value}")
    lines += listed((f"  {_said(entry)}", entry.says) for entry in answer if isinstance(entry.value, (Quantity, bool)))
    if answer.flags:
        lines += section("Before you use it") + [line for flag in answer.flags for line in wrapped(flag.says or flag.code, "  ! ", "    ")]
    for title, texts in (("Assumed", (*answer.assumed, *answer.assumptions)), ("Rests on", answer.references), ("Mind", answer.warnings)):
        if texts:
            lines += section(title) + [line for text in texts for line in wrapped(text, "  - ", "    ")]
    return lines + (section("Cautions") + cautions(answer.cautions) if answer.cautions else [])


def _said(entry: CalculationOutput) -> str:
    if isinstance(entry.value, bool):
        return "yes" if entry.value else "no"
    assert isinstance(entry.value, Quantity)
    u = entry.standard_uncertainty
    if u is None or not u.value:
        return _short(entry.value)
    place = Decimal(1).scaleb(u.value.adjusted() - 1)
    number, doubt = (value.quantize(place, ROUND_HALF_EVEN) if place < 1 else round(value / place) * place for value in (entry.value.value, u.value))
    return f"{plain(number)} {_unit(entry.value.unit)}".rstrip() + f" (u {plain(doubt)})"


def _short(given: Quantity) -> str:
    """To four figures, whole numbers whole."""
    value = given.value
    if value and value.adjusted() < FIGURES - 1:
        value = value.quantize(Decimal(1).scaleb(value.adjusted() - FIGURES + 1), ROUND_HALF_EVEN)
    else:
        value = value.quantize(Decimal(1), ROUND_HALF_EVEN)
    text = plain(value)
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {_unit(given.unit)}".rstrip()


def _unit(token: str) -> str:
    return BARE.get(token, token)
