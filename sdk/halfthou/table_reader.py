"""Reading the table through a service, and asking it anything else."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, TypeVar
from urllib.parse import quote, urlsplit

from . import jsonio
from .errors import UnexpectedAnswer, UsageError
from .models import (
    Caution,
    Characteristic,
    Dimension,
    Edition,
    EngineClass,
    Feature,
    FitAnswer,
    Instrument,
    Material,
    StandardAnswer,
    UnitRecord,
    Work,
)
from .quantities import QuantityLike, quantity_text

if TYPE_CHECKING:
    from types import TracebackType
    from typing import Self

    from .exchange import Exchange

Record = TypeVar("Record")
MAX_PAGES = 1000
MAX_REMEMBERED = 512


class TableReader:
    """The part of the client that reads lists and records, and that opens and closes."""

    def __init__(self, exchange: Exchange) -> None:
        self._exchange = exchange
        self._scale: dict[str, tuple[str, ...]] = {}

    @property
    def url(self) -> str:
        """The address of the service."""
        return self._exchange.url

    @property
    def edition(self) -> str:
        """The edition of the data that the service last answered from; asks where nothing was asked yet."""
        if not self._exchange.edition:
            body = self.get("/v1/editions")
            if not self._exchange.edition and isinstance(body, Mapping):
                named = body.get("current", body.get("edition"))
                items = [Edition.from_json(item) for item in body.get("items") or ()]
                found = [item.id for item in items if item.current] or [item.id for item in items]
                self._exchange.edition = named if isinstance(named, str) else found[0] if found else ""
        return self._exchange.edition

    def search(self, text: str) -> tuple[Characteristic, ...]:
        """Characteristics that answer these words, best first."""
        return self._all("/v1/characteristics", Characteristic.from_json, ("q", text))

    def characteristic(self, characteristic_id: str) -> Characteristic:
        """One characteristic: definition, how to measure it, what each side means.

        Raises:
            NotFound: no such id; near matches in ``problem.near``.
        """
        if not characteristic_id:
            raise UsageError("the id of the characteristic is empty")
        found = Characteristic.from_json(self.get(f"/v1/characteristics/{quote(characteristic_id, safe='')}"))
        if len(self._scale) >= MAX_REMEMBERED:
            self._scale.clear()
        self._scale[characteristic_id] = found.scales_with
        return found

    def characteristics(self) -> tuple[Characteristic, ...]:
        """Every characteristic."""
        return self._all("/v1/characteristics", Characteristic.from_json)

    def instruments(self) -> tuple[Instrument, ...]:
        """Every instrument."""
        return self._all("/v1/instruments", Instrument.from_json)

    def engine_classes(self) -> tuple[EngineClass, ...]:
        """Every engine class, and the kinds of engine that evidence was written for."""
        return self._all("/v1/engine-classes", EngineClass.from_json)

    def features(self) -> tuple[Feature, ...]:
        """Every feature an engine may be said to have."""
        return self._all("/v1/features", Feature.from_json)

    def dimensions(self) -> tuple[Dimension, ...]:
        """Every nominal size an engine may state."""
        return self._all("/v1/dimensions", Dimension.from_json)

    def works(self) -> tuple[Work, ...]:
        """Every publication that evidence comes from."""
        return self._all("/v1/works", Work.from_json)

    def cautions(self) -> tuple[Caution, ...]:
        """Every caution."""
        return self._all("/v1/cautions", Caution.from_json)

    def materials(self) -> tuple[Material, ...]:
        """Every material."""
        return self._all("/v1/materials", Material.from_json)

    def units(self) -> tuple[UnitRecord, ...]:
        """Every unit the service takes."""
        return self._all("/v1/units", UnitRecord.from_json)

    def editions(self) -> tuple[Edition, ...]:
        """Every edition of the data that the service can compare."""
        return self._all("/v1/editions", Edition.from_json)

    def fit(self, designation: str, size: QuantityLike, *, units: str | None = None) -> FitAnswer:
        """A fit such as ``H7/g6`` or ``RC5`` at a size: limits of both parts, and the clearance or interference.

        Raises:
            Refused: no such fit (near matches in ``problem.near``), or a size outside the tables.
        """
        return FitAnswer.from_json(self.get("/v1/fits", designation=designation, size=quantity_text(size), units=units))

    def fits_giving(
        self, low: QuantityLike, high: QuantityLike, size: QuantityLike, *, system: str | None = None, units: str | None = None
    ) -> tuple[FitAnswer, ...]:
        """Fits whose clearance lies from ``low`` to ``high`` at a size, best first; below zero is an interference.

        Where none lies wholly within, the nearest are told with ``within`` false. ``system``: ``any``, ``iso-286`` or ``ansi-b4.1``.

        Raises:
            Refused: low is above high, or the size lies outside the tables.
        """
        ends = {"low": quantity_text(low), "high": quantity_text(high), "size": quantity_text(size)}
        return tuple(FitAnswer.from_json(item) for item in self.pages("/v1/fits", **ends, system=system, units=units))

    def standard(self, table: str, **params: Any) -> StandardAnswer:
        """The rows of a standard table, such as ``standard("keys", shaft="1-7/16 in")``; without parameters, all of them.

        Raises:
            NotFound: no such table; near matches in ``problem.near``.
            Refused: a parameter the table does not take, a value it does not hold, or a figure that nobody publishes.
        """
        if not table:
            raise UsageError("the id of the standard table is empty")
        return StandardAnswer.from_json(self.get(f"/v1/standards/{quote(table, safe='')}", **params))

    def standards(self) -> tuple[StandardAnswer, ...]:
        """Every standard table, without its rows: what it holds and what it may be asked by."""
        return self._all("/v1/standards", StandardAnswer.from_json)

    def get(self, path: str, **params: Any) -> Any:
        """GET any path: decoded JSON, text or bytes. Parameters that are None are left out; lists get commas."""
        return self._exchange.get(
            path, [(name, _param(value)) for name, value in params.items() if value is not None]
        ).data

    def post(self, path: str, body: Any, *, pure: bool = False) -> Any:
        """POST a JSON body to any path. Say ``pure=True`` where asking twice does no harm: then it may be tried again.

        Raises:
            UsageError: the body cannot be written as JSON.
        """
        try:
            encoded = jsonio.dumps(body).encode()
        except (TypeError, ValueError) as error:
            raise UsageError(f"the body cannot be written as JSON: {error}") from None
        return self._exchange.post(path, encoded, pure=pure).data

    def pages(self, path: str, **params: Any) -> Iterator[Any]:
        """The ``items`` of a list, page after page.

        Raises:
            UnexpectedAnswer: no ``items``, a link that leads elsewhere, or a list without end.
        """
        body = self.get(path, **params)
        for _ in range(MAX_PAGES):
            items = body.get("items") if isinstance(body, Mapping) else None
            if not isinstance(items, list):
                raise UnexpectedAnswer(f"{path} should answer a list of items")
            yield from items
            following = body.get("next")
            if not isinstance(following, str):
                return
            body = self._exchange.get(following).data
        raise UnexpectedAnswer(f"{path} has more than {MAX_PAGES} pages")

    def _all(self, path: str, build: Callable[[Any], Record], *params: tuple[str, str]) -> tuple[Record, ...]:
        return tuple(build(item) for item in self.pages(path, **dict(params)))

    def close(self) -> None:
        """Close the connections."""
        self._exchange.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def __repr__(self) -> str:
        return f"Client({urlsplit(self.url)._replace(netloc=urlsplit(self.url).netloc.rpartition('@')[2]).geturl()!r})"


def _param(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (list, set, frozenset)):
        return ",".join(str(one) for one in value)
    if isinstance(value, (str, int, float)):
        return str(value)
    return quantity_text(value)
