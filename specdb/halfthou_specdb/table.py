"""The whole table in memory: frozen records by id, read once from the built file or straight from the data files."""

from __future__ import annotations

import copy
import hashlib
import json
import sqlite3
import threading
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

import simplejson

from . import reading
from .errors import RecordError, SpecdbError, TableError, UnknownId
from .load import RawRecord, first_refusal, read_all
from .records import (
    Absence,
    Caution,
    Characteristic,
    Dimension,
    EngineClass,
    Evidence,
    Fact,
    Feature,
    Limit,
    Material,
    Typical,
    Work,
)
from .survey_records import Pair, SurveyKind
from .tool_records import Instrument

SCHEMA_VERSION = 1
STANDARDS = Path(__file__).parent / "standards" / "data"
MOST_KEPT = 4_000
DATA_VERSION = "0.1.0"
T = TypeVar("T")


def encode(raw: Mapping[str, Any]) -> str:
    """A raw record as JSON with every digit kept."""
    return simplejson.dumps(raw, use_decimal=True, ensure_ascii=False, sort_keys=True)


def digest_of(records: Iterable[RawRecord], standards: str) -> str:
    """Twelve hexadecimal digits over every record, whatever the order or layout of the files, and over the standard tables."""
    lines = sorted(f"{r.kind}\t{encode(r.raw)}" for r in records)
    return hashlib.sha256("\n".join([*lines, standards]).encode()).hexdigest()[:12]


def standards_digest(folder: Path = STANDARDS) -> str:
    """A digest over the lines of every standard table."""
    whole = hashlib.sha256()
    for path in sorted(folder.glob("*.csv")):
        whole.update(f"{path.name}\n".encode())
        whole.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return whole.hexdigest()[:16]


