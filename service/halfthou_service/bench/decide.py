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
from halfthou_specdb.rules import Open, Value

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
SIMPLE = frozenset({"simple", "simple_n_to_1"})
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


@dataclass(frozen=True, slots=True)
class Gaps:
    """How far the two sides of an interval lie from a reading: exact differences, made floats once; None for an open side."""

    value: float
    to_low: float | None
    to_high: float | None
    reads: Literal["low", "inside", "high"]


def gaps(value: Fraction, low: Value, high: Value) -> Gaps | None:
    """The gaps of a reading; None where neither side has a number (nothing to ask)."""
    if isinstance(low, Open) and isinstance(high, Open):
        return None
    to_low = None if isinstance(low, Open) else low - value
    to_high = None if isinstance(high, Open) else high - value
    reads: Literal["low", "inside", "high"] = "inside"
    if to_low is not None and to_low > 0:
        reads = "low"
    elif to_high is not None and to_high < 0:
        reads = "high"
    return Gaps(float(value), None if to_low is None else float(to_low), None if to_high is None else float(to_high), reads)


def chances_in(gap: Gaps | None, u: float, dof: float, non_negative: bool) -> Chances | None:
    """Chances against one interval.

    A quantity that cannot be negative is cut off at zero only where the lower side is open. With a number there, the cut would
    raise every chance, and most of all that of the coarsest tool, until it passed whatever it read.
    """
    if gap is None:
        return None
    z_low = -INFINITE if gap.to_low is None else gap.to_low / u
    z_high = INFINITE if gap.to_high is None else gap.to_high / u
    below, inside, above = chances(z_low, z_high, dof, -gap.value / u if non_negative and gap.to_low is None else -INFINITE)
    return Chances(below, inside, above, gap.reads)


def decide(value: Fraction, u: float, dof: float, fit: Interval, wear: Interval, serviceable: Interval, what: Characteristic | None,
           rules: Rules) -> Decision:  # fmt: skip
    """The verdict on a limit (not a guide, not a safety limit).

    Args:
        value: the reading, exact, in the unit of the intervals; ``u`` its standard uncertainty in the same unit.
        serviceable: on each side the wear bound, unbounded where harmless, otherwise the fit bound.
        what: the characteristic, for the meaning of each side; None for a limit the caller gave for a thing of their own.
    """
    to_back = gaps(value, serviceable.low, serviceable.high)
    return decide_at(gaps(value, fit.low, fit.high), to_back, u, dof, wear, what, rules)


def decide_at(to_fit: Gaps | None, to_back: Gaps | None, u: float, dof: float, wear: Interval, what: Characteristic | None,
              rules: Rules) -> Decision:  # fmt: skip
    """:func:`decide` from gaps already worked out, for trying one reading at several uncertainties."""
    non_negative = what is not None and what.non_negative
    new = chances_in(to_fit, u, dof, non_negative)
    back = chances_in(to_back, u, dof, non_negative)
    return decide_chances(new, back, to_fit, to_back, u, wear, what, rules)


def decide_chances(new: Chances | None, back: Chances | None, to_fit: Gaps | None, to_back: Gaps | None, u: float, wear: Interval,
                   what: Characteristic | None, rules: Rules) -> Decision:  # fmt: skip
    """The verdict from chances however they were found; under the N:1 rule only where the tool is fine enough for the limits."""
    if rules.decision_rule == "simple_n_to_1" and not fine_enough(to_fit, to_back, u, what, rules):
        return Decision("undecided", _side(back or new), "cannot_tell", new, back)
    return verdict_from(new, back, wear, what, rules)


def fine_enough(to_fit: Gaps | None, to_back: Gaps | None, u: float, what: Characteristic | None, rules: Rules) -> bool:
    """The N:1 rule (ASME B89.7.3.1): each zone is at least N times the width 2 U of the uncertainty interval, U = 2 u.

    A zone that is open on one side begins at zero where the quantity cannot be negative; else it has no width to compare.
    """
    non_negative = what is not None and what.non_negative
    return all(w is None or w >= rules.ratio * 4.0 * u * (1.0 - 1e-12) for w in (_width(to_fit, non_negative), _width(to_back, non_negative)))


def _width(gap: Gaps | None, non_negative: bool) -> float | None:
    if gap is None or gap.to_high is None:
        return None
    if gap.to_low is None:
        return gap.value + gap.to_high if non_negative else None
    return gap.to_high - gap.to_low


def verdict_from(new: Chances | None, back: Chances | None, wear: Interval, what: Characteristic | None, rules: Rules) -> Decision:
    """The verdict table: from the chances of a new fit and of going back to a verdict, however the chances were found."""
    if _accepts(new, rules) and (back is None or _accepts(back, rules)):
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
    if rules.decision_rule in SIMPLE:
        return found.reads == "inside"
    if rules.decision_rule == "guarded_rejection":
        return not _rejects(found, rules)
    return found.inside >= rules.confidence


def _rejects(found: Chances, rules: Rules) -> bool:
    if rules.decision_rule in SIMPLE:
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
    found = chances_in(gaps(value, fit.low, fit.high), u, dof, non_negative)
    if found is not None and _rejects(found, rules):
        return Decision("unusual", _side(found), "", found, None)
    return Decision("typical", "" if found is None or found.reads == "inside" else found.reads, "", found, None)


def decide_safety(value: Fraction, u: float, dof: float, fit: Interval, wear: Interval, non_negative: bool, rules: Rules) -> Decision:
    """Doubt counts against it: ``stop`` unless the reading is shown to lie inside, at 95 % or the caller's higher confidence.

    No decision rule and no use softens this. Chances are worked out but never shown.
    """
    c = max(rules.confidence, SAFETY_CONFIDENCE)
    hard = hard_interval(fit, wear)
    back = chances_in(gaps(value, hard.low, hard.high), u, dof, non_negative)
    new = chances_in(gaps(value, fit.low, fit.high), u, dof, non_negative)
    if back is None or back.inside < c:
        return Decision("stop", _side(back), "", None, None)
    if new is None or new.inside >= c:
        return Decision("within_fit", "", "", None, None)
    return Decision("usable", _side(new), "", None, None)


def hard_interval(fit: Interval, wear: Interval) -> Interval:
    """On each side the wear bound where one is on file, otherwise the fit bound."""
    low = fit.low if isinstance(wear.low, Open) else wear.low
    return Interval(low, fit.high if isinstance(wear.high, Open) else wear.high, wear.unit)


def best_possible(u: float, dof: float, interval: Interval, non_negative: bool) -> float:
    """The highest chance any reading could have with this uncertainty [-].

    That of the one in the middle of the interval; or of a reading of zero, where it cannot be negative and only the upper side counts.
    """
    if isinstance(interval.high, Open) or (isinstance(interval.low, Open) and not non_negative):
        return 1.0
    if isinstance(interval.low, Open):
        return chances(-INFINITE, float(interval.high) / u, dof, 0.0)[1]
    half = float(interval.high - interval.low) / 2.0 / u
    return chances(-half, half, dof)[1]


def capped(p: float | None) -> float | None:
    """A chance as it is told: six figures; never exactly 0 or 1 from a tail nobody can vouch for."""
    if p is None or math.isnan(p):
        return None
    return min(max(round(p, 6), 1e-6), 1.0 - 1e-6)
