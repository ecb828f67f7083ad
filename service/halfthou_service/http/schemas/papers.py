"""JSON Schemas of papers, for the OpenAPI document."""

from __future__ import annotations

from halfthou_specdb.records import GRADES, STAGES

from ...bench.decide import VERDICTS
from ...bench.remedies import COST_CLASSES
from .answer_parts import COUNT, FLAG, GRADE, MAYBE_TEXT, TEXT, TEXTS, Schema, by_name, many, maybe, one_of, record, ref

SYSTEM = one_of("inch", "metric")
PLACE_OR_NONE: Schema = {"type": ["object", "null"]}
_ENDS: Schema = {"low": maybe("AnswerQuantity"), "high": maybe("AnswerQuantity")}
_SAID = many(record(says=TEXT, grade=MAYBE_TEXT))
_ENGINE = record(id=MAYBE_TEXT)
_FIGURE: Schema = {"oneOf": [record({"words": TEXT, "value": ref("AnswerQuantity"), "instrument": MAYBE_TEXT,
                                     "standard_uncertainty": maybe("AnswerQuantity")}), {"type": "null"}]}  # fmt: skip
_TOLD = record(text=TEXT, grade=MAYBE_TEXT)

ANSWERS = ("to_order", "not_to_order", "cannot_tell", "no_figure", "no_limit")

