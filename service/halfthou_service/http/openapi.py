"""The OpenAPI 3.1 document, generated: requests from the marshmallow schemas, answers from their JSON Schemas."""

from __future__ import annotations

from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin

from halfthou_specdb.records import STAGES, USES
from halfthou_specdb.standards import TABLES

from ..calculations import CALCULATIONS
from . import jsonio, problems
from .answers import JSON
from .fits import SYSTEMS
from .judging import CSV
from .metrics import MEDIA_TYPE as METRICS
from .operations import SQLITE
from .overlays import TOML, TOML_TYPES
from .paging import MOST
from .paper import FORMS
from .reference import RESOURCES
from .schemas import SheetSchema
from .schemas.answer_parts import TEXT, Schema, listed, ref
from .schemas.answers import ANSWERS
from .schemas.calculations import quantity_schemas, request_schema, schema_name
from .schemas.fields import Flag, Number, Text, Word
from .schemas.papers import COMPARISON_ASKED
from .schemas.requests import (
    DECISION_RULES,
    JUDGED_BY,
    SECOND_OPINION,
    UNITS,
    LimitsSheetSchema,
    PaperSchema,
    PartsBackSchema,
)

VERSION = "1"
SCHEMA_OF = {"engine-classes": "EngineClass", "works": "Work", "instruments": "Instrument", "materials": "Material",
             "cautions": "Caution", "units": "Unit", "dimensions": "Dimension", "features": "Feature", "facts": "Fact"}  # fmt: skip
HEADERS: Schema = {
    "Request-Id": {"description": "id of this request, the client's own where it sent one", "schema": TEXT},
    "Spec-Edition": {"description": "edition of the data", "schema": TEXT},
}
QUANTITY = {"type": "string", "maxLength": 120}


def _parameter(name: str, says: str, schema: Schema | None = None, *, required: bool = False, place: str = "query") -> Schema:
    return {"name": name, "in": place, "required": required, "description": says, "schema": schema or {"type": "string", "maxLength": 200}}


def _word(name: str, says: str, words: tuple[str, ...], default: str = "") -> Schema:
    return _parameter(name, says, {"type": "string", "enum": list(words)} | ({"default": default} if default else {}))


ENGINE = (
    _parameter("engine", "your own name for the engine; an owner's overlay is bound to one"),
    _word("use", "what the engine is for", USES, "work"),
    _parameter("features", "ids of /v1/features with commas between; not:<feature> for one it lacks"),
    _parameter("dimension.crankpin", "a nominal size, such as 2-1/4 in; likewise dimension.<name> for every id of /v1/dimensions", QUANTITY),
)
ENGINE_CLASS = "an id of /v1/engine-classes of kind class"
PAGING = (
    _parameter("limit", "most items of one page", {"type": "integer", "minimum": 1, "maximum": MOST, "default": MOST}),
    _parameter("cursor", "from the next of the page before"),
)


def _answers(status_200: Schema, media_type: str = JSON, *refusals: str, tagged: bool = True) -> Schema:
    headers = HEADERS | ({"ETag": {"description": "strong tag of this answer", "schema": TEXT}} if tagged else {})
    found: Schema = {"200": {"description": "the answer", "headers": headers, "content": {media_type: {"schema": status_200}}}}
    if tagged:
        found["304"] = {"description": "not changed since the tag that was sent", "headers": headers}
    for status in (*refusals, "406", "429", "500"):
        found[status] = {"$ref": "#/components/responses/Problem"}
    return found


def _get(says: str, schema: Schema, parameters: tuple[Schema, ...] = (), *refusals: str, name: str, tag: str) -> Schema:
    return {"get": {"operationId": name, "summary": says, "tags": [tag], "parameters": list(parameters),
                    "responses": _answers(schema, JSON, "400", *refusals)}}  # fmt: skip


def _spec() -> APISpec:
    plugin = MarshmallowPlugin()
    spec = APISpec(
        title="halfthou", version=VERSION, openapi_version="3.1.0", plugins=[plugin],
        info={"description": "What a measurement on an old single-cylinder engine should be, who says so, and what a reading means."},
        servers=[{"url": "/"}],
    )  # fmt: skip
    assert plugin.converter is not None
    for field, kind in ((Number, "number"), (Text, "string"), (Word, "string"), (Flag, "boolean")):
        plugin.map_to_openapi_type(field, kind, None)  # type: ignore[no-untyped-call]
    spec.components.schema("SecondOpinionAsked", SECOND_OPINION)
    for name, request in (("Sheet", SheetSchema), ("PaperAsked", PaperSchema), ("LimitsSheetAsked", LimitsSheetSchema),
                          ("PartsBackAsked", PartsBackSchema)):
        spec.components.schema(name, schema=request)
    spec.components.schema("ComparisonAsked", COMPARISON_ASKED)
    requests = {schema_name(what): request_schema(what) for what in CALCULATIONS.values()}
    for name, schema in (ANSWERS | quantity_schemas() | requests).items():
        spec.components.schema(name, schema)
    spec.components.response("Problem", {
        "description": "a problem document (RFC 9457); its type is a page of this service", "headers": HEADERS,
        "content": {problems.MEDIA_TYPE: {"schema": ref("Problem")}},
    })  # fmt: skip
    return spec


