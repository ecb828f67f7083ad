"""Each limit that an item names is told in the same answer, whatever was sent: surveys, figures given in line, an owner's overlay, either system."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from halfthou_service.http import Settings, create_app
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

OWN = """
[overlay]
engine = "H"
title = "My own book"
[[limit]]
id = "my-rim"
characteristic = "flywheel-rim-speed"
unit = "ft/min"
fit = { low = "unbounded", high = 3900 }
wear = { low = "unbounded", high = 4000 }
[[limit]]
id = "my-rod"
characteristic = "rod-bearing-running-clearance"
unit = "in"
fit = { low = 0.002, high = 0.0035 }
[[limit]]
id = "my-bore"
characteristic = "cylinder-bore-wear"
unit = "in"
fit = { low = "none_on_file", high = 0.001 }
wear = { low = "none_on_file", high = 0.02 }
"""
TABLE = Table.from_files()
MEASURED = sorted(w.id for w in TABLE.characteristics.values() if w.unit)
TOLD = sorted(w.id for w in TABLE.characteristics.values() if w.words)
SIZES = {"bore": 5.25, "stroke": 8, "crankpin": 2.25, "crankpin-length": 2.5, "main-journal": 2, "main-bearing-length": 4, "wrist-pin": 1.25,
         "exhaust-valve-stem": 0.5, "intake-valve-stem": 0.5, "flywheel": 36, "flywheel-bore": 2}  # fmt: skip
SIZE = st.sampled_from([0, 0.0005, 0.002, 0.0038, 0.02, 1, 5, 30, 450, 3000, 3950, 4800, 9000])
NAMES = st.one_of(st.sampled_from(["flywheel-rim-speed", "rod-bearing-running-clearance", "cylinder-bore-wear"]), st.sampled_from(MEASURED))


def quantity(value: float, unit: str) -> dict[str, Any]:
    return {"value": value, "unit": unit}


@st.composite
def readings(draw: st.DrawFn) -> dict[str, Any]:
    if draw(st.booleans()) and draw(st.booleans()):
        name = draw(st.sampled_from(TOLD))
        return {"characteristic": name, "finding": draw(st.sampled_from([w.word for w in TABLE.characteristics[name].words]))}
    name = draw(st.one_of(NAMES, st.just("my-own-check")))
    unit = TABLE.characteristics[name].unit if name in TABLE.characteristics else "V"
    told = draw(st.sampled_from([u.token for u in UNITS.values() if u.dimension == UNITS[unit].dimension and not u.offset]) | st.just(unit))
    raw: dict[str, Any] = {"characteristic": name, "value": quantity(draw(SIZE), told), "confirmed": True,
                           "standard_uncertainty": quantity(0.001, told)}  # fmt: skip
    if name == "my-own-check" or draw(st.booleans()):
        raw["limit"] = {draw(st.sampled_from(["fit", "wear"])): {draw(st.sampled_from(["low", "high"])): quantity(draw(SIZE), unit)}}
    return raw


@st.composite
def surveys(draw: st.DrawFn) -> dict[str, Any]:
    feature, size = draw(st.sampled_from([("cylinder-bore", 5.25), ("crankpin", 2.25)]))
    wear = st.sampled_from([0, 0.0005, 0.002, 0.009, 0.03])
    sign = 1 if feature == "cylinder-bore" else -1
    places = [{"station": s, "axis": a, "value": quantity(round(size + sign * draw(wear), 5), "in")} for s in ("a", "b") for a in ("x", "y")]
    return {"id": draw(st.sampled_from(["s", "t"])), "feature": feature, "readings": places,
            "standard_uncertainty": quantity(0.0002, "in")}  # fmt: skip


@pytest.fixture(scope="module")
def shops(tmp_path_factory: pytest.TempPathFactory) -> list[Any]:
    path = tmp_path_factory.mktemp("own") / "own.toml"
    path.write_text(OWN, encoding="utf-8")
    return [create_app(Settings(overlay=str(path))).test_client(), create_app(Settings()).test_client()]


@settings(max_examples=60)
@given(readings=st.lists(readings(), min_size=1, max_size=6), survey=st.none() | surveys(), units=st.sampled_from(["", "inch", "metric"]),
       engine=st.sampled_from(["H", "other"]))  # fmt: skip
def test_every_limit_that_an_item_names_is_told_once(shops, readings, survey, units, engine):
    body: dict[str, Any] = {
        "engine": {"id": engine, "engine_class": "slow-open-crank", "dimensions": {name: quantity(v, "in") for name, v in SIZES.items()}},
        "readings": [{"characteristic": "flywheel-rim-speed", "value": quantity(3000, "ft/min"), "standard_uncertainty": quantity(50, "ft/min")},
                     *readings],
    }  # fmt: skip
    body |= {"surveys": [survey]} if survey else {}
    body |= {"units": units} if units else {}
    for shop in shops:
        response = shop.post("/v1/verdicts", json=body)
        assert response.status_code == 200, response.json
        answer = response.json
        named = {item["limit_id"] for item in answer["items"] if item["limit_id"]}
        assert named == set(answer["limits"])
        for item in answer["items"]:
            told = answer["limits"].get(item["limit_id"])
            assert told is None or (told["limit_id"], told["characteristic"]) == (item["limit_id"], item["characteristic"])
    assert ("my-rim" in answer["limits"]) is False
