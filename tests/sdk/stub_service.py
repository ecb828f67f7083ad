"""A stand-in for the service: a few routes of the contract as a plain WSGI application, so that the SDK is tested alone."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qsl

CLEARANCE = "rod-bearing-running-clearance"
LIMIT = {
    "characteristic": CLEARANCE,
    "engine_class": "slow-open-crank",
    "use": "work",
    "size": {"value": 2.25, "unit": "in"},
    "limit_id": "rod-clearance-poured",
    "kind": "limit",
    "edition": "0.1.0+test",
    "basis": "diametral",
    "rule_text": "0.001 of the crankpin to 0.0015 of it and half a thou",
    "reasoning": "Invented for this test.",
    "fit": {"low": {"value": 0.00225, "unit": "in"}, "high": {"value": 0.003875, "unit": "in"}},
    "wear": {"low": "none_on_file", "high": {"value": 0.00675, "unit": "in"}},
    "standing": {"fit_low": "stated", "fit_high": "our-judgement", "wear_high": "our-judgement"},
    "grade": "derived",
    "side_meaning": {"low": "too tight", "high": "worn"},
    "evidence": [
        {
            "id": "E1", "work": "a-handbook", "locator": "p. 1", "grade": "published", "written_for": "slow engines",
            "says": "0.001 in per inch", "comparable": True, "interval": {"low": "none_on_file", "high": {"value": 2.25, "unit": "thou"}},
            "stance": "differs",
        },
        {"id": "E2", "says": "0.003 in", "comparable": False, "why_not": "another size"},
    ],
    "cautions": [{"id": "C1", "hazard": "crushing", "says": "Block the flywheel."}],
    "some_field_of_a_later_release": [1, 2, 3],
}  # fmt: skip
CHARACTERISTIC = {
    "id": CLEARANCE,
    "name": "Connecting-rod bearing running clearance",
    "component": "connecting-rod",
    "scales_with": ["crankpin", "crankpin-length"],
    "definition": "How much larger the bearing is than its pin.",
    "how_to_measure": "Plastic strip, caps drawn up.",
    "synonyms": ["how loose is the rod"],
    "start_critical": True,
}
TEXT = {
    "within_fit": "Rod 3 thou by strip: put it back.",
    "usable": "Rod 4.5 thou by strip: put it back, worn.",
    "beyond_limit": "Rod 9 thou by strip: do not put it back.",
    "stop": "Hub cracked from the keyway: do not run this wheel.",
    "undecided": "Rod 6.7 thou by strip: that tool cannot tell.",
    "not_judged": "Not judged: the table knows no such thing.",
}


@dataclass
class Stub:
    """The application; ``seen`` holds what it was asked: method, path, parameters, headers, body."""

    seen: list[tuple[str, str, list[tuple[str, str]], dict[str, str], bytes]] = field(default_factory=list)
    missing: list[Any] = field(default_factory=list)

    def __call__(self, environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        path, method = environ["PATH_INFO"], environ["REQUEST_METHOD"]
        params = parse_qsl(environ["QUERY_STRING"])
        headers = {name: value for name, value in environ.items() if name.startswith(("HTTP_", "CONTENT_"))}
        body = environ["wsgi.input"].read()
        self.seen.append((method, path, params, headers, body))
        status, answer = self.answer(method, path, dict(params), headers, body)
        etag = f'"{len(json.dumps(answer))}"'
        fields = [("Spec-Edition", "0.1.0+test"), ("Request-Id", "r-1")]
        if status == 200 and method == "GET":
            fields.append(("ETag", etag))
            if headers.get("HTTP_IF_NONE_MATCH") == etag:
                start_response("304 NOT MODIFIED", fields)
                return [b""]
        kind = "application/json" if status < 400 else "application/problem+json"
        start_response(f"{status} X", [*fields, ("Content-Type", kind)])
        return [json.dumps(answer).encode()]

    def answer(
        self, method: str, path: str, params: dict[str, str], headers: dict[str, str], body: bytes
    ) -> tuple[int, Any]:
        if path == "/v1/verdicts" and method == "POST":
            return self.verdicts(headers, body)
        if path == "/v1/limits":
            return self.limit(params)
        if path == f"/v1/characteristics/{CLEARANCE}":
            return 200, CHARACTERISTIC
        if path == "/v1/characteristics/flywheel-hub-crack":
            return 200, {"id": "flywheel-hub-crack", "name": "Hub crack", "component": "flywheel"}
        if path == "/v1/characteristics":
            return 200, {"items": [CHARACTERISTIC] if "loose" in params.get("q", "loose") else []}
        if path == "/v1/works":
            if "cursor" in params:
                return 200, {"items": [{"id": "b", "title": "B"}]}
            return 200, {"items": [{"id": "a", "title": "A"}], "next": "/v1/works?cursor=x"}
        if path == "/v1/cautions":
            return 200, {
                "items": [{"id": "C1", "hazard": "fuel", "when": "soldering", "says": "No heat on a tank, ever."}]
            }
        if path == "/v1/instruments":
            return 200, {"items": [{"id": "feeler", "name": "feeler gauge", "cannot_see": "a hollow"}]}
        if path in ("/v1/engine-classes", "/v1/editions", "/v1/materials"):
            return 200, {"items": [{"id": "one", "name": "One", "current": True}]}
        if path == "/v1/units":
            return 200, {"items": [{"token": "thou", "dimension": "length"}]}
        return 404, {"type": "/problems/unknown-characteristic", "title": "No such thing", "status": 404,
                     "detail": "no characteristic is called that", "near": [CLEARANCE]}  # fmt: skip

    def limit(self, params: dict[str, str]) -> tuple[int, Any]:
        if params["characteristic"] != CLEARANCE:
            return 200, {"characteristic": params["characteristic"], "limit_id": None, "text": "Nobody publishes this."}
        return 200, LIMIT

    def verdicts(self, headers: dict[str, str], body: bytes) -> tuple[int, Any]:
        text = body.decode() if headers["CONTENT_TYPE"].startswith("text/csv") else json.loads(body).get("csv")
        if text is not None:
            words = [line.split(",")[-1] for line in text.strip().splitlines()[1:]]
            readings: list[dict[str, Any]] = [{"id": f"r{n}", "note": word} for n, word in enumerate(words, 1)]
        else:
            readings = json.loads(body)["readings"]
        items = []
        for reading in readings:
            word = "stop" if reading.get("finding") else reading.get("note") or "usable"
            items.append({
                "id": reading["id"], "verdict": word, "characteristic": reading.get("characteristic", CLEARANCE),
                "component": "flywheel" if word == "stop" else "connecting-rod", "side": "high", "as_new": "no", "p_fit": 0.4,
                "p_serviceable": 0.999, "value": {"value": 3.8, "unit": "thou"}, "standard_uncertainty": {"value": 0.4, "unit": "thou"},
                "degrees_of_freedom": 12.5, "limit_id": "rod-clearance-poured", "text": TEXT.get(word, word),
                "assumed": ["measured with a plastic strip"],
            })  # fmt: skip
        counts: dict[str, int] = {}
        for item in items:
            counts[item["verdict"]] = counts.get(item["verdict"], 0) + 1
        overall = {"counts": counts, "text": "In short.", "stops": counts.get("stop", 0), "not_looked_at": len(self.missing),
                   "wrong_pass_bound": 0.034}  # fmt: skip
        return 200, {"edition": "0.1.0+test", "overall": overall, "limits": {"rod-clearance-poured": LIMIT}, "items": items,
                     "missing": self.missing, "contradictions": ["r1 and r2 cannot both be so."], "cautions": LIMIT["cautions"]}  # fmt: skip
