"""The part of the client for paper: what stands against a start, limits sheets, the as-found form, work orders and what comes back."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypedDict

from . import asking
from .asking_papers import (
    Asked,
    ReportLike,
    SheetLike,
    json_request,
    report_request,
    sheet_request,
    whole_sheet_body,
    with_engine,
)
from .errors import UnexpectedAnswer, UsageError
from .table_reader import TableReader

if TYPE_CHECKING:
    from typing import Unpack

    from .models.back import Comparison, PartsBack
    from .models.orders import WorkOrder
    from .models.readiness import Readiness
    from .models.sheets import AsFoundSheet, FilledSheet, LimitsSheet

Kind = Literal["readiness", "limits-sheet", "as-found-sheet", "filled-sheet", "work-order", "parts-back", "comparison"]
Format = Literal["html", "markdown", "csv"]
MEDIA = {"html": "text/html", "markdown": "text/markdown", "csv": "text/csv", "json": "application/json"}
Facts = Mapping[str, Any]
"""What the owner tells beside readings: ``shims``, ``shim_stock``, ``cylinder`` ...; sizes as text or any other form of a quantity."""
Wishes = Mapping[str, Mapping[str, Any]]
"""The owner's decisions by part id: ``send``, ``low``, ``high``, ``mate``, ``mark``, ``quantity``, ``fillet``, ``method``, ``notes``."""


class EngineAsked(TypedDict, total=False):
    """How an engine is named; what is given by name stands over what ``engine`` says."""

    engine: Mapping[str, Any] | None
    engine_class: str | None
    use: str | None
    features: Iterable[str] | str | None
    dimensions: asking.Dimensions | None


class SheetAsked(EngineAsked, total=False):
    """How a sheet is judged for a paper."""

    confidence: float | None
    decision_rule: str | None
    ratio: float | None
    judged_by: str | None
    units: str | None


class PaperAsked(SheetAsked, total=False):
    """What any of the papers takes; one that does not apply is refused."""

    stage: str
    facts: Facts | None
    wishes: Wishes | None
    letterhead: Mapping[str, str] | None
    part: str | None
    guess: bool
    after: SheetLike | None


