"""Readings and surveys of a sheet together: how many there may be, and that each is called by a name of its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..bench.surveys.verdict import JUDGED
from .faults import Fault
from .parse_reading import Read, ReadingReader, Refused
from .parse_survey import ReadSurvey, RefusedSurvey
from .problems import Gathered, ProblemError

FIGURES = frozenset({"smallest", "largest", "smallest-clearance", "largest-clearance"}) | JUDGED
"""What an item of a survey is called after its survey."""


def too_many(number: int, most: int) -> None:
    """Refuse a sheet that is too long, before anything in it is read.

    Raises:
        ProblemError: more readings than the service takes.
    """
    if number > most:
        raise ProblemError("too-many-items", f"the sheet holds {number:,} readings; at most {most:,} are taken at once, so send it in parts")


def read_all(reader: ReadingReader, readings: Sequence[Any], gathered: Gathered) -> tuple[Read | Refused, ...]:
    """Every reading; ids used twice are faults of the sheet."""
    entries = tuple(reader.read(raw, f"r{index}") for index, raw in enumerate(readings, 1))
    first: dict[str, int] = {}
    for index, entry in enumerate(entries):
        name = entry.reading.id if isinstance(entry, Read) else entry.id
        if name in first:
            detail = f"the id {name[:80]!r} is that of readings {first[name] + 1} and {index + 1}"
            gathered.add(Fault("duplicate-id", detail, f"/readings/{index}/id"))
        else:
            first[name] = index
    return entries


def told_apart(entries: Sequence[Read | Refused], surveys: Sequence[ReadSurvey | RefusedSurvey], gathered: Gathered) -> None:
    """Items of a survey are named after it, so no reading may bear such a name; each that does is a fault of the sheet."""
    first: dict[str, int] = {}
    for index, entry in enumerate(surveys):
        name = entry.survey.id if isinstance(entry, ReadSurvey) else entry.id
        if name in first:
            gathered.add(Fault("duplicate-id", f"the id {name[:80]!r} is that of surveys {first[name] + 1} and {index + 1}", f"/surveys/{index}/id"))
        first.setdefault(name, index)
    for index, name in enumerate(first):
        whole, _, figure = name.rpartition(".")
        if whole in first and figure in FIGURES:
            detail = f"the id {name[:80]!r} is that of what follows from the survey {whole[:80]!r}"
            gathered.add(Fault("duplicate-id", detail, f"/surveys/{index}/id"))
    for index, read in enumerate(entries):
        name = read.reading.id if isinstance(read, Read) else read.id
        if name in first or (name.rpartition(".")[0] in first and first):
            detail = f"the id {name[:80]!r} is that of a survey, or of what follows from it"
            gathered.add(Fault("duplicate-id", detail, f"/readings/{index}/id"))
