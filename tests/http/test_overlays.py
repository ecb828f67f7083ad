"""``/v1/overlays``: begun from a template that changes nothing, checked with every fault, told what it would change."""

from __future__ import annotations

import tomllib

import pytest

from halfthou_specdb.overlay import MOST_BYTES, MOST_LIMITS, read_overlay

CHECK, TEMPLATE = "/v1/overlays/check", "/v1/overlays/template"
HEAD = '[overlay]\nengine = "H"\ntitle = "My own book"\n'


def figure(**parts: str) -> str:
    row = {"id": '"mine"', "characteristic": '"rod-bearing-running-clearance"', "unit": '"in"', "fit": "{ low = 0.002, high = 0.0035 }"} | parts
    return "\n[[limit]]\n" + "".join(f"{key} = {value}\n" for key, value in row.items() if value)


@pytest.fixture
def check(client):
    def post(text: str | bytes, content_type: str = "application/toml"):
        return client.post(CHECK, data=text, content_type=content_type)

    return post


@pytest.mark.parametrize("engine", ["H", 'the "big" one', "back\\slash", "Émile 5"])
def test_a_template_is_bound_to_its_engine_and_changes_nothing(client, check, engine):
    answer = client.get(TEMPLATE, query_string={"engine": engine})
    assert (answer.status_code, answer.mimetype) == (200, "application/toml")
    assert tomllib.loads(answer.text) == {"overlay": {"engine": engine, "title": "My own book"}}
    told = check(answer.data).json
    assert (told["ok"], told["items"], told["changes"], told["engine"]) == (True, [], [], engine)
    assert "nothing changes" in told["text"]


def test_the_figure_shown_in_the_template_is_read_once_it_is_filled_in(client, check):
    text = client.get(TEMPLATE, query_string={"engine": "H"}).text.partition("# A tool")[0]
    filled = text.replace("# [[limit]]", "[[limit]]").replace("low = 0.0, high = 0.0", "low = 0.002, high = 0.0035")
    filled = filled.replace("high = 0.0 ", "high = 0.006 ")
    for key in ("id", "characteristic", "unit", "fit", "wear", "reasoning"):
        filled = filled.replace(f"# {key} =", f"{key} =")
    told = check(filled).json
    assert (told["ok"], [c["id"] for c in told["changes"]]) == (True, ["my-rod-clearance"])


@pytest.mark.parametrize("engine", ["", " ", "x" * 81, "a\nb", "a\x00"])
def test_an_engine_that_cannot_stand_in_the_file_is_refused(client, engine):
    assert client.get(TEMPLATE, query_string={"engine": engine}).status_code == 400


def test_what_it_would_change_is_told_with_ours_beside_it(check, table):
    told = check(HEAD + figure(wear='{ low = "none_on_file", high = 0.006 }')).json
    (change,) = told["changes"]
    assert (told["ok"], change["counts"], change["yours"]) == (True, "yes", "new from 0.002 in; new to 0.0035 in; worn over 0.006 in")
    assert [m["limit_id"] for m in change["ours"]] == [m.id for m in table.limits_of["rod-bearing-running-clearance"]]
    assert told["edition"] == f"{table.edition}.own-{told['digest']}"


@pytest.mark.parametrize(
    ("fit", "wear", "counts"),
    [
        # The table warns from 4,500 ft/min and stops at 5,000 for a rim cast in one piece; a jointed one is not run at all.
        ('{ low = "unbounded", high = 9000 }', "", "no"),
        ('{ low = "unbounded", high = 3000 }', '{ low = "unbounded", high = 3500 }', "where_tighter"),
        ('{ low = "unbounded", high = 0 }', '{ low = "unbounded", high = 0 }', "yes"),
    ],
)
def test_a_safety_limit_is_only_ever_tightened_and_the_check_says_so(check, fit, wear, counts):
    told = check(HEAD + figure(characteristic='"flywheel-rim-speed"', unit='"ft/min"', fit=fit, wear=wear)).json
    assert (told["ok"], told["changes"][0]["counts"]) == (True, counts)


