"""The rest of the table over HTTP: lists, pages, search, single records, editions, the owner's overlay."""

from __future__ import annotations

import pytest

from halfthou_service.http import Settings, create_app
from halfthou_service.http.reference import RESOURCES

ROD = "rod-bearing-running-clearance"


@pytest.mark.parametrize("resource", RESOURCES, ids=lambda r: r.name)
def test_a_list_tells_every_record_and_each_has_an_address(client, table, resource):
    items = client.get(resource.path).json["items"]
    known = resource.read(table)
    key = "token" if resource.name == "units" else "id"
    assert [item[key] for item in items] == list(known)
    if resource.single:
        for item in items:
            assert client.get(f"{resource.path}/{item['id']}").json == item


@pytest.mark.parametrize("path", ["/v1/characteristics", "/v1/works", "/v1/units"])
def test_pages_put_together_are_the_whole_list(client, path):
    whole = client.get(path).json["items"]
    found, following = [], f"{path}?limit=37"
    while following:
        answer = client.get(following)
        found += answer.json["items"]
        following = answer.json.get("next")
        assert (f'<{following}>; rel="next"' == answer.headers.get("Link")) == bool(following)
    assert found == whole


@pytest.mark.parametrize(
    "query", ["limit=0", "limit=501", "limit=-1", "limit=x", "limit=1.5", "cursor=x", "cursor=%F0%9F%98%80", "cursor=Zm9v", "foo=1",
              "limit=1&limit=2", "limit="],
)  # fmt: skip
def test_a_bad_page_is_refused(client, query):
    assert client.get(f"/v1/works?{query}").status_code == 400


def test_search_answers_in_shop_words_best_first(client):
    items = client.get("/v1/characteristics?q=how loose is the big end").json["items"]
    assert items[0]["id"] == ROD
    assert client.get("/v1/characteristics", query_string={"q": ROD}).json["items"][0]["id"] == ROD


@pytest.mark.parametrize("text", ['"', "*", "a OR b NOT", "name:x", "'; drop table record; --", "NEAR(a b)", "(", "\u0000x", "é"])
def test_search_takes_any_text(client, text):
    answer = client.get("/v1/characteristics", query_string={"q": text})
    assert answer.status_code == 200


def test_lists_are_narrowed_by_component_and_stage(client):
    items = client.get("/v1/characteristics?component=connecting-rod").json["items"]
    assert items
    assert {item["component"] for item in items} == {"connecting-rod"}
    both = client.get("/v1/characteristics?component=connecting-rod&stage=assembly").json["items"]
    assert {(item["component"], item["stage"]) for item in both} == {("connecting-rod", "assembly")}
    wrong = client.get("/v1/characteristics?component=conecting-rod")
    assert (wrong.status_code, wrong.json["near"]) == (400, ["connecting-rod"])
    assert client.get("/v1/characteristics?stage=soon").status_code == 400


def test_a_characteristic_tells_how_to_measure_and_what_each_side_means(client):
    what = client.get(f"/v1/characteristics/{ROD}").json
    assert what["how_to_measure"]
    assert what["scales_with"][0] == "crankpin"
    assert (what["low_side"]["meaning"], what["high_side"]["meaning"]) == ("too-tight", "worn")
    assert any("slow-open-crank" in entry["classes"] for entry in what["limits"])


def test_a_unit_tells_its_exact_factor(client):
    units = {unit["token"]: unit for unit in client.get("/v1/units").json["items"]}
    assert units["in"]["factor"] == "127/5000"  # 1 in = 0.0254 m, international inch of 1959
    assert units["degF"]["factor"] == "5/9"
    assert units["V"]["dimension"] == "voltage"


def test_editions_tell_the_current_one_and_compare(client, table):
    items = client.get("/v1/editions").json["items"]
    assert [item["current"] for item in items].count(True) == 1
    assert items[0]["id"] == table.edition
    same = client.get(f"/v1/editions/{table.edition}/diff/current")
    assert same.status_code == 200
    assert same.json["items"] == []


OWN = """
[overlay]
engine = "H"
title = "My book"

[[limit]]
id = "my-rod"
characteristic = "rod-bearing-running-clearance"
unit = "in"
fit = { low = 0.0020, high = 0.0035 }
wear = { low = "none_on_file", high = 0.0051 }
reasoning = "Page 12."
"""


def test_the_owners_figures_hold_for_their_own_engine_only_and_enter_the_edition(tmp_path, table):
    file = tmp_path / "own.toml"
    file.write_text(OWN)
    client = create_app(Settings(overlay=str(file))).test_client()
    query = {"characteristic": ROD, "engine_class": "slow-open-crank", "size": "2-1/4 in"}
    own = client.get("/v1/limits", query_string=query | {"engine": "H"}).json
    other = client.get("/v1/limits", query_string=query | {"engine": "K"}).json
    assert (own["limit_id"], own["grade"], own["standing"]["wear_high"]) == ("my-rod", "owner", "owner")
    assert own["wear"]["high"] == {"value": 0.0051, "unit": "in"}
    assert other["limit_id"] != "my-rod"
    assert own["edition"].startswith(table.edition)
    assert own["edition"] != table.edition
    assert client.get("/readyz").status_code == 200
    reading = {"characteristic": ROD, "value": {"value": 6, "unit": "thou"}, "standard_uncertainty": {"value": 0.1, "unit": "thou"}}
    body = {"engine": {"id": "H", "engine_class": "slow-open-crank", "dimensions": {"crankpin": {"value": 2.25, "unit": "in"}}}}
    judged = client.post("/v1/verdicts", json=body | {"readings": [reading]}).json
    assert judged["items"][0]["verdict"] == "beyond_limit"
    assert judged["limits"]["my-rod"]["grade"] == "owner"
    body["engine"]["id"] = "K"
    assert client.post("/v1/verdicts", json=body | {"readings": [reading]}).json["items"][0]["verdict"] != "beyond_limit"