PAPERS: dict[str, Schema] = {
    "Remedy": record(
        {"optional": FLAG}, id=TEXT, title=TEXT, cost_class=one_of(*COST_CLASSES), reversible=FLAG, text=TEXT,
        amount=many(record(name=TEXT, value=ref("AnswerQuantity"))), tolerance=maybe("Interval"), predicted=maybe("AnswerQuantity"),
        tools=TEXTS, steps=TEXTS, risk=MAYBE_TEXT, cautions=TEXTS, measure_after=TEXTS, asks=TEXTS, grade=one_of(*GRADES),
        reaches=one_of("fit", "not_known", "none"),
    ),
    "Against": record(item=TEXT, name=TEXT, place=MAYBE_TEXT, assembly=TEXT, text=TEXT, clear=TEXT, stops_engine=FLAG,
                      verdict=one_of(*VERDICTS)),
    "ReadinessInShort": record(stage=one_of("assembly", "first-start"), text=TEXT, stops=many(ref("Against")), doubts=many(ref("Against")),
                               not_looked_at=COUNT),
    "Readiness": record(
        paper={"const": "readiness"}, stage=one_of("assembly", "first-start"), engine=_ENGINE, units=SYSTEM, edition=TEXT, text=TEXT,
        stops=many(ref("Against")), doubts=many(ref("Against")),
        not_looked_at=many(record(characteristic=TEXT, name=TEXT, place=MAYBE_TEXT, assembly=TEXT, only_if=MAYBE_TEXT, clear=TEXT,
                                  start_critical=FLAG)),
        superseded=many(record(item=TEXT, text=TEXT, by=TEXT)),
        first_start={"oneOf": [many(record(title=TEXT, lines=many(record(says=TEXT, caution=MAYBE_TEXT)))), {"type": "null"}]},
    ),
    "LimitsSheet": record(
        paper={"const": "limits-sheet"}, edition=TEXT, units=SYSTEM, engine=record(id=MAYBE_TEXT, engine_class=TEXT, use=TEXT, sizes=by_name(TEXT)),
        guesses=many(record(dimension=TEXT, taken=TEXT, usual=TEXT, grade=GRADE, note=TEXT)),
        pages=many(record(
            assembly=TEXT, name=TEXT, red_flags=TEXTS,
            lines=many(record(characteristic=TEXT, name=TEXT, stage=one_of(*STAGES), kind=TEXT, where=TEXTS, new=_TOLD, stop=_TOLD,
                              fit=maybe("Interval"), wear=maybe("Interval"), tool=TEXT, how=TEXT, unit=TEXT, counted=TEXT, start_critical=FLAG,
                              guessed=TEXTS, needs=TEXT, limit_id=MAYBE_TEXT)),
            looks=many(record(characteristic=TEXT, name=TEXT, stage=one_of(*STAGES), where=TEXTS, how=TEXT, start_critical=FLAG,
                              words=many(record(word=TEXT, stops_engine=FLAG)))),
            sources=many({"type": "object"}),
        )),
        grades=by_name(TEXT), cautions=many(record(id=TEXT, hazard=TEXT, says=TEXT)), works=many(record(id=TEXT, citation=TEXT)),
    ),
    "AsFoundSheet": record(
        paper={"const": "as-found-sheet"}, edition=TEXT, units=SYSTEM, engine=record(id=MAYBE_TEXT, engine_class=TEXT),
        sections=many(record(
            assembly=TEXT, name=TEXT, shims=many(record(characteristic=TEXT, side=TEXT, leaves=many({"type": "null"}))),
            marks=many(record(id=TEXT, says=TEXT, box=TEXT)),
            findings=many(record(characteristic=TEXT, name=TEXT, where=TEXTS, words=TEXTS, how=TEXT, only_if=MAYBE_TEXT)),
            readings=many(record(characteristic=TEXT, name=TEXT, where=TEXTS, unit=TEXT, tool=TEXT, instrument=MAYBE_TEXT, relative=TEXTS, how=TEXT,
                                 only_if=MAYBE_TEXT)),
        )),
    ),
    "FilledSheet": record(
        paper={"const": "as-found-sheet"}, readings=many({"type": "object"}), facts=record(shims=many({"type": "object"})),
        packs=many(record(characteristic=TEXT, instance=MAYBE_TEXT, value=ref("AnswerQuantity"))), marks=by_name(TEXT), empty=TEXTS,
        not_fitted=TEXTS,
    ),
    "BlankLine": record(part=TEXT, what=TEXT, station=MAYBE_TEXT, axis=MAYBE_TEXT, unit=MAYBE_TEXT, ordered=PLACE_OR_NONE, reported=_FIGURE,
                        measured=_FIGURE),
    "WorkOrder": record(
        paper={"const": "work-order"}, edition=TEXT, units=SYSTEM, engine=record(id=MAYBE_TEXT, name=TEXT), date=MAYBE_TEXT, owner=MAYBE_TEXT,
        ring=MAYBE_TEXT, machinist=MAYBE_TEXT, withheld=many(record(id=TEXT, name=TEXT, why=TEXT)), report=many(ref("BlankLine")),
        parts=many(record(
            {"decide_first": TEXTS, "proposals": TEXTS, "cannot_prove": TEXTS},
            id=TEXT, name=TEXT, trade=TEXT, quantity=COUNT, identify=TEXT, why=TEXTS,
            as_found=many(record(what=TEXT, place=TEXT, value=TEXT, give_or_take=TEXT, tool=TEXT, temperature=TEXT)),
            finish_to=many(record(what=TEXT, told=TEXT, **_ENDS, grade=MAYBE_TEXT, how=TEXT, note=MAYBE_TEXT)),
            mates_with=many(record(part=TEXT, size=TEXT, measured=FLAG)), form=_SAID, finish=_SAID, work=_SAID,
            datum=record(says=TEXT, grade=MAYBE_TEXT), do_not_cut=TEXTS, fillet=record(says=TEXT, grade=MAYBE_TEXT), do_first=_SAID,
            do_after=_SAID, measure_at=TEXT,
            boxes=many(record(what=TEXT, station=TEXT, axis=TEXT, ordered=record(told=TEXT, **_ENDS))), report=_SAID,
            stop_and_ring_if=_SAID, check_when_back=TEXTS, cautions=many(record(id=TEXT, says=TEXT)), notes=TEXTS, undecided=FLAG,
            **{"return": _SAID},
        )),
    ),
    "PartsBack": record(
        paper={"const": "parts-back"}, units=SYSTEM, text=TEXT, before_paying=TEXTS,
        lines=many(record(
            part=TEXT, what=TEXT, station=MAYBE_TEXT, axis=MAYBE_TEXT, ordered={"oneOf": [ref("Interval"), {"type": "null"}]}, reported=_FIGURE,
            measured=_FIGURE, answer=one_of(*ANSWERS),
            agreement=one_of("same", "differ", "only_mine", "only_his", "nobody"), chance={"type": ["number", "null"], "minimum": 0, "maximum": 1},
            text=TEXT, assumed=TEXTS, both_inside=FLAG, worked_out=FLAG,
        )),
        in_words=many(record(part=TEXT, answer=one_of(*ANSWERS), both_inside=FLAG, text=TEXT, places=COUNT)),
    ),
    "Comparison": record(
        paper={"const": "comparison"}, engine=_ENGINE, units=SYSTEM, edition=TEXT, text=TEXT, counts=by_name(COUNT),
        rows=many(record(
            characteristic=TEXT, name=TEXT, place=MAYBE_TEXT, assembly=TEXT, before=maybe("ComparisonSide"), after=maybe("ComparisonSide"),
            change=one_of("changed", "same", "cannot_tell", "words_changed", "words_same", "only_before", "only_after"),
            better={"enum": ["better", "worse", None]}, difference=maybe("AnswerQuantity"), give_or_take=MAYBE_TEXT, text=TEXT,
        )),
    ),
    "ComparisonSide": record(item=TEXT, told=TEXT, verdict=TEXT, give_or_take=MAYBE_TEXT),
}  # fmt: skip
"""Every paper by name."""

COMPARISON_ASKED: Schema = {
    "type": "object", "additionalProperties": False,
    "description": "two sheets of one engine; or one sheet, its readings as found against those as made",
    "properties": {"before": ref("Sheet"), "after": ref("Sheet"), "sheet": ref("Sheet"), "units": SYSTEM},
}  # fmt: skip
