"""Valve springs: what a washer lends, and what to match. No figure is on file for what a farm engine's spring should be."""

from __future__ import annotations

from collections.abc import Iterator

from halfthou_specdb.units import UNITS

from .case import Case, Family
from .model import Amount, Remedy

SPRINGS = frozenset({"exhaust-valve-spring-force", "intake-valve-spring-force", "valve-spring-rate", "suction-valve-opening-suction"})
STEPS = ("Hold the spring in a clamp: it lets go hard.", "Compare with its fellow, or with another engine of the same make.",
         "Match wire, coil diameter and working turns.")
AFTER = ("valve-lash-exhaust", "intake-valve-lift")


def propose(case: Case) -> Iterator[Remedy]:
    """A washer for a spring told weaker than wanted; otherwise what to compare."""
    wanted, rate = case.told(case.facts.spring.wanted), case.facts.spring.rate
    after = (case.what.id, *AFTER)
    if case.value is not None and wanted is not None and case.unit.dimension == "force" and wanted > case.value:
        amount: list[Amount] = [("short of the force wanted by", wanted - case.value, case.unit)]
        asks: tuple[str, ...] = ("spring rate",)
        if rate is not None and rate.canonical > 0:
            thick = (wanted - case.value) * case.unit.factor / rate.canonical / UNITS["in"].factor
            told = UNITS["mm"] if case.bench.rules.units == "metric" else UNITS["in"]
            amount.append(("washer under it", thick * UNITS["in"].factor / told.factor, told))
            asks = ()
        yield case.remedy("washer", "Put a washer under the spring, and see that it does not go solid at full lift", "free",
                          reversible=True, amount=amount, steps=STEPS,
                          tools=("spring scale", "rule"), after=after, asks=asks, cautions=("C062",),
                          risk="A spring that goes solid bends the valve.")  # fmt: skip
    if case.item.verdict in ("not_judged", "unusual", "beyond_limit", "outside_fit"):
        yield case.remedy("compare-spring", "Compare it before you buy: no figure is on file for this spring", "free", reversible=True,
                          steps=STEPS,
                          tools=("spring scale", "rule"), after=after, cautions=("C062",),
                          risk="A spring far stronger wears cam and guide.",
                          asks=() if wanted is not None else ("force wanted", "spring rate"), grade="common-practice")  # fmt: skip


FAMILY = Family("springs", SPRINGS, propose)
