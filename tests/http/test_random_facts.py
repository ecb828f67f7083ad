"""Whatever a sheet tells beside its readings, sense or nonsense, every paper is made or refused with its reasons; nothing fails."""

from __future__ import annotations

import random
from typing import Any

import pytest
import simplejson
from marshmallow import fields
from tests.papers.sheets import RAW

from halfthou_service.http.schemas.facts import FactsSchema, Measure, Whole
from halfthou_service.http.schemas.fields import Flag, Text, Word
from halfthou_specdb.units import UNITS

SIZES = (1e-9, 0.0005, 0.001, 0.01, 0.25, 1, 2, 5.25, 100, 1e9)
PLACES = ("left main", "rod", "ring 1", "crankpin", "exhaust", "gear side")
PARTS = ("crankshaft", "rod-bearing", "main-bearings", "cylinder", "piston", "wrist-pin", "flywheel-hub")
ADDRESSES = ("/v1/verdicts", "/v1/readiness?format=html", "/v1/work-orders", "/v1/work-orders?format=html", "/v1/comparisons?format=csv")


class Chooser:
    """Draws facts from their own schema, and readings from the table."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def quantity(self, dimension: str) -> dict[str, Any]:
        return {"value": self.random.choice(SIZES), "unit": self.random.choice([u.token for u in UNITS.values() if u.dimension == dimension])}

    def drawn(self, field: Any) -> Any:
        if isinstance(field, Measure):
            return self.quantity(field.dimension)
        if isinstance(field, fields.List):
            return [self.drawn(field.inner) for _ in range(self.random.randint(0, 4))]
        if isinstance(field, fields.Nested):
            return {name: self.drawn(f) for name, f in field.schema.fields.items() if f.required or self.random.random() < 0.8}
        if isinstance(field, Whole):
            return self.random.randint(field.low, field.high)
        kinds = {Flag: lambda: self.random.random() < 0.5, Word: lambda: self.random.choice(field.words), Text: lambda: self.random.choice(PLACES)}
        return kinds[type(field)]()

    def facts(self, table: Any) -> dict[str, Any]:
        known = {name: f for name, f in FactsSchema().fields.items() if name not in ("measured", "found")}
        sizes = self.random.sample([w for w in table.characteristics.values() if w.value_kind != "finding"], 12)
        return {name: self.drawn(f) for name, f in known.items()} | {
            "measured": [{"characteristic": w.id, "value": {"value": self.random.choice(SIZES), "unit": w.unit}} for w in sizes]}  # fmt: skip

    def reading(self, number: int, what: Any) -> dict[str, Any]:
        told: dict[str, Any] = {"id": f"r{number}", "characteristic": what.id, "state": self.random.choice(("as_found", "as_found", "as_made"))}
        if what.value_kind == "finding":
            return told | {"finding": self.random.choice(what.words).word}
        told |= {"value": {"value": self.random.choice(SIZES), "unit": what.unit}, "confirmed": True}
        return told | ({"relative": "before"} if what.datum else {}) | ({"place": {"instance": what.instances[0]}} if what.instances else {})

    def wish(self) -> dict[str, Any]:
        low = self.random.choice(SIZES)
        return {"send": True, "low": {"value": low, "unit": "in"}, "high": {"value": low * 2, "unit": "in"}, "mate": self.quantity("length"),
                "fillet": self.quantity("length")}  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_no_paper_fails(client, table, seed):
    draw = Chooser(seed)
    chosen = draw.random.sample(list(table.characteristics.values()), 40)
    body = {
        "engine": RAW["engine"], "readings": [draw.reading(n, what) for n, what in enumerate(chosen)], "facts": draw.facts(table),
        "wishes": {part: draw.wish() for part in PARTS}, "remedies": True, "stage": "first-start", "units": draw.random.choice(("inch", "metric")),
    }  # fmt: skip
    answers = {}
    for path in ADDRESSES:
        text = simplejson.dumps({"sheet": body} if "comparisons" in path else body, use_decimal=True)
        answers[path] = client.post(path, data=text, content_type="application/json")
    assert {path: answer.status_code for path, answer in answers.items() if answer.status_code not in (200, 422)} == {}
    assert answers["/v1/verdicts"].status_code == 200
