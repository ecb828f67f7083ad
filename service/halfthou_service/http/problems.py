"""Problems (RFC 9457): the closed list of kinds, and how one is told."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from .faults import Fault

MAX_ERRORS = 50
MEDIA_TYPE = "application/problem+json"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of problem. ``status`` is 0 where it never refuses a request and only stands in an item of a sheet."""

    slug: str
    status: int
    title: str
    says: str


def _kinds() -> dict[str, Kind]:
    from .problem_kinds import ROWS

    return {slug: Kind(slug, status, title, says) for slug, status, title, says in ROWS}


KINDS: dict[str, Kind] = _kinds()
"""Every kind of problem by its slug; each has a page at ``/problems/{slug}``."""


class ProblemError(Exception):
    """Refuses the request. The handler turns it into a problem document."""

    def __init__(self, slug: str, detail: str = "", faults: Iterable[Fault] = (), *, headers: Mapping[str, str] | None = None,
                 status: int = 0) -> None:  # fmt: skip
        self.kind = KINDS[slug]
        self.status = status or self.kind.status
        self.faults = tuple(faults)
        self.detail = detail or (self.faults[0].detail if self.faults else self.kind.says)
        self.headers = dict(headers or {})
        super().__init__(self.detail)


def refuse(faults: list[Fault], in_body: bool = False) -> ProblemError:
    """The problem of one or several faults: their own kind where they share one, otherwise ``several-faults``.

    Args:
        in_body: the faults stand in a sheet, so that nothing at the address itself was not found.
    """
    codes = {fault.code for fault in faults}
    if len(codes) == 1:
        kind = KINDS[codes.pop()]
        more = f" (and {len(faults) - 1} more like it)" if len(faults) > 1 else ""
        return ProblemError(kind.slug, faults[0].detail + more, faults, status=_status(kind, in_body))
    statuses = {_status(KINDS[code], in_body) for code in codes}
    status = statuses.pop() if len(statuses) == 1 else 422
    return ProblemError("several-faults", f"{len(faults)} faults; the first: {faults[0].detail}", faults, status=status)


def _status(kind: Kind, in_body: bool) -> int:
    return 422 if kind.status == 0 or (in_body and kind.status == 404) else kind.status


@dataclass(slots=True)
class Gathered:
    """Faults of one request, gathered so that all are told together."""

    faults: list[Fault] = field(default_factory=list)
    in_body: bool = False

    def add(self, fault: Fault) -> None:
        """Keep one."""
        self.faults.append(fault)

    def check(self) -> None:
        """Refuse the request if there are any.

        Raises:
            ProblemError: at least one fault.
        """
        if self.faults:
            raise refuse(self.faults, self.in_body)


def document(problem: ProblemError, instance: str, request_id: str) -> dict[str, Any]:
    """The body: type, title, status, detail, instance, request_id; then at most 50 errors and a count of the rest."""
    body: dict[str, Any] = {
        "type": f"/problems/{problem.kind.slug}", "title": problem.kind.title, "status": problem.status, "detail": problem.detail,
        "instance": instance[:200], "request_id": request_id,
    }  # fmt: skip
    near = tuple(dict.fromkeys(word for fault in problem.faults[:MAX_ERRORS] for word in fault.near))
    if near:
        body["near"] = list(near[:9])
    if problem.faults:
        body["errors"] = [fault.to_json() for fault in problem.faults[:MAX_ERRORS]]
        body["errors_not_shown"] = max(len(problem.faults) - MAX_ERRORS, 0)
    return body