def document() -> dict[str, Any]:
    """The document as plain values."""
    spec = _spec()
    paths: dict[str, Schema] = {}
    _limits(paths)
    _characteristics(paths)
    _reference(paths)
    _verdicts(paths)
    _papers(paths)
    _standards(paths)
    _calculations(paths)
    _own_and_usual(paths)
    _pages(paths)
    _operations(paths)
    for path, operations in paths.items():
        spec.path(path=path, operations=operations)
    found: dict[str, Any] = spec.to_dict()
    return found


def document_text() -> str:
    """The document as it is served and committed."""
    return jsonio.dumps(document(), indent=1) + "\n"


def _limits(paths: dict[str, Schema]) -> None:
    paths["/v1/limits"] = _get(
        "One limit, resolved for an engine, with who says so and who differs", ref("Limit"),
        (_parameter("characteristic", "an id of /v1/characteristics", required=True), _parameter("engine_class", ENGINE_CLASS, required=True),
         _parameter("size", "the dimension this characteristic scales with, such as 2-1/4 in", QUANTITY), *ENGINE,
         _word("units", "units of the answer; those of the size where left out", UNITS),
         _word("evidence", "how much evidence to give", ("full", "ids", "none"), "full")),
        "404", "422", name="getLimit", tag="limits",
    )  # fmt: skip


def _characteristics(paths: dict[str, Schema]) -> None:
    paths["/v1/characteristics"] = _get(
        "What can be measured or looked at, listed or searched", listed("CharacteristicInShort"),
        (_parameter("q", "words to search for"), _parameter("component", "only those of one component"),
         _word("stage", "only those of one stage", STAGES), *PAGING),
        name="listCharacteristics", tag="table",
    )  # fmt: skip
    paths["/v1/characteristics/{characteristic_id}"] = _get(
        "Everything about one characteristic", ref("Characteristic"), (_parameter("characteristic_id", "its id", required=True, place="path"),),
        "404", name="getCharacteristic", tag="table",
    )  # fmt: skip


def _reference(paths: dict[str, Schema]) -> None:
    for resource in RESOURCES:
        schema, word = SCHEMA_OF[resource.name], resource.name.title().replace("-", "")
        paths[resource.path] = _get(f"The list: {resource.name}", listed(schema), PAGING, name=f"list{word}", tag="table")
        if resource.single:
            paths[f"{resource.path}/{{record_id}}"] = _get(
                f"One {resource.kind}", ref(schema), (_parameter("record_id", "its id", required=True, place="path"),), "404",
                name=f"get{schema}", tag="table",
            )  # fmt: skip
    paths["/v1/editions"] = _get("Editions of the data", listed("Edition"), PAGING, name="listEditions", tag="table")
    paths["/v1/editions/{old}/diff/{new}"] = _get(
        "What changed from one edition to another", listed("Change"),
        (_parameter("old", "an edition, or current", required=True, place="path"),
         _parameter("new", "an edition, or current", required=True, place="path"), *PAGING), "404", name="compareEditions", tag="table",
    )  # fmt: skip


def _rules_in_query(*names: str) -> tuple[Schema, ...]:
    told: dict[str, Schema] = {
        "confidence": _parameter("confidence", "text/csv only: above 0.5 and below 1"),
        "decision_rule": _word("decision_rule", "text/csv only", DECISION_RULES),
        "ratio": _parameter("ratio", "text/csv only: N of simple_n_to_1, from 1 to 100; 4 without it"),
        "judged_by": _word("judged_by", "text/csv only", JUDGED_BY), "stage": _word("stage", "text/csv only", STAGES),
        "units": _word("units", "text/csv only", UNITS), "remedies": _word("remedies", "text/csv only", ("true", "false"), "false"),
        "engine": _parameter("engine", "text/csv only: your own name for the engine"),
    }  # fmt: skip
    return tuple(told[name] for name in names)


SHEET_IN_QUERY = (
    _parameter("engine_class", f"text/csv only: {ENGINE_CLASS}"),
    *(dict(p, description=f"text/csv only: {p['description']}") for p in ENGINE),
    *_rules_in_query("confidence", "decision_rule", "ratio", "judged_by", "stage", "units", "remedies"),
)
SHEET_BODY: Schema = {"required": True, "content": {JSON: {"schema": ref("Sheet")}, CSV: {"schema": TEXT}}}
FORMAT = _word("format", "the form of the answer; it stands over Accept", tuple(FORMS))


