"""JSON Schemas of what the service answers, for the OpenAPI document; live answers are checked against them in the tests."""

from __future__ import annotations

from halfthou_specdb.editions import PLACES
from halfthou_specdb.records import STAGES, USES

from ...bench.decide import VERDICTS
from .answer_parts import (
    CHANCE,
    COUNT,
    FLAG,
    GRADE,
    MAYBE_NUMBER,
    MAYBE_TEXT,
    NUMBER,
    TEXT,
    TEXTS,
    Schema,
    by_name,
    many,
    maybe,
    one_of,
    record,
    ref,
)
from .papers import PAPERS

FIGURES = ("smallest", "largest", "mean", "spread", "out-of-round", "out-of-round-at-station", "signed-out-of-round", "taper", "signed-taper",
           "taper-on-axis", "wear", "smallest-clearance", "largest-clearance")  # fmt: skip
"""Names of what follows from a survey."""
ENDS = ("fit_low", "fit_high", "wear_low", "wear_high")
LIMIT_KINDS = ("limit", "guide", "safety", "finding", "none_published", "none_on_file")
_LIMIT: Schema = {
    "characteristic": TEXT, "name": TEXT, "component": TEXT, "engine_class": TEXT, "use": one_of(*USES), "size": maybe("AnswerQuantity"),
    "limit_id": MAYBE_TEXT, "kind": one_of(*LIMIT_KINDS), "basis": TEXT, "unit": MAYBE_TEXT, "sizes": TEXT, "rule_text": TEXT,
    "reasoning": TEXT, "fit": ref("Interval"), "wear": ref("Interval"), "serviceable": ref("Interval"),
    "standing": by_name(one_of("stated", "carried-over", "our-judgement", "owner")), "grades": by_name(GRADE),
    "grade": {"oneOf": [GRADE, {"type": "null"}]}, "carried_from": by_name(TEXTS),
    "side_meaning": record(low=TEXT, high=TEXT), "side_says": record(low=TEXT, high=TEXT), "asked": TEXTS, "text": TEXT,
}  # fmt: skip
_PROBLEM_ENTRY = record(
    {"pointer": TEXT, "parameter": TEXT, "near": TEXTS, "allowed": TEXTS, "line": COUNT, "column": TEXT}, code=TEXT, detail=TEXT
)
_FIT: Schema = {
    "designation": TEXT, "system": one_of("iso-286", "ansi-b4.1"), "kind": one_of("clearance", "transition", "interference"), "basis": TEXT,
    "hole": ref("FitPart"), "shaft": ref("FitPart"), "clearance": record(tightest=ref("AnswerQuantity"), loosest=ref("AnswerQuantity")),
    "grade": GRADE, "from_memory": TEXTS, "use": MAYBE_TEXT, "text": TEXT,
}  # fmt: skip
_TABLE: Schema = {
    "id": TEXT, "title": TEXT, "standard": TEXT, "path": TEXT,
    "columns": many(record(name=TEXT, says=TEXT, unit=MAYBE_TEXT, kind=one_of("words", "number"))),
    "parameters": many(record(name=TEXT, kind=one_of("length", "number", "text", "word"), says=TEXT, allowed=TEXTS)),
}  # fmt: skip