class Table:
    """Frozen records by id. Build one with :meth:`from_files` or :meth:`open`."""

    def __init__(self, records: list[RawRecord], edition: str, path: Path | None = None) -> None:
        self.edition = edition
        self.path = path
        self._local = threading.local()
        self._kept: dict[str, dict[Any, Any]] = defaultdict(dict)
        self._by_kind: dict[str, list[RawRecord]] = defaultdict(list)
        for record in records:
            self._by_kind[record.kind].append(record)
        self._evidence: dict[tuple[str, str], Evidence] = {}
        self._evidence_for: dict[str, tuple[Evidence, ...]] = {}

    # -- making ------------------------------------------------------------------------------------------------

    @classmethod
    def from_files(cls, root: Path | None = None) -> Table:
        """Read and validate the data files.

        Raises:
            RecordError: the first record that was refused.
        """
        records, refused = read_all(root) if root else read_all()
        first_refusal(refused)
        return cls(records, f"{DATA_VERSION}+{digest_of(records, standards_digest())}")

    @classmethod
    def open(cls, path: Path) -> Table:
        """Read the built file, read-only.

        Raises:
            TableError: missing, damaged, or built by another version.
        """
        try:
            with sqlite3.connect(f"file:{path}?mode=ro&immutable=1", uri=True) as db:
                meta = dict(db.execute("select key, value from meta"))
                rows = db.execute("select kind, id, record, file, line from record order by rowid").fetchall()
                db.execute("select rowid from characteristics_fts limit 1").fetchall()
            db.close()
        except sqlite3.Error as error:
            raise TableError(f"the table file cannot be read: {error}") from error
        if meta.get("schema_version") != str(SCHEMA_VERSION):
            raise TableError("the table file was built by another version of halfthou; build it again")
        try:
            records = [RawRecord(k, i, json.loads(text, parse_float=Decimal), f, n) for k, i, text, f, n in rows]
            whole = meta["edition"].endswith("+" + digest_of(records, meta["standards_digest"]))
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            raise TableError("the table file is damaged; build it again") from error
        if not whole:
            raise TableError("the table file does not hold the records its edition names; build it again")
        return cls(records, meta["edition"], path)

    # -- records -----------------------------------------------------------------------------------------------

    def raw(self, kind: str) -> list[RawRecord]:
        """Raw records of one kind, in file order."""
        return self._by_kind[kind]

    def _all(self, kind: str, make: Callable[[Any], T]) -> dict[str, T]:
        return {r.id: _made(r, make) for r in self._by_kind[kind]}

    @cached_property
    def works(self) -> Mapping[str, Work]:
        """Publications by id."""
        return self._all("work", reading.work)

    @cached_property
    def classes(self) -> Mapping[str, EngineClass]:
        """Engine classes and kins by id."""
        return self._all("class", reading.engine_class)

    @cached_property
    def dimensions(self) -> Mapping[str, Dimension]:
        """Nominal sizes by id."""
        return self._all("dimension", reading.dimension)

    @cached_property
    def features(self) -> Mapping[str, Feature]:
        """Features by id."""
        return self._all("feature", reading.feature)

    @cached_property
    def facts(self) -> Mapping[str, Fact]:
        """Facts worked out from dimensions, by id."""
        return self._all("fact", reading.fact)

    @cached_property
    def instruments(self) -> Mapping[str, Instrument]:
        """Instruments by id."""
        return self._all("instrument", reading.instrument)

    @cached_property
    def cautions(self) -> Mapping[str, Caution]:
        """Cautions by id."""
        return self._all("caution", reading.caution)

    @cached_property
    def characteristics(self) -> Mapping[str, Characteristic]:
        """Characteristics by id."""
        return self._all("characteristic", reading.characteristic)

    @cached_property
    def materials(self) -> Mapping[str, Material]:
        """Materials by id."""
        return self._all("material", reading.material)

    @cached_property
    def typical(self) -> Mapping[str, Typical]:
        """Usual sizes by horsepower band."""
        return self._all("typical", reading.typical)

    @cached_property
    def surveys(self) -> Mapping[str, SurveyKind]:
        """What is read several times on one sheet, by id: features at stations and on axes, then several things of one kind."""
        return self._all("survey", reading.survey) | self._all("several", reading.several)

    @cached_property
    def pairs(self) -> Mapping[str, Pair]:
        """Bore and shaft pairs, by the clearance between them."""
        return self._all("pair", reading.pair)

    @cached_property
    def dimension_units(self) -> Mapping[str, str]:
        """Dimension id -> its own unit."""
        return {d.id: d.unit for d in self.dimensions.values()}

    @cached_property
    def limits(self) -> Mapping[str, Limit]:
        """Adopted limits, guides and safety limits by id."""
        return self._all("limit", lambda raw: reading.limit(raw, self.scale(raw["characteristic"]), self.dimension_units))

    @cached_property
    def limits_of(self) -> Mapping[str, tuple[Limit, ...]]:
        """Limits by characteristic id."""
        grouped: dict[str, list[Limit]] = defaultdict(list)
        for limit in self.limits.values():
            grouped[limit.characteristic].append(limit)
        return {k: tuple(v) for k, v in grouped.items()}

    @cached_property
    def absences_of(self) -> Mapping[str, tuple[Absence, ...]]:
        """Absences by characteristic id."""
        grouped: dict[str, list[Absence]] = defaultdict(list)
        for record in self._by_kind["absence"]:
            grouped[record.raw["characteristic"]].append(_made(record, reading.absence))
        return {k: tuple(v) for k, v in grouped.items()}

    @cached_property
    def _raw_evidence(self) -> Mapping[str, RawRecord]:
        return {r.id: r for r in self._by_kind["evidence"]}

    @cached_property
    def _evidence_ids(self) -> Mapping[str, tuple[str, ...]]:
        grouped: dict[str, list[str]] = defaultdict(list)
        for record in self._by_kind["evidence"]:
            for characteristic in record.raw["characteristics"]:
                grouped[characteristic].append(record.id)
        return {k: tuple(v) for k, v in grouped.items()}

    def evidence_of(self, characteristic: str) -> tuple[Evidence, ...]:
        """Evidence for a characteristic, its rules scaled with that characteristic's own dimension."""
        found = self._evidence_for.get(characteristic)
        if found is None:
            found = tuple(self.evidence(i, characteristic) for i in self._evidence_ids.get(characteristic, ()))
            self._evidence_for[characteristic] = found
        return found

    def evidence_ids(self) -> tuple[str, ...]:
        """Ids of all evidence records."""
        return tuple(self._raw_evidence)

    def evidence(self, evidence_id: str, characteristic: str = "") -> Evidence:
        """One evidence record, scaled for ``characteristic`` (default: the first it names).

        Raises:
            UnknownId: no such record.
            RecordError: the record cannot be used.
        """
        record = self._raw_evidence.get(evidence_id)
        if record is None:
            raise UnknownId("evidence record", evidence_id, self._raw_evidence)
        key = (evidence_id, characteristic or record.raw["characteristics"][0])
        found = self._evidence.get(key)
        if found is None:
            found = _made(record, lambda raw: reading.evidence(raw, self.scale(key[1]), self.dimension_units))
            self._evidence[key] = found
        return found

    def scale(self, characteristic: str) -> str:
        """The dimension that rules of a characteristic scale with, or the empty string."""
        what = self.characteristics.get(characteristic)
        return what.scales_with[0] if what and what.scales_with else ""

    def characteristic(self, characteristic_id: str) -> Characteristic:
        """A characteristic by id.

        Raises:
            UnknownId: no such characteristic, with near matches.
        """
        return _get("characteristic", characteristic_id, self.characteristics)

    def engine_class(self, class_id: str) -> EngineClass:
        """An engine class (not a kin) by id.

        Raises:
            UnknownId: no such class.
        """
        return _get("engine class", class_id, {k: v for k, v in self.classes.items() if v.kind == "class"})

    def instrument(self, instrument_id: str) -> Instrument:
        """An instrument by id.

        Raises:
            UnknownId: no such instrument.
        """
        return _get("instrument", instrument_id, self.instruments)

    def with_instruments(self, own: Iterable[Instrument]) -> Table:
        """The same table with tools added, or put in the place of those of the same id."""
        tools = {tool.id: tool for tool in own}
        if not tools:
            return self
        other = copy.copy(self)
        other.__dict__["instruments"] = {**self.instruments, **tools}
        return other

    def kept(self, name: str) -> dict[Any, Any]:
        """A named store for what is worked out from these records alone; emptied when it grows past a few thousand entries."""
        found = self._kept[name]
        if len(found) > MOST_KEPT:
            found.clear()
        return found

    def connection(self) -> sqlite3.Connection:
        """A read-only connection to the built file, one per thread.

        Raises:
            TableError: this table was read from the data files and has no built file.
        """
        if self.path is None:
            raise TableError("this table has no built file to search")
        found: sqlite3.Connection | None = getattr(self._local, "db", None)
        if found is None:
            found = sqlite3.connect(f"file:{self.path}?mode=ro&immutable=1", uri=True)
            self._local.db = found
        return found


def _get(kind: str, key: str, known: Mapping[str, T]) -> T:
    if key not in known:
        raise UnknownId(kind, key, known)
    return known[key]


def _made(record: RawRecord, make: Callable[[Any], T]) -> T:
    try:
        return make(record.raw)
    except RecordError:
        raise
    except (SpecdbError, KeyError, TypeError, ValueError, ArithmeticError) as error:
        raise record.refuse(str(error)) from error