def _verdicts(paths: dict[str, Schema]) -> None:
    paths["/v1/verdicts"] = {"post": {
        "operationId": "judge", "summary": "Judge a sheet of readings; nothing is kept", "tags": ["verdicts"],
        "parameters": list(SHEET_IN_QUERY), "requestBody": SHEET_BODY,
        "responses": _answers(ref("Verdicts"), JSON, "400", "413", "415", "422", tagged=False),
    }}  # fmt: skip


def _papers(paths: dict[str, Schema]) -> None:
    def paper(path: str, name: str, says: str, answer: str, body: Schema, *parameters: Schema, forms: tuple[str, ...] = tuple(FORMS)) -> None:
        responses = _answers(ref(answer), JSON, "400", "413", "415", "422", tagged=False)
        responses["200"]["content"] |= {FORMS[form]: {"schema": TEXT} for form in forms if form != "json"}
        told = dict(FORMAT, schema={"type": "string", "enum": list(forms)})
        paths[path] = {"post": {"operationId": name, "summary": says, "tags": ["papers"], "parameters": [told, *parameters], "requestBody": body,
                                "responses": responses}}  # fmt: skip

    def json_body(name: str) -> Schema:
        return {"required": True, "content": {JSON: {"schema": ref(name)}}}

    paper("/v1/readiness", "readiness", "What was found against putting it together or starting it, and what nobody looked at", "Readiness",
          SHEET_BODY, *SHEET_IN_QUERY)
    paper("/v1/limits-sheets", "limitsSheet", "Every limit of one engine on paper", "LimitsSheet", json_body("LimitsSheetAsked"))
    paper("/v1/as-found-sheets", "asFoundSheet", "What to write down before anything is turned", "AsFoundSheet", json_body("PaperAsked"))
    paper("/v1/as-found-sheets/filled", "readAsFound", "A filled as-found form, read back", "FilledSheet",
          {"required": True, "content": {CSV: {"schema": TEXT}}}, forms=("json", "csv"))
    paper("/v1/work-orders", "workOrder", "What each machinist is told of each part", "WorkOrder", SHEET_BODY, *SHEET_IN_QUERY,
          _parameter("part", "the machinist's copy of one part alone, by its id"))
    paper("/v1/parts-back", "partsBack", "Finished sizes, his and yours, against the order", "PartsBack",
          {"required": True, "content": {JSON: {"schema": ref("PartsBackAsked")}, CSV: {"schema": TEXT}}},
          *_rules_in_query("engine", "confidence", "decision_rule", "ratio", "units"))
    paper("/v1/comparisons", "comparison", "Two sheets of one engine: what changed, and whether it really did", "Comparison",
          json_body("ComparisonAsked"))


def _standards(paths: dict[str, Schema]) -> None:
    paths["/v1/fits"] = _get(
        "A fit at a size, or with low and high the fits that give this clearance; HTML with a drawing for a browser",
        {"anyOf": [ref("Fit"), ref("FitsGiving")]},
        (_parameter("size", "nominal size, such as 25 mm or 2-1/4 in", QUANTITY, required=True),
         _parameter("designation", "such as H7/g6 or RC5"), _parameter("low", "tightest clearance wanted; below zero an interference", QUANTITY),
         _parameter("high", "loosest clearance wanted", QUANTITY), _word("system", "where to look for low and high", SYSTEMS, "any"),
         _word("units", "units of the answer; those of the size where left out", UNITS)),
        "422", name="getFits", tag="standards",
    )  # fmt: skip
    paths["/v1/fits"]["get"]["responses"]["200"]["content"]["text/html"] = {"schema": TEXT}
    paths["/v1/standards"] = _get("The standard tables: columns, and what each may be asked by", listed("StandardTable"), PAGING,
                                  name="listStandards", tag="standards")  # fmt: skip
    says: dict[str, list[str]] = {}
    for table in TABLES.values():
        for p in table.parameters:
            says.setdefault(p.name, []).append(f"{table.id}: {p.says}" + (f" ({', '.join(p.allowed)})" if p.allowed else ""))
    paths["/v1/standards/{table_id}"] = _get(
        "The rows of one table that answer the parameters; each table takes its own", ref("StandardAnswer"),
        (_parameter("table_id", "its id", {"type": "string", "enum": list(TABLES)}, required=True, place="path"),
         *(_parameter(name, "; ".join(texts)) for name, texts in says.items())),
        "404", "422", name="getStandard", tag="standards",
    )  # fmt: skip


