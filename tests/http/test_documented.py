"""docs/http.md cannot lie: every route, setting and kind of problem is in it, and its examples are answered."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
import simplejson

from halfthou_service.http.csv_readings import COLUMNS
from halfthou_service.http.problems import KINDS
from halfthou_service.http.settings import SETTINGS, Settings

PAGE = (Path(__file__).parents[2] / "docs" / "http.md").read_text(encoding="utf-8")


def test_every_route_is_in_the_page(app):
    routes = {re.sub(r"<(?:[a-z]+:)?([a-z_]+)>", r"{\1}", rule.rule) for rule in app.url_map.iter_rules()}
    assert not [route for route in sorted(routes) if f"`{route}`" not in PAGE and f"{route}`" not in PAGE]


def test_every_setting_is_in_the_page_with_its_default():
    plain = Settings()
    for name, setting in SETTINGS.items():
        default = getattr(plain, setting.field)
        row = next((line for line in PAGE.splitlines() if line.startswith(f"| `{name}` |")), "")
        assert row, name
        assert f"| {f'`{default}`' if default != '' else 'none'} |" in row, name


def test_every_kind_of_problem_is_in_the_page_with_its_status():
    for slug, kind in KINDS.items():
        assert re.search(rf"^\| `{slug}` \| {kind.status or '-'} \|", PAGE, re.MULTILINE), slug
    told = set(re.findall(r"^\| `([a-z-]+)` \| (?:\d{3}|-) \|", PAGE, re.MULTILINE))
    assert told == set(KINDS)


def test_every_column_of_a_csv_sheet_is_in_the_page():
    assert not [name for name in COLUMNS if f"`{name}`" not in PAGE]


COMMANDS = [line for block in re.findall(r"```sh\n(.*?)```", PAGE, re.DOTALL) for line in re.sub(r"\\\n\s*", "", block).splitlines() if line]


def as_shell(word):
    """What the shell hands over: only $'...' turns a written \\n into a line end."""
    return word[1:].replace("\\n", "\n") if word.startswith("$") else word


@pytest.mark.parametrize("command", COMMANDS)
def test_every_example_is_answered(client, command):
    words = shlex.split(command)
    assert words[0] == "curl"
    path, data, headers, method, query = "", None, {}, "GET", []
    rest = iter(words[1:])
    for word in rest:
        if word == "-H":
            name, _, text = next(rest).partition(": ")
            headers[name] = text
        elif word == "-d":
            method, data = "POST", next(rest)
        elif word == "--data-binary":
            method, data = "POST", as_shell(next(rest))
        elif word == "--data-urlencode":
            query.append(tuple(next(rest).split("=", 1)))
        elif word.startswith("http://127.0.0.1:8070"):
            path = word.removeprefix("http://127.0.0.1:8070")
        else:
            assert word in ("-sG", "-s", "-i"), word
    headers.setdefault("Content-Type", "application/x-www-form-urlencoded") if data else None
    answer = client.open(path, method=method, data=data, headers=headers, query_string=query or None)
    assert answer.status_code == 200, answer.text
    answer.close()


def test_every_json_sample_of_the_page_is_json():
    for block in re.findall(r"```json\n(.*?)```", PAGE, re.DOTALL):
        simplejson.loads(block)