ANSWERS: dict[str, Schema] = {
    "AnswerQuantity": record(value=NUMBER, unit=TEXT),
    "Bound": {"oneOf": [ref("AnswerQuantity"), one_of("unbounded", "none_on_file")]},
    "Interval": record(low=ref("Bound"), high=ref("Bound")),
    "Caution": record(id=TEXT, hazard=TEXT, when=TEXT, says=TEXT, grade=GRADE, work=MAYBE_TEXT, locator=TEXT),
    "Word": record(word=TEXT, aliases=TEXTS, meaning=TEXT, verdict=TEXT, veto=TEXT, remedy=TEXT),
    "Evidence": record(
        {"work": MAYBE_TEXT, "title": MAYBE_TEXT, "locator": TEXT, "grade": GRADE, "kin": TEXT, "written_for": TEXT, "says": TEXT,
         "kind": one_of("fit", "wear", "typical"), "basis": TEXT, "when": TEXTS, "sizes": TEXT, "note": TEXT, "second_reading": MAYBE_TEXT,
         "scan_doubt": FLAG, "why_not": TEXT, "interval": maybe("Interval"), "unit": MAYBE_TEXT},
        id=TEXT, comparable=FLAG, stance=one_of("supports", "differs", ""),
    ),
    "Limit": record(
        {"instead": TEXT, "words": many(ref("Word")), "works_supporting": COUNT, "works_differing": COUNT}, **_LIMIT, edition=TEXT,
        near_misses=TEXTS, evidence=many(ref("Evidence")), cautions=many(ref("Caution")),
    ),
    "LimitInShort": record({"instead": TEXT}, **_LIMIT, cautions=TEXTS),
    "Problem": record(
        {"near": TEXTS, "errors": many(_PROBLEM_ENTRY), "errors_not_shown": COUNT},
        type=TEXT, title=TEXT, status=COUNT, detail=TEXT, instance=TEXT, request_id=TEXT,
    ),
    "ItemProblem": record(
        {"pointer": TEXT, "allowed": TEXTS, "line": COUNT, "column": TEXT}, type=TEXT, code=TEXT, detail=TEXT, near=TEXTS
    ),
    "BudgetLine": record(name=TEXT, standard_uncertainty=ref("AnswerQuantity"), grade=TEXT, random=FLAG),
    "Settles": record(how=one_of("instrument", "repeats", "hands", "neither"), capable=FLAG, instrument=MAYBE_TEXT,
                      repeats={"type": ["integer", "null"]}, test=MAYBE_TEXT),
    "SourceVerdict": record(work=TEXT, written_for=TEXT, verdict=one_of(*VERDICTS), p_fit=CHANCE, p_serviceable=CHANCE, evidence=TEXTS,
                            text=TEXT),
    "SecondOpinion": record(
        opinion=one_of("supports", "warns", "cannot_tell"), text=TEXT, clearance_per_diameter=maybe("AnswerQuantity"),
        films=many(record(case=TEXT, load=ref("AnswerQuantity"), film=maybe("AnswerQuantity"), regime=TEXT, enough=FLAG)),
        least_film=maybe("AnswerQuantity"), between=many(record(clearance=ref("AnswerQuantity"), film=maybe("AnswerQuantity"))), needs=TEXTS,
        assumed=TEXTS, flags=many(record(code=TEXT, says=TEXT)), limits=TEXTS, calculation=TEXT,
    ),
    "Item": record(
        {"settles": ref("Settles"), "by_source": many(ref("SourceVerdict")), "problem": ref("ItemProblem"),
         "second_opinion": ref("SecondOpinion"), "remedies": many(ref("Remedy"))},
        id=TEXT, characteristic=MAYBE_TEXT, name=TEXT, component=MAYBE_TEXT, place={"type": ["object", "null"]},
        verdict=one_of(*VERDICTS), side=MAYBE_TEXT, as_new=MAYBE_TEXT, p_fit=CHANCE, p_serviceable=CHANCE,
        value=maybe("AnswerQuantity"), finding=MAYBE_TEXT, standard_uncertainty=maybe("AnswerQuantity"), degrees_of_freedom=MAYBE_NUMBER,
        instrument=MAYBE_TEXT, budget=many(ref("BudgetLine")), limit_id=MAYBE_TEXT, text=TEXT, assumed=TEXTS, veto=MAYBE_TEXT,
        cautions=TEXTS,
    ),
    "Missing": record(characteristic=TEXT, name=TEXT, component=TEXT, instance=MAYBE_TEXT, only_if=TEXTS, stage=one_of(*STAGES),
                      start_critical=FLAG, how_to_measure=TEXT, text=TEXT),
    "Overall": record(counts=by_name(COUNT), by_component=by_name(by_name(COUNT)), stops=COUNT, not_looked_at=COUNT,
                      wrong_pass_bound=CHANCE, text=TEXT),
    "SurveyFigure": record(name=one_of(*FIGURES), characteristic=MAYBE_TEXT, value=ref("AnswerQuantity"),
                           standard_uncertainty=ref("AnswerQuantity"), where=MAYBE_TEXT),
    "SurveyAnswer": record(
        {"problem": ref("ItemProblem")}, id=TEXT, feature=MAYBE_TEXT, instance=MAYBE_TEXT, figures=many(ref("SurveyFigure")), notes=TEXTS,
        u_random=maybe("AnswerQuantity"), u_shared=maybe("AnswerQuantity"), items=TEXTS,
    ),
    "Verdicts": record(
        {"ratio": NUMBER, "readiness": ref("ReadinessInShort")},
        edition=TEXT, decision_rule=TEXT, confidence=NUMBER, judged_by=TEXT, engine={"type": "object"}, overall=ref("Overall"),
        limits=by_name(ref("LimitInShort")), items=many(ref("Item")), surveys=many(ref("SurveyAnswer")), missing=many(ref("Missing")),
        contradictions=many(record(ids=TEXTS, text=TEXT)), cautions=many(ref("Caution")),
    ),
    "CharacteristicInShort": record(id=TEXT, name=TEXT, component=TEXT, synonyms=TEXTS, definition=TEXT, value_kind=TEXT, unit=MAYBE_TEXT,
                                    basis=TEXT, scales_with=TEXTS, stage=one_of(*STAGES), start_critical=FLAG),
    "Characteristic": record(
        id=TEXT, name=TEXT, component=TEXT, definition=TEXT, how_to_measure=TEXT, value_kind=TEXT, unit=MAYBE_TEXT, instruments=TEXTS,
        low_side=record(meaning=TEXT, says=TEXT), high_side=record(meaning=TEXT, says=TEXT), stage=one_of(*STAGES), grade=GRADE,
        words=many(ref("Word")), limits=many({"type": "object"}), none_published=many({"type": "object"}),
    ),
    "EngineClass": record(id=TEXT, kind=one_of("class", "kin"), name=TEXT, description=TEXT, implies=TEXTS, nearest_kin=TEXTS),
    "Work": record(id=TEXT, title=TEXT, citation=TEXT),
    "Instrument": record(id=TEXT, name=TEXT, measures=TEXT, default_variant=TEXT, variants=many({"type": "object"})),
    "Material": record(id=TEXT, name=TEXT, expansion=MAYBE_NUMBER, grade=GRADE),
    "Unit": record(token=TEXT, dimension=TEXT, symbol=TEXT, factor=TEXT, offset=TEXT, ucum=MAYBE_TEXT, pint=MAYBE_TEXT, aliases=TEXTS),
    "Dimension": record(id=TEXT, name=TEXT, unit=TEXT),
    "Feature": record(id=TEXT, group=TEXT, says=TEXT),
    "Fact": record(id=TEXT, says=TEXT),
    "Edition": record({"overlay": record(engine=TEXT, title=TEXT, digest=TEXT, figures=COUNT, tools=COUNT)}, id=TEXT, edition=TEXT, current=FLAG),
    "Change": record(record=one_of(*PLACES, "absence"), id=TEXT, field=TEXT, old=TEXT, new=TEXT, number=FLAG),
    "Cell": record(value=NUMBER, unit=MAYBE_TEXT, grade=GRADE, works=TEXTS, note=TEXT),
    "WorkRead": record(id=TEXT, title=TEXT, citation=TEXT, locator=TEXT),
    "FitPart": record(zone=TEXT, low=ref("AnswerQuantity"), high=ref("AnswerQuantity"), lower_deviation=ref("AnswerQuantity"),
                      upper_deviation=ref("AnswerQuantity"), grade=GRADE),
    "FitInShort": record({"within": FLAG, "overhang": ref("AnswerQuantity"), "share": NUMBER}, **_FIT),
    "Fit": record(
        **_FIT, size=ref("AnswerQuantity"), step=record(over=ref("AnswerQuantity"), up_to=ref("AnswerQuantity")),
        cells=many(record(part=one_of("hole", "shaft", "clearance"), what=TEXT, value=NUMBER, unit=MAYBE_TEXT, grade=GRADE, works=TEXTS, note=TEXT)),
        notes=TEXTS, works=many(ref("WorkRead")), edition=TEXT,
    ),
    "FitsGiving": record(size=ref("AnswerQuantity"), wanted=record(low=ref("AnswerQuantity"), high=ref("AnswerQuantity")),
                         items=many(ref("FitInShort")), text=TEXT, edition=TEXT),
    "StandardTable": record(**_TABLE),
    "StandardAnswer": record(
        **_TABLE, rows=many(record(words=by_name(TEXT), numbers=by_name(ref("Cell")), grade=GRADE)), notes=TEXTS, works=many(ref("WorkRead")),
        edition=TEXT,
    ),
    "CalculationInShort": record(id=TEXT, title=TEXT, says=TEXT, path=TEXT, inputs=TEXTS, outputs=TEXTS),
    "CalculationInput": record(
        name=TEXT, kind=TEXT, says=TEXT, required=FLAG, unit=MAYBE_TEXT, units=TEXTS, low=maybe("AnswerQuantity"), low_included=FLAG,
        high=maybe("AnswerQuantity"), choices=TEXTS, most=COUNT, uncertainty_units=TEXTS,
        default={"oneOf": [ref("AnswerQuantity"), TEXT, FLAG, {"type": "null"}]},
    ),
    "CalculationOutput": record(name=TEXT, kind=TEXT, says=TEXT, inch=MAYBE_TEXT, metric=MAYBE_TEXT),
    "Calculation": record(
        id=TEXT, title=TEXT, says=TEXT, path=TEXT, inputs=many(ref("CalculationInput")), outputs=many(ref("CalculationOutput")),
        assumptions=TEXTS, references=TEXTS, warnings=TEXTS, cautions=many(ref("Caution")), docs=TEXT, schema=TEXT, edition=TEXT,
    ),
    "CalculationAnswer": record(
        id=TEXT, title=TEXT, edition=TEXT,
        outputs=many(record(name=TEXT, says=TEXT, kind=TEXT, value={"type": ["number", "boolean", "null"]}, text=MAYBE_TEXT, unit=MAYBE_TEXT,
                            standard_uncertainty=maybe("AnswerQuantity"))),
        flags=many(record(code=TEXT, says=TEXT)), assumed=TEXTS, assumptions=TEXTS, references=TEXTS, warnings=TEXTS,
        cautions=many(ref("Caution")),
    ),
    "Guess": record(
        guess={"const": True}, id=TEXT, dimension=TEXT, name=TEXT, engine_class=TEXT, low=ref("AnswerQuantity"), high=ref("AnswerQuantity"),
        unit=TEXT, one_engine=FLAG, grade=GRADE, note=TEXT, for_power=record(low=ref("AnswerQuantity"), high=ref("AnswerQuantity")),
    ),
    "Guesses": record(guess={"const": True}, text=TEXT, power=ref("AnswerQuantity"), stroke=maybe("AnswerQuantity"), engine_class=MAYBE_TEXT,
                      items=many(ref("Guess")), edition=TEXT),
    "OverlayChange": record(
        id=TEXT, characteristic=TEXT, use=TEXT, counts=one_of("yes", "no", "where_tighter"), says=TEXT, yours=TEXT,
        ours=many(record(limit_id=TEXT, kind=TEXT, classes=TEXTS, sizes=TEXT, says=TEXT)),
    ),
    "OverlayCheck": record(
        {"engine": TEXT, "title": TEXT, "digest": TEXT}, ok=FLAG, text=TEXT, items=many(record(line=COUNT, id=TEXT, detail=TEXT)),
        changes=many(ref("OverlayChange")), tools=many(record(id=TEXT, name=TEXT, takes_place=FLAG)), edition=TEXT,
    ),
    **PAPERS,
    "ProblemKind": record(type=TEXT, slug=TEXT, title=TEXT, status={"type": ["integer", "null"]}, says=TEXT),
    "State": record({"edition": TEXT}, status=TEXT),
}  # fmt: skip
"""Every answer schema by name."""