def _calculations(paths: dict[str, Schema]) -> None:
    its_id = _parameter("calculation_id", "its id", {"type": "string", "enum": list(CALCULATIONS)}, required=True, place="path")
    paths["/v1/calculations"] = _get("Every calculation, in short", listed("CalculationInShort"), PAGING, name="listCalculations",
                                     tag="calculations")  # fmt: skip
    one = "/v1/calculations/{calculation_id}"
    paths[one] = _get("What a calculation takes and answers, where it holds, what it rests on", ref("Calculation"), (its_id,), "404",
                      name="getCalculation", tag="calculations")  # fmt: skip
    paths[one]["post"] = {
        "operationId": "calculate", "summary": "Work one out; each calculation has a request schema of its own", "tags": ["calculations"],
        "parameters": [its_id],
        "requestBody": {"required": True, "content": {JSON: {"schema": {"anyOf": [ref(schema_name(what)) for what in CALCULATIONS.values()]}}}},
        "responses": _answers(ref("CalculationAnswer"), JSON, "400", "404", "413", "415", "422", tagged=False),
    }  # fmt: skip


def _own_and_usual(paths: dict[str, Schema]) -> None:
    paths["/v1/typical-dimensions"] = _get(
        "Usual sizes for a power: guesses to start from, never used for a verdict", ref("Guesses"),
        (_parameter("power", "rated power, such as 5 hp", QUANTITY, required=True), _parameter("engine_class", ENGINE_CLASS),
         _parameter("stroke", "to choose between two bands of power, and to doubt the guess where it is unusual", QUANTITY),
         _word("units", "units of the answer; those on file where left out", UNITS)),
        "404", "422", name="guess", tag="table",
    )  # fmt: skip
    paths["/v1/overlays/template"] = {"get": {
        "operationId": "beginOverlay", "summary": "A file of the owner's own figures to start from", "tags": ["overlays"],
        "parameters": [_parameter("engine", "your own name for the engine", required=True)], "responses": _answers(TEXT, TOML, "400"),
    }}  # fmt: skip
    paths["/v1/overlays/check"] = {"post": {
        "operationId": "checkOverlay", "summary": "Every fault of such a file, or what it would change; nothing is kept", "tags": ["overlays"],
        "parameters": [], "requestBody": {"required": True, "content": {media_type: {"schema": TEXT} for media_type in TOML_TYPES}},
        "responses": _answers(ref("OverlayCheck"), JSON, "400", "413", "415", tagged=False),
    }}  # fmt: skip


def _pages(paths: dict[str, Schema]) -> None:
    name = _parameter("page", "a component, or coverage, or usual-sizes", required=True, place="path")
    for path, says, operation, parameters in (("/table", "The pages of the table", "listPages", []),
                                              ("/table/{page}", "One page of the table: limits, reasoning, evidence, cautions", "getPage", [name])):
        responses = _answers(TEXT, "text/html", "400", *(["404"] if parameters else []))
        responses["200"]["content"]["text/markdown"] = {"schema": TEXT}
        paths[path] = {"get": {"operationId": operation, "summary": says, "tags": ["pages"], "parameters": parameters, "responses": responses}}


def _operations(paths: dict[str, Schema]) -> None:
    def plain(path: str, name: str, says: str, schema: Schema, media_type: str = JSON, *refusals: str, tagged: bool = False) -> None:
        paths[path] = {"get": {"operationId": name, "summary": says, "tags": ["operations"], "parameters": [],
                               "responses": _answers(schema, media_type, *refusals, tagged=tagged)}}  # fmt: skip

    plain("/openapi.json", "getOpenapi", "This document", {"type": "object"}, JSON, "400", tagged=True)
    plain("/livez", "getLivez", "The process answers", ref("State"))
    plain("/readyz", "getReadyz", "The data file opens", ref("State"), JSON, "503")
    plain("/metrics", "getMetrics", "Counts and times for Prometheus", TEXT, METRICS)
    plain("/specdb.sqlite", "getSpecdb", "The whole table as one SQLite file", {}, SQLITE, "400", "503", tagged=True)
    plain("/problems", "listProblems", "Every kind of problem", listed("ProblemKind"), tagged=True)
    paths["/problems/{slug}"] = _get("One kind of problem; HTML for a browser", ref("ProblemKind"),
                                     (_parameter("slug", "its slug", required=True, place="path"),), "404", name="getProblem",
                                     tag="operations")  # fmt: skip
    pages = paths["/problems/{slug}"]["get"]["responses"]
    pages["200"]["content"]["text/html"] = {"schema": TEXT}


if __name__ == "__main__":  # python -m halfthou_service.http.openapi > docs/openapi.json
    print(document_text(), end="")
