"""From a reading, its uncertainty and an interval to chances, and from chances to a verdict.

Method: JCGM 106:2012 (conformity assessment), specific risk; the default decision rule is the guarded one of ISO 14253-1:2017
(95 % proof asked for passing and for failing alike). Limits are inclusive. One exact difference, then one z.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from halfthou_specdb.records import Characteristic
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import NONE_ON_FILE, Open, Value

from .probability import INFINITE, chances
from .readings import Rules

VerdictWord = Literal[
    "within_fit", "usable", "beyond_limit", "outside_fit", "undecided", "typical", "unusual", "stop", "not_judged"
]  # fmt: skip
VERDICTS: tuple[VerdictWord, ...] = (
    "stop", "beyond_limit", "outside_fit", "undecided", "not_judged", "unusual", "usable", "typical", "within_fit",
)  # fmt: skip
"""Worst first."""

SAFETY_CONFIDENCE = 0.95
GOES_BACK = frozenset({"within_fit", "usable", "typical"})
HARD = frozenset({"too-tight", "stop"})


@dataclass(frozen=True, slots=True)
class Chances:
    """Chances that the true value lies below, inside and above an interval [-]; and where the reading itself lies."""

    below: float
    inside: float
    above: float
    reads: Literal["low", "inside", "high"]


@dataclass(frozen=True, slots=True)
class Decision:
    """A verdict with its two chances and the side in question (``low``, ``high`` or empty)."""

    verdict: VerdictWord
    side: Literal["", "low", "high"]
    as_new: Literal["yes", "no", "cannot_tell", ""]
    fit: Chances | None
    serviceable: Chances | None


def chances_in(value: Fraction, u: float, dof: float, low: Value, high: Value, non_negative: bool) -> Chances | None:
    """Chances against one interval; None where neither side has a number and neither is harmless (nothing to ask)."""
    if low is NONE_ON_FILE and high is NONE_ON_FILE:
        return None
    below_by = None if isinstance(low, Open) else low - value
    above_by = None if isinstance(high, Open) else high - value
    z_low = -INFINITE if below_by is None else float(below_by) / u
    z_high = INFINITE if above_by is None else float(above_by) / u
    below, inside, above = chances(z_low, z_high, dof, -float(value) / u if non_negative else -INFINITE)
    reads: Literal["low", "inside", "high"] = "inside"
    if below_by is not None and below_by > 0:
        reads = "low"
    elif above_by is not None and above_by < 0:
        reads = "high"
    return Chances(below, inside, above, reads)


def decide(value: Fraction, u: float, dof: float, fit: Interval, wear: Interval, serviceable: Interval, what: Characteristic | None,
           rules: Rules) -> Decision:  # fmt: skip
    """The verdict on a limit (not a guide, not a safety limit).

    Args:
        value: the reading, exact, in the unit of the intervals; ``u`` its standard uncertainty in the same unit.
        serviceable: on each side the wear bound, unbounded where harmless, otherwise the fit bound.
        what: the characteristic, for the meaning of each side; None for a limit the caller gave for a thing of their own.
    """
    non_negative = what is not None and what.non_negative
    new = chances_in(value, u, dof, fit.low, fit.high, non_negative)
    back = chances_in(value, u, dof, serviceable.low, serviceable.high, non_negative)
    if _accepts(new, rules):
        return Decision("within_fit", "", "yes", new, back)
    as_new = _as_new(new, rules)
    if back is None or _accepts(back, rules):
        return Decision("usable", _side(new), as_new, new, back)
    side = _side(back)
    if _rejects(back, rules):
        bound = wear.low if side == "low" else wear.high
        meaning = "" if what is None else (what.low_side if side == "low" else what.high_side).meaning
        if not isinstance(bound, Open) or meaning in HARD:
            return Decision("beyond_limit", side, as_new, new, back)
        return Decision("outside_fit", side, "no", new, back)
    return Decision("undecided", side, as_new, new, back)


def _accepts(found: Chances | None, rules: Rules) -> bool:
    if found is None:
        return False
    if rules.decision_rule == "simple":
        return found.reads == "inside"
    if rules.decision_rule == "guarded_rejection":
        return not _rejects(found, rules)
    return found.inside >= rules.confidence


def _rejects(found: Chances, rules: Rules) -> bool:
    if rules.decision_rule == "simple":
        return found.reads != "inside"
    return found.reads != "inside" and found.inside <= 1.0 - rules.confidence


def _as_new(new: Chances | None, rules: Rules) -> Literal["no", "cannot_tell"]:
    return "no" if new is not None and _rejects(new, rules) else "cannot_tell"


def _side(found: Chances | None) -> Literal["", "low", "high"]:
    if found is None:
        return ""
    if found.reads != "inside":
        return found.reads
    return "low" if found.below > found.above else "high"


def decide_guide(value: Fraction, u: float, dof: float, fit: Interval, non_negative: bool, rules: Rules) -> Decision:
    """A guide fails nothing: ``unusual`` only where the reading is shown to lie outside, otherwise ``typical``."""
    found = chances_in(value, u, dof, fit.low, fit.high, non_negative)
    if found is not None and _rejects(found, rules):
        return Decision("unusual", _side(found), "", found, None)
    return Decision("typical", "", "", found, None)


def decide_safety(value: Fraction, u: float, dof: float, fit: Interval, wear: Interval, rules: Rules) -> Decision:
    """Doubt counts against it: ``stop`` unless the reading is shown to lie inside, at 95 % or the caller's higher confidence.

    No decision rule and no use softens this. Chances are worked out but never shown.
    """
    c = max(rules.confidence, SAFETY_CONFIDENCE)
    hard = hard_interval(fit, wear)
    back = chances_in(value, u, dof, hard.low, hard.high, False)
    new = chances_in(value, u, dof, fit.low, fit.high, False)
    if back is None or back.inside < c:
        return Decision("stop", _side(back), "", None, None)
    if new is not None and new.inside >= c:
        return Decision("within_fit", "", "", None, None)
    return Decision("usable", _side(new), "", None, None)


def hard_interval(fit: Interval, wear: Interval) -> Interval:
    """On each side the wear bound where one is on file, otherwise the fit bound."""
    low = fit.low if isinstance(wear.low, Open) else wear.low
    return Interval(low, fit.high if isinstance(wear.high, Open) else wear.high, wear.unit)


def best_possible(u: float, dof: float, interval: Interval) -> float:
    """The highest chance any reading could have with this uncertainty: the one in the middle of the interval [-]."""
    if isinstance(interval.low, Open) or isinstance(interval.high, Open):
        return 1.0
    half = float(interval.high - interval.low) / 2.0 / u
    return chances(-half, half, dof)[1]


def capped(p: float | None) -> float | None:
    """A chance as it is told: six figures; never exactly 0 or 1 from a tail nobody can vouch for."""
    if p is None or math.isnan(p):
        return None
    return round(p, 6)
