"""Fits as a page for a browser: autoescaped, black on white, no script and no style, the drawing in the page itself."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from functools import cache
from typing import Any

from jinja2 import Environment, Template
from markupsafe import Markup

from halfthou_specdb.quantity import plain
from halfthou_specdb.standards import Fit
from halfthou_specdb.standards.diagram import draw
from halfthou_specdb.units import UNITS, Unit

_HEAD = "<!doctype html>\n<html lang=en>\n<meta charset=utf-8>\n<meta name=viewport content='width=device-width'>\n"
_FIT = _HEAD + """<title>{{ fit.designation }} at {{ size(fit.size) }}</title>
<h1>{{ fit.designation }} at {{ size(fit.size) }}</h1>
<p>{{ fit.text }}</p>
{% if fit.use %}<p>{{ fit.use }}.</p>
{% endif %}{{ drawing }}
<table border=1>
<caption>Limits of size</caption>
<tr><th scope=col>part<th scope=col>zone<th scope=col>smallest<th scope=col>largest<th scope=col>lower deviation<th scope=col>upper deviation
{% for name in ('hole', 'shaft') %}{% set part = fit[name] %}<tr><th scope=row>{{ name }}<td>{{ part.zone }}<td>{{ size(part.low, 'low') }}<td>{{ size(part.high, 'high') }}\
<td>{{ size(part.lower_deviation, 'low') }}<td>{{ size(part.upper_deviation, 'high') }}
{% endfor %}</table>
<table border=1>
<caption>Clearance; below zero is interference</caption>
<tr><th scope=row>tightest<td>{{ size(fit.clearance.tightest, 'low') }}
<tr><th scope=row>loosest<td>{{ size(fit.clearance.loosest, 'high') }}
</table>
<table border=1>
<caption>Where the numbers come from: size step over {{ size(fit.step.over) }}, up to and including {{ size(fit.step.up_to) }}</caption>
<tr><th scope=col>part<th scope=col>number<th scope=col>value<th scope=col>grade<th scope=col>works<th scope=col>note
{% for cell in fit.cells %}<tr><td>{{ cell.part }}<td>{{ cell.what }}<td>{{ size(cell) }}<td>{{ cell.grade }}<td>{{ cell.works|join(', ') }}<td>{{ cell.note }}
{% endfor %}</table>
<ul>
{% for work in fit.works %}<li>{{ work.id }}: {{ work.citation }}; {{ work.locator }}
{% endfor %}{% for note in fit.notes %}<li>{{ note }}
{% endfor %}</ul>
<p>Edition {{ fit.edition }}</p>
</html>
"""  # noqa: E501
_GIVING = _HEAD + """<title>Fits at {{ size(found.size) }}</title>
<h1>Fits for {{ size(found.wanted.low) }} to {{ size(found.wanted.high) }} at {{ size(found.size) }}</h1>
<p>{{ found.text }}</p>
<table border=1>
<tr><th scope=col>fit<th scope=col>tightest<th scope=col>loosest<th scope=col>wholly within<th scope=col>hole<th scope=col>shaft<th scope=col>grade
{% for fit in found['items'] %}<tr><th scope=row>{{ fit.designation }}<td>{{ size(fit.clearance.tightest, 'low') }}<td>{{ size(fit.clearance.loosest, 'high') }}\
<td>{{ 'yes' if fit.within else 'no' }}<td>{{ size(fit.hole.low, 'low') }} to {{ size(fit.hole.high, 'high') }}\
<td>{{ size(fit.shaft.low, 'low') }} to {{ size(fit.shaft.high, 'high') }}\
<td>{{ fit.grade }}
{% endfor %}</table>
<p>Edition {{ found.edition }}</p>
</html>
"""  # noqa: E501


PLACES = {"in": Decimal("0.00001"), "mm": Decimal("0.0001"), "thou": Decimal("0.01"), "um": Decimal("0.1")}
ROUNDINGS = {"low": ROUND_CEILING, "high": ROUND_FLOOR}


def _size(given: Mapping[str, Any], side: str = "") -> str:
    """A number with its unit; a limit is rounded into its zone, and everything else keeps its digits."""
    value = Decimal(given["value"])
    if side and given["unit"] in PLACES:
        value = value.quantize(PLACES[given["unit"]], ROUNDINGS[side])
    text = plain(value)
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{'0' if text == '-0' else text} {UNITS[given['unit']].symbol}"


_ENVIRONMENT = Environment(autoescape=True, trim_blocks=False, keep_trailing_newline=True)
_ENVIRONMENT.globals["size"] = _size


@cache
def _template(text: str) -> Template:
    """A template, compiled when a page is first asked for."""
    return _ENVIRONMENT.from_string(text)



def fit_page(fit: Fit, body: Mapping[str, Any], unit: Unit) -> str:
    """The page of one fit, from the same values as its JSON; the drawing tells deviations in ``unit``."""
    return _template(_FIT).render(fit=body, drawing=Markup(draw(fit, unit)))


def giving_page(body: Mapping[str, Any]) -> str:
    """The page of the fits that give a clearance."""
    return _template(_GIVING).render(found=body)
