"""``/table``: the whole table as pages for a browser, or as Markdown; drawn from the same records as the pages in ``docs/table``."""

from __future__ import annotations

import base64
import hashlib
from functools import cache

from flask import Blueprint, Response, request
from jinja2 import Environment, Template
from markupsafe import Markup

from halfthou_specdb.docs import markdown
from halfthou_specdb.page_parts import Page
from halfthou_specdb.pages import INDEX, pages

from .answers import accepted, tagged
from .handlers import HTML, not_found
from .query import Query
from .state import Shop, shop

MARKDOWN = "text/markdown; charset=utf-8"
PATH = "/table"
STYLE = """
:root { color-scheme: only light }
body { background: #fff; color: #000; font: 1rem/1.45 Georgia, "Times New Roman", serif; margin: 0 auto; max-width: 76rem; padding: 1rem }
h1, h2 { font-weight: 600; line-height: 1.2; margin: 2rem 0 .4rem }
h2 { border-top: 1px solid #000; padding-top: 1rem }
p { margin: .4rem 0; max-width: 46rem }
code { font: .95em/1 ui-monospace, Consolas, monospace }
a { color: #000 }
a:focus-visible { outline: 3px solid #000; outline-offset: 2px }
div.grid { margin: .8rem 0; overflow-x: auto }
table { border-collapse: collapse; font-size: .92rem }
caption { font-weight: 600; padding: .2rem 0; text-align: left }
th, td { border: 1px solid #999; padding: .25rem .45rem; text-align: left; vertical-align: top }
th { background: #eee }
@media print { body { max-width: none; padding: 0 } div.grid { overflow: visible } h2, tr { break-inside: avoid } }
"""
POLICY = (
    f"default-src 'none'; style-src 'sha256-{base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()}';"
    " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_PAGE = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>{{ page.title }}</title>
<style>{{ style }}</style>
{% macro told(spans) %}{% for span in spans %}{% if span.kind == 'strong' %}<strong>{{ span.text }}</strong>\
{% elif span.kind == 'emphasis' %}<em>{{ span.text }}</em>{% elif span.kind == 'code' %}<code>{{ span.text }}</code>\
{% elif span.kind == 'link' %}<a href="{{ path }}/{{ span.target }}">{{ span.text }}</a>{% else %}{{ span.text }}{% endif %}{% endfor %}{% endmacro %}
<body>
<main>
{% if page.name != index %}<p><a href="{{ path }}">The table, component by component</a></p>
{% endif %}<h1>{{ page.title }}</h1>
{% for kind, block in blocks %}{% if kind == 'Heading' %}<h2{% if block.anchor %} id="{{ block.anchor }}"{% endif %}>{{ block.text }}</h2>
{% elif kind == 'Paragraph' %}<p>{{ told(block.spans) }}</p>
{% elif kind == 'Bullets' %}<ul>
{% for item in block.items %}<li>{{ told(item) }}</li>
{% endfor %}</ul>
{% else %}<div class="grid" role="region" aria-label="{{ block.says }}" tabindex="0"><table>
<caption>{{ block.says }}</caption>
<thead><tr>{% for cell in block.head %}<th scope="col">{{ cell }}</th>{% endfor %}</tr></thead>
<tbody>
{% for row in block.rows %}<tr>{% for cell in row %}{% if loop.first %}<th scope="row">{{ cell }}</th>{% else %}<td>{{ cell }}</td>{% endif %}{% endfor %}</tr>
{% endfor %}</tbody>
</table></div>
{% endif %}{% endfor %}</main>
<footer><p>Edition {{ edition }}.{% if engine %} The owner's own figures for {{ engine }} are not on these pages.{% endif %}</p></footer>
</body>
</html>
"""  # noqa: E501


@cache
def _template() -> Template:
    """The page, compiled when it is first asked for."""
    return Environment(autoescape=True, keep_trailing_newline=True).from_string(_PAGE)

blueprint = Blueprint("table_pages", __name__)


@blueprint.get(PATH)
def index() -> Response:
    """Every page of the table, by name."""
    return _told(INDEX)


@blueprint.get(f"{PATH}/<page>")
def one(page: str) -> Response:
    """One component; or ``coverage``, or ``usual-sizes``."""
    return _told(page if page != INDEX else "")


def html_of(page: Page, shared: Shop) -> str:
    """A page for a browser: autoescaped, black on white, no script, its only style its own."""
    blocks = [(type(block).__name__, block) for block in page.blocks]
    engine = shared.overlay.engine if shared.overlay else ""
    return _template().render(page=page, blocks=blocks, index=INDEX, path=PATH, style=Markup(STYLE), edition=shared.edition, engine=engine)


def _told(name: str) -> Response:
    shared = shop()
    form = accepted("text/html", "text/markdown")
    Query(request.args.items(multi=True), ()).check()
    found = shared.kept("table pages", "", lambda: pages(shared.table))
    page = found.get(name)
    if page is None:
        raise not_found("page of the table", name, found)
    if form == "text/markdown":
        return tagged(shared.kept("table markdown", name, lambda: markdown(page).encode()), MARKDOWN, shared.edition)
    return tagged(shared.kept("table html", name, lambda: html_of(page, shared).encode()), HTML, shared.edition,
                  headers={"Content-Security-Policy": POLICY})  # fmt: skip