FAULTS = {
    "not TOML": ("[overlay", 1, "not TOML"),
    "nested without end": ("x = " + "[" * 4000, 1, "not TOML"),
    "digits without end": ("x = " + "9" * 6000, 1, "not TOML"),
    "no head": (figure(), 1, "Missing data"),
    "something else in it": (HEAD + "[engine]\nbore = 3\n", 1, "only [overlay]"),
    "one heading in place of a list": (HEAD + "[limit]\nid = 1\n", 1, "[[limit]]"),
    "unknown key": (HEAD + figure(grade='"published"'), 5, "grade: Unknown field"),
    "unknown characteristic": (HEAD + figure(characteristic='"rod-clearance"'), 5, "no characteristic is called"),
    "unknown unit": (HEAD + figure(unit='"furlong"'), 5, "no unit is called"),
    "wrong kind of unit": (HEAD + figure(unit='"V"'), 5, "V is voltage"),
    "figures for what is told in words": (HEAD + figure(characteristic='"flywheel-hub-crack"'), 5, "told in words"),
    "an id of the table's": (HEAD + figure(id='"rod-clearance-poured"'), 5, "a name of its own"),
    "one id twice": (HEAD + figure() + figure(), 11, "stands already above"),
    "no number": (HEAD + figure(fit='{ low = "none_on_file", high = "unbounded" }'), 5, "no side has a number"),
    "one thing said twice": (HEAD + figure() + figure(id='"other"', fit="{ low = 0.002, high = 0.004 }"), 11, "beside mine"),
    "one thing said twice of one size": (
        HEAD + figure(sizes='{ of = "crankpin", from = 1, to = 2, unit = "in" }')
        + figure(id='"other"', sizes='{ of = "crankpin", from = 1.5, to = 2.5, unit = "in" }'), 12, "keep one, or give them sizes"),
    "upside down": (HEAD + figure(fit="{ low = 0.004, high = 0.003 }"), 5, "fit_low over fit_high"),
    "worn inside new": (HEAD + figure(wear='{ low = "none_on_file", high = 0.003 }'), 5, "fit_high over wear_high"),
    "zero clearance": (HEAD + figure(fit="{ low = 0, high = 0.003 }"), 5, "no lower bound of a clearance"),
    "not finite": (HEAD + figure(fit='{ low = "none_on_file", high = inf }'), 5, "not a finite number"),
    "an exponent without end": (HEAD + figure(fit='{ low = "none_on_file", high = 1e999999999 }'), 5, "beyond ten to the"),
    "a rule that leads back to itself": (HEAD + figure(fit='{ low = "none_on_file", high = { bound = "fit.high" } }'), 5, "back to itself"),
    "a rule that leads nowhere": (HEAD + figure(fit='{ low = "none_on_file", high = { bound = "L999.high" } }'), 5, "no evidence record"),
    "a rule that divides by nothing": (HEAD + figure(fit='{ low = "none_on_file", high = { per_speed = 1, per_rpm = 0 } }'), 5, "worked out"),
    "sizes of no dimension": (HEAD + figure(sizes='{ of = "nope", from = 1, to = 2, unit = "in" }'), 5, "no engine dimension"),
    "sizes in volts": (HEAD + figure(sizes='{ of = "crankpin", from = 1, to = 2, unit = "V" }'), 5, "V is voltage"),
    "too many": (HEAD + "".join(figure(id=f'"f{n}"') for n in range(MOST_LIMITS + 1)), 1, "at most 500"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_every_fault_is_told_with_its_line(check, name):
    text, line, detail = FAULTS[name]
    answer = check(text)
    assert (answer.status_code, answer.json["ok"], answer.json["changes"]) == (200, False, [])
    assert any(item["line"] == line and detail in item["detail"] for item in answer.json["items"]), answer.json["items"]


@pytest.mark.parametrize("more", [
    {"sizes": '{ of = "crankpin", from = 1, to = 2, unit = "in" }'}, {"use": '"show"'}, {"characteristic": '"main-bearing-running-clearance"'},
])  # fmt: skip
def test_figures_for_a_narrower_size_another_use_or_another_thing_stand_side_by_side(check, more):
    told = check(HEAD + figure() + figure(id='"other"', **more)).json
    assert (told["ok"], [c["id"] for c in told["changes"]]) == (True, ["mine", "other"])


def test_sizes_that_only_touch_are_no_tie(check):
    first, second = '{ of = "crankpin", from = 1, to = 2, unit = "in" }', '{ of = "crankpin", from = 2, to = 3, unit = "in" }'
    assert check(HEAD + figure(sizes=first) + figure(id='"other"', sizes=second)).json["ok"]


TOOL = """
[[instrument]]
id = "my-micrometer"
name = "my 1-2 in micrometer"
measures = "length"
default_variant = "checked"
[[instrument.variant]]
id = "checked"
name = "checked on its rod"
parts = [{ name = "limit of error", kind = "constant", value = 0.05, unit = "thou" }]
"""


def test_a_tool_of_ones_own_is_told_too(check):
    told = check(HEAD + TOOL).json
    assert (told["ok"], told["text"]) == (True, "1 tool of your own for H.")
    assert told["tools"] == [{"id": "my-micrometer", "name": "my 1-2 in micrometer", "takes_place": False}]


def test_one_bad_figure_does_not_hide_the_next(check):
    items = check(HEAD + figure(unit='"V"') + figure(id='"other"', unit='"furlong"')).json["items"]
    assert [item["id"] for item in items] == ["mine", "other"]


def test_no_more_than_fifty_faults_are_told(check):
    told = check(HEAD + "".join(figure(id=f'"f{n}"', characteristic='"nope"') for n in range(300))).json
    assert (len(told["items"]), told["text"].startswith("at least 50 faults")) == (50, True)


def test_a_file_that_is_not_text_is_a_fault_and_not_a_failure(check):
    assert check(b"\xff\xfe").json["items"][0]["detail"] == "not UTF-8 text"


@pytest.mark.parametrize(
    ("text", "content_type", "status"),
    [("x" * (MOST_BYTES + 1), "application/toml", 413), (HEAD, "application/json", 415), (HEAD, "text/plain", 415), (HEAD, "text/toml", 200)],
)
def test_too_large_or_of_another_type_is_refused(check, text, content_type, status):
    assert check(text, content_type).status_code == status


def test_what_the_check_lets_through_the_service_reads(check, table, tmp_path):
    for n, text in enumerate((HEAD, HEAD + figure(), HEAD + figure(wear='{ low = "none_on_file", high = { times = 2, bound = "fit.high" } }'))):
        assert check(text).json["ok"]
        path = tmp_path / f"{n}.toml"
        path.write_text(text)
        assert read_overlay(table, path).digest == check(text).json["digest"]


def test_an_owners_figure_keeps_the_cautions_of_the_table(table, tmp_path):
    path = tmp_path / "own.toml"
    path.write_text(HEAD + figure(characteristic='"flywheel-rim-speed"', unit='"ft/min"', fit='{ low = "unbounded", high = 3000 }'))
    (own,) = read_overlay(table, path).limits
    assert set(own.cautions) == {c for m in table.limits_of["flywheel-rim-speed"] for c in m.cautions}
    assert own.cautions


def test_editions_name_the_overlay_in_use(tmp_path):
    from halfthou_service.http import Settings, create_app

    path = tmp_path / "own.toml"
    path.write_text(HEAD + figure())
    current = create_app(Settings(overlay=str(path))).test_client().get("/v1/editions").json["items"][0]
    assert (current["overlay"]["engine"], current["overlay"]["figures"]) == ("H", 1)
    assert current["id"].endswith(f".own-{current['overlay']['digest']}")