class Papers(TableReader):
    """Asks for papers: as records, or as HTML, Markdown and CSV."""

    def readiness(
        self, sheet: SheetLike, *, stage: str = "first-start", facts: Facts | None = None, **asked: Unpack[SheetAsked]
    ) -> Readiness:
        """What stands against putting it together (``assembly``) or starting it (``first-start``), and what nobody looked at.

        ``stage`` stands over what the sheet says. It tells what was found and what was not looked at; it never says more than that.

        Raises:
            SheetError, QuantityError: the sheet cannot be read.
            Refused: the service found a fault in the sheet as a whole.
        """
        from .models.readiness import Readiness

        return Readiness.from_json(self._asked(_readiness(sheet, stage=stage, facts=facts, **asked)))

    def limits_sheet(self, *, units: str | None = None, guess: bool = True, **engine: Unpack[EngineAsked]) -> LimitsSheet:
        """Every limit of one engine, by assembly in the order it comes apart: the manual page that was never printed.

        ``guess``: a size that is not stated is taken from what such engines usually have, and marked.
        """
        from .models.sheets import LimitsSheet

        return LimitsSheet.from_json(self._asked(_limits_sheet(units=units, guess=guess, **engine)))

    def as_found_sheet(self, *, units: str | None = None, **engine: Unpack[EngineAsked]) -> AsFoundSheet:
        """What to write down before anything is turned; ``paper("as-found-sheet", format="csv")`` is the form to fill."""
        from .models.sheets import AsFoundSheet

        return AsFoundSheet.from_json(self._asked(_as_found(units=units, **engine)))

    def read_as_found(self, form: str | os.PathLike[str]) -> FilledSheet:
        """The filled form: a path to the CSV, or its text. Its ``sheet(engine)`` is ready to be judged.

        Raises:
            SheetError: no such file, or too large.
            Refused: not the form's columns, or a leaf that is no thickness; the line is named.
        """
        from .models.sheets import FilledSheet

        return FilledSheet.from_json(self._asked(_filled(form)))

    def work_order(
        self,
        sheet: SheetLike,
        *,
        wishes: Wishes | None = None,
        letterhead: Mapping[str, str] | None = None,
        facts: Facts | None = None,
        part: str | None = None,
        **asked: Unpack[SheetAsked],
    ) -> WorkOrder:
        """What each machinist is told of each part that goes out.

        Args:
            wishes: your decisions by part id, such as ``{"crankshaft": {"fillet": "1/8 in"}}``; a JSON sheet may carry them.
            letterhead: ``date``, ``owner``, ``ring``, ``machinist``.
            part: the machinist's copy of that part alone.

        Raises:
            SheetError, QuantityError: the sheet or a wish cannot be read.
            Refused: a reading that cannot be read, a part that is not on the order.
        """
        from .models.orders import WorkOrder

        return WorkOrder.from_json(self._asked(_work_order(sheet, wishes=wishes, letterhead=letterhead, facts=facts, part=part, **asked)))

    def parts_back(self, report: ReportLike, **rules: Any) -> PartsBack:
        """A report of finished sizes against the order: his figures and yours, each with its doubt.

        Args:
            report: lines of :attr:`WorkOrder.report` with ``reported`` and ``measured`` filled in (``"1.7998 in"``, or words, which are no
                figure), a mapping with ``lines``, the CSV form as text, or a path to CSV or JSON.
            rules: ``engine_id``, ``units``, ``confidence``, ``decision_rule``, ``ratio``.

        Raises:
            SheetError, QuantityError: the report cannot be read.
            Refused: a figure that is neither a size nor words; line and column are named.
        """
        from .models.back import PartsBack

        return PartsBack.from_json(self._asked(_parts_back(report, **rules)))

    def compare(
        self, before: SheetLike, after: SheetLike | None = None, *, units: str | None = None, **engine: Unpack[EngineAsked]
    ) -> Comparison:
        """Two sheets of one engine, place by place; or one sheet that holds readings as found and as made.

        ``engine`` is that of a sheet that carries none, such as CSV.

        Raises:
            SheetError, QuantityError: a sheet cannot be read.
            UsageError: the engine is named although every sheet carries it.
        """
        from .models.back import Comparison

        return Comparison.from_json(self._asked(_comparison(before, after=after, units=units, **engine)))

    def paper(self, kind: Kind, given: Any = None, *, format: Format = "html", **asked: Unpack[PaperAsked]) -> str:
        """A paper as text to print, mail or open in a spreadsheet.

        ::

            shop.paper("work-order", "sheet.json", part="crankshaft")             # the machinist's copy as HTML
            shop.paper("as-found-sheet", format="csv", engine_class="slow-open-crank")   # the form to fill

        Args:
            kind: ``readiness``, ``limits-sheet``, ``as-found-sheet``, ``filled-sheet`` (``csv`` alone: its readings as a sheet),
                ``work-order`` (``csv``: the blank report form), ``parts-back``, ``comparison``.
            given: the sheet, the filled form or the report; nothing for the two blank sheets.
            asked: what the method of that paper takes.

        Raises:
            UsageError: no such kind or format, or something that this paper does not take.
        """
        return self._printed(asked_for(kind, given, **asked), format)

    def _asked(self, asked: Asked) -> Any:
        return self._exchange.post(asked.path, asked.body, asked.media_type, asked.params, pure=True).data

    def _printed(self, asked: Asked, format: str) -> str:
        if format not in ("html", "markdown", "csv"):
            raise UsageError(f"{format!r} is no format of a paper; there are html, markdown and csv")
        params = (*asked.params, ("format", format))
        answer = self._exchange.post(asked.path, asked.body, asked.media_type, params, pure=True, accept=MEDIA[format])
        if answer.media_type != MEDIA[format] or not isinstance(answer.data, str):
            raise UnexpectedAnswer(f"{asked.path} should answer {MEDIA[format]}, not {answer.media_type or 'something unnamed'}")
        return answer.data


