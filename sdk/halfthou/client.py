"""The client: look up a limit, judge a reading or a sheet, read the table.

::

    with Client.embedded() as shop:  # or Client("http://shop.local:8070")
        limit = shop.limit("rod-bearing-running-clearance", engine_class="slow-open-crank", size="2-1/4 in")
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, Literal

from . import asking
from .asking_papers import SheetLike, facts_body, sheet_request, told_mapping
from .calculating import Calculator
from .errors import UnexpectedAnswer, UsageError
from .models import LimitAnswer, SheetAnswer, Verdict
from .owning import OwnFigures
from .papers import Papers
from .quantities import QuantityLike, quantity, quantity_text
from .surveying import Surveyor

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication
    from requests.adapters import BaseAdapter

Units = Literal["inch", "metric"]
DEFAULT_TIMEOUT = (3.0, 30.0)
"""Seconds to connect, seconds to wait for the answer."""


class Client(Calculator, OwnFigures, Papers, Surveyor):
    """A halfthou service, at an address or embedded in this process. Use it as a context manager, or :meth:`close` it.

    Args:
        url: such as ``http://shop.local:8070``.
        timeout: seconds to connect and seconds between two pieces of the answer; one number counts for both.
        retries: how often a call that changes nothing is tried again after 429, 502, 503, 504 or a lost connection.
        retry_after_max: the longest the service may ask us to wait [s]; beyond it the error is raised at once.
        max_body: the longest answer that is read [bytes].
        cache_entries: how many answers are kept for 'not modified'; 0 keeps none.
        headers: sent with every request.

    Raises:
        UsageError: the address is not one.
    """

    def __init__(
        self,
        url: str,
        *,
        timeout: float | tuple[float, float] = DEFAULT_TIMEOUT,
        retries: int = 3,
        retry_after_max: float = 30.0,
        max_body: int = 32 * 2**20,
        cache_entries: int = 128,
        headers: Mapping[str, str] | None = None,
        _adapter: BaseAdapter | None = None,
    ) -> None:
        from .exchange import Exchange, Limits

        connect, read = timeout if isinstance(timeout, tuple) else (timeout, timeout)
        if min(connect, read) <= 0 or retries < 0 or max_body < 1:
            raise UsageError("timeouts and max_body are above zero, retries zero or more")
        limits = Limits(
            connect,
            read,
            retries=retries,
            retry_after_max=retry_after_max,
            max_body=max_body,
            cache_entries=cache_entries,
        )
        super().__init__(Exchange(url, limits, headers=headers, adapter=_adapter))

    @classmethod
    def embedded(
        cls,
        app: WSGIApplication | None = None,
        *,
        overlay: str | os.PathLike[str] | None = None,
        cache_entries: int = 128,
    ) -> Client:
        """The same service in this process: no server, no socket.

        Args:
            app: stands in for the service's own application.
            overlay: a TOML file of the owner's own figures for one engine, which outrank the table's for that engine.

        Raises:
            NotInstalled: the service part is not installed here, or cannot start.
            UsageError: the overlay cannot be used; the first fault is told.
        """
        from .transport import EMBEDDED_URL, EmbeddedAdapter, embedded_app

        if app is not None and overlay is not None:
            raise UsageError("an application of your own has its own overlay; give one or the other")
        if app is None:
            app = embedded_app() if overlay is None else embedded_app(overlay)
        adapter = EmbeddedAdapter(app)
        return cls(EMBEDDED_URL, retries=0, cache_entries=cache_entries, _adapter=adapter)

    def limit(
        self,
        characteristic: str,
        *,
        engine_class: str | None = None,
        size: QuantityLike | None = None,
        use: str | None = None,
        features: Iterable[str] | str | None = None,
        dimensions: asking.Dimensions | None = None,
        engine: Mapping[str, Any] | None = None,
        units: Units | None = None,
        evidence: Literal["full", "ids", "none"] | None = None,
    ) -> LimitAnswer:
        """The limit that applies, worked out at this size, with who says so and who disagrees.

        Args:
            characteristic: id, such as ``rod-bearing-running-clearance``.
            engine_class: id, such as ``slow-open-crank``.
            size: the dimension the characteristic scales with, such as ``'2-1/4 in'``.
            use: ``work``, ``demonstrate`` or ``show``.
            dimensions: further sizes by name.
            engine: all of these in one mapping, and its ``id``, which an owner's overlay is bound to.

        Raises:
            NotFound: no such characteristic or class; near matches in ``problem.near``.
            Refused: the size lies outside every range, a parameter is wrong.
        """
        named = dict(engine or {})
        named |= _given(engine_class=engine_class, use=use, features=features)
        named["dimensions"] = {**(named.get("dimensions") or {}), **(dimensions or {})}
        params = [("characteristic", characteristic)]
        if size is not None:
            params.append(("size", quantity_text(size)))
        params += asking.engine_params(named)
        params += [(name, word) for name, word in (("units", units), ("evidence", evidence)) if word is not None]
        return LimitAnswer.from_json(self._exchange.get("/v1/limits", params).data)

    def judge(
        self,
        characteristic: str,
        value: QuantityLike | None = None,
        *,
        size: QuantityLike | None = None,
        instrument: str | None = None,
        engine_class: str | None = None,
        use: str | None = None,
        features: Iterable[str] | str | None = None,
        dimensions: asking.Dimensions | None = None,
        engine: Mapping[str, Any] | None = None,
        finding: str | None = None,
        values: Iterable[QuantityLike] | None = None,
        low: QuantityLike | None = None,
        high: QuantityLike | None = None,
        goes: QuantityLike | None = None,
        does_not_go: QuantityLike | None = None,
        standard_uncertainty: QuantityLike | None = None,
        expanded_uncertainty: QuantityLike | None = None,
        coverage_factor: float | None = None,
        degrees_of_freedom: float | None = None,
        temperature: QuantityLike | None = None,
        instrument_temperature: QuantityLike | None = None,
        material: str | None = None,
        basis: str | None = None,
        budget: Iterable[Mapping[str, Any]] | None = None,
        pooled_scatter: Any = None,
        state: str | None = None,
        place: Mapping[str, str] | str | None = None,
        relative: str | None = None,
        along: str | None = None,
        confirmed: bool | None = None,
        note: str | None = None,
        second_opinion: Mapping[str, Any] | bool | None = None,
        limit: Mapping[str, Any] | None = None,
        reading_id: str = "r1",
        confidence: float | None = None,
        decision_rule: str | None = None,
        ratio: float | None = None,
        judged_by: str | None = None,
        stage: str | None = None,
        units: Units | None = None,
        remedies: bool = False,
        facts: Mapping[str, Any] | None = None,
    ) -> Verdict:
        """What one reading means.

        Give one of ``value``, ``values`` (repeats in one place), ``low`` and ``high`` (a range met round the part),
        ``goes`` and ``does_not_go`` (gauges), ``finding`` (words). ``size`` is the dimension the characteristic scales
        with; which one that is, is looked up once and remembered. ``second_opinion``: for a bearing clearance, the oil
        film beside the rule of thumb; True, or what is known of the bearing (``load``, ``viscosity``, ``feed`` ...).
        ``remedies``: what to do, in amounts; ``facts`` sharpen it (``{"shims": [{"left": ["5 thou", "3 thou"]}]}``).

        Raises:
            UsageError: no reading, more than one kind of it, or a size for something that scales with none.
            NotFound: no such characteristic; near matches in ``problem.near``.
            Refused: the service found a fault in the request.
        """
        kinds = [
            value is not None,
            values is not None,
            low is not None or high is not None,
            goes is not None or does_not_go is not None,
            finding is not None,
        ]
        if sum(kinds) != 1:
            raise UsageError("give one of: a value, values, low and high, goes and does_not_go, a finding")
        reading = {
            "id": reading_id,
            "characteristic": characteristic,
            "value": value,
            "values": values,
            "low": low,
            "high": high,
            "goes": goes,
            "does_not_go": does_not_go,
            "finding": finding,
            "instrument": instrument,
            "place": place,
            "state": state,
            "temperature": temperature,
            "instrument_temperature": instrument_temperature,
            "material": material,
            "basis": basis,
            "budget": None if budget is None else list(budget),
            "pooled_scatter": pooled_scatter,
            "standard_uncertainty": standard_uncertainty,
            "expanded_uncertainty": expanded_uncertainty,
            "coverage_factor": coverage_factor,
            "degrees_of_freedom": degrees_of_freedom,
            "relative": relative,
            "along": along,
            "confirmed": confirmed,
            "limit": limit,
            "note": note,
            "second_opinion": second_opinion,
        }
        body: dict[str, Any] = {"readings": [asking.reading_body(reading)]}
        built = asking.engine_body(engine, engine_class=engine_class, use=use, features=features, dimensions=dimensions)
        if size is not None:
            self._add_size(built, characteristic, size)
        if built:
            body["engine"] = built
        body |= _given(
            confidence=confidence, decision_rule=decision_rule, ratio=ratio, judged_by=judged_by, stage=stage, units=units
        )
        body |= {"remedies": True} if remedies else {}
        body |= {"facts": facts_body(told)} if (told := told_mapping("facts", facts)) else {}
        answer = SheetAnswer.from_json(self.post("/v1/verdicts", body, pure=True))
        if len(answer.items) != 1:
            raise UnexpectedAnswer(f"one reading was sent, {len(answer.items)} verdicts came back")
        return Verdict.from_json(answer.items[0].raw, answer.limits, answer.edition, answer.cautions)

    def judge_sheet(
        self,
        sheet: SheetLike,
        *,
        engine: Mapping[str, Any] | None = None,
        engine_class: str | None = None,
        use: str | None = None,
        features: Iterable[str] | str | None = None,
        dimensions: asking.Dimensions | None = None,
        confidence: float | None = None,
        decision_rule: str | None = None,
        ratio: float | None = None,
        judged_by: str | None = None,
        stage: str | None = None,
        units: Units | None = None,
        remedies: bool = False,
        facts: Mapping[str, Any] | None = None,
    ) -> SheetAnswer:
        """What a whole sheet means: a mapping, a path to JSON or CSV, JSON text, or CSV text.

        A JSON sheet carries its engine; a CSV sheet has none, so name it here (``engine`` or its parts). ``remedies``: each item
        carries what to do, in amounts; ``facts`` (here, or in a JSON sheet) sharpen them. With ``stage`` ``assembly`` or ``first-start``
        the answer has ``readiness``.

        Raises:
            SheetError: the sheet cannot be read.
            UsageError: the engine is named twice.
            Refused: the service found a fault in the sheet as a whole; faults of single readings are in their items.
        """
        asked = sheet_request(
            "/v1/verdicts", sheet, engine=engine, engine_class=engine_class, use=use, features=features, dimensions=dimensions,
            extras={"facts": facts, "remedies": remedies}, confidence=confidence, decision_rule=decision_rule, ratio=ratio, judged_by=judged_by,
            stage=stage, units=units,
        )  # fmt: skip
        return SheetAnswer.from_json(self._asked(asked))

    def _add_size(self, engine: dict[str, Any], characteristic: str, size: QuantityLike) -> None:
        scale = self._scale.get(characteristic)
        if scale is None:
            scale = self.characteristic(characteristic).scales_with
        if not scale:
            raise UsageError(f"{characteristic} scales with no size; leave the size out, or name it under dimensions")
        given = quantity(size).to_json()
        sizes = dict(engine.get("dimensions") or {})
        if sizes.get(scale[0], given) != given:
            raise UsageError(f"size is the {scale[0]}, and dimensions gives another {scale[0]}; say it once")
        engine["dimensions"] = sizes | {scale[0]: given}


def _given(**rules: Any) -> dict[str, Any]:
    return {name: value for name, value in rules.items() if value is not None}