def asked_for(kind: str, given: Any = None, **asked: Any) -> Asked:
    """The request for a paper of that kind.

    Raises:
        UsageError: no such kind, or something that this paper does not take.
    """
    build = BUILDERS.get(kind)
    if build is None:
        raise UsageError(f"{kind!r} is no paper; there are {', '.join(BUILDERS)}")
    blank = kind in ("limits-sheet", "as-found-sheet")
    if blank == (given is not None):
        raise UsageError(f"the {kind} is worked out from the engine alone" if blank else f"the {kind} is worked out from something: give it first")
    try:
        request: Asked = build(**asked) if blank else build(given, **asked)
    except TypeError as error:
        raise UsageError(f"the {kind} does not take that: {error}") from None
    return request


def _readiness(sheet: SheetLike, *, stage: str = "first-start", facts: Facts | None = None, **asked: Unpack[SheetAsked]) -> Asked:
    return sheet_request("/v1/readiness", sheet, extras={"facts": facts}, stage=stage, **asked)


def _limits_sheet(*, units: str | None = None, guess: bool = True, **engine: Unpack[EngineAsked]) -> Asked:
    body = {"engine": _engine(**engine), **({} if guess else {"guess": False}), **({"units": units} if units else {})}
    return json_request("/v1/limits-sheets", body)


def _as_found(*, units: str | None = None, **engine: Unpack[EngineAsked]) -> Asked:
    return json_request("/v1/as-found-sheets", {"engine": _engine(**engine), **({"units": units} if units else {})})


def _engine(engine: Mapping[str, Any] | None = None, **named: Any) -> dict[str, Any]:
    return asking.engine_body(engine, **named)


def _filled(form: str | os.PathLike[str]) -> Asked:
    if not isinstance(form, (str, os.PathLike)):
        raise UsageError(f"a filled form is CSV text or a path to it; {asking.kind_of(form)} was given")
    text = form if isinstance(form, str) and "\n" in form.strip() else asking.file_text(Path(form))
    return Asked("/v1/as-found-sheets/filled", text.encode(), "text/csv; charset=utf-8")


def _work_order(
    sheet: SheetLike,
    *,
    wishes: Wishes | None = None,
    letterhead: Mapping[str, str] | None = None,
    facts: Facts | None = None,
    part: str | None = None,
    **asked: Unpack[SheetAsked],
) -> Asked:
    return sheet_request("/v1/work-orders", sheet, params={"part": part},
                         extras={"facts": facts, "wishes": wishes, "letterhead": letterhead}, **asked)  # fmt: skip


def _parts_back(
    report: ReportLike,
    *,
    engine_id: str | None = None,
    units: str | None = None,
    confidence: float | None = None,
    decision_rule: str | None = None,
    ratio: float | None = None,
) -> Asked:
    return report_request("/v1/parts-back", report, engine_id=engine_id, units=units, confidence=confidence, decision_rule=decision_rule, ratio=ratio)


def _comparison(before: SheetLike, *, after: SheetLike | None = None, units: str | None = None, **engine: Unpack[EngineAsked]) -> Asked:
    sheets = [asking.read_sheet(before), *([] if after is None else [asking.read_sheet(after)])]
    named = _engine(**engine)
    carry = [sheet.json is not None and "engine" in sheet.json for sheet in sheets]
    if named and all(carry):
        raise UsageError(f"{' and '.join(sheet.name for sheet in sheets)} carry their own engine; name it there or here, not in both")
    bodies = [whole_sheet_body(with_engine(sheet, {} if own else named)) for sheet, own in zip(sheets, carry, strict=True)]
    told = {"sheet": bodies[0]} if after is None else {"before": bodies[0], "after": bodies[1]}
    return json_request("/v1/comparisons", {**told, **({"units": units} if units else {})})


BUILDERS: Mapping[str, Any] = {
    "readiness": _readiness, "limits-sheet": _limits_sheet, "as-found-sheet": _as_found, "filled-sheet": _filled, "work-order": _work_order,
    "parts-back": _parts_back, "comparison": _comparison,
}  # fmt: skip
