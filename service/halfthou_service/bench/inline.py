"""The caller's own limits as records, counts that are whole, and why a limit could not be had."""

from __future__ import annotations

from fractions import Fraction

from halfthou_specdb.errors import DimensionError, MissingDimension, OutsideRange, SpecdbError
from halfthou_specdb.quantity import decimal_of
from halfthou_specdb.records import Characteristic, Limit, Side
from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import Constant, Open
from halfthou_specdb.units import Unit

from .observed import Observed
from .readings import Problem
from .uncertainty import Budget, factor_ratio


def half_a_count_wider(interval: Interval) -> Interval:
    """Whole counts against bounds that are whole counts: a count of n is n anywhere from n - 1/2 to n + 1/2."""
    half = Fraction(1, 2)
    low = interval.low if isinstance(interval.low, Open) else interval.low - half
    return Interval(low, interval.high if isinstance(interval.high, Open) else interval.high + half, interval.unit)


def shown_scale(found: Budget, observed: Observed) -> float:
    """From the budget's unit to the unit the reader wrote."""
    shown = observed.shown.unit
    scale = factor_ratio(found.unit.token, shown.token)
    return scale if found.unit.dimension == shown.dimension else scale / observed.u_scale


def owners_limit(limit_id: str, what: Characteristic, unit: Unit, ends: dict[str, Fraction | Open]) -> Limit:
    """A limit record from the caller's own figures, graded ``owner``."""
    bounds = {k: v if isinstance(v, Open) else Constant(decimal_of(v, 28)) for k, v in ends.items()}
    return Limit(limit_id, "limit", what.id, ("any",), "work", (), None, unit, what.basis, bounds["fit_low"], bounds["fit_high"],
                 bounds["wear_low"], bounds["wear_high"], {}, "your own figure", (), (), True)  # fmt: skip


def unnamed(name: str, unit: Unit) -> Characteristic:
    """A stand-in for a thing of the caller's own that the table does not know."""
    side = Side("worn", "outside your own figure")
    return Characteristic(
        id=name, name=name, component="", synonyms=(), definition="", how_to_measure="", instruments=(), usual_instrument="", scales_with=(),
        value_kind="quantity", unit=unit.token, basis="plain", non_negative=False, datum="", sign="", shaft="", wave="", low_side=side,
        high_side=side, consequence="", remedies={}, mistakes=(), stage="as-found", start_critical=False, applies_if=(), instances=(),
        cautions=(), grade="owner",
    )  # fmt: skip


def no_width(resolved: Resolved) -> tuple[str, ...]:
    """Under the N:1 rule: a limit that is open on one side, of something that may be negative, has no width to compare."""
    if resolved.characteristic.non_negative or resolved.serviceable is None:
        return ()
    open_side = isinstance(resolved.serviceable.low, Open) or isinstance(resolved.serviceable.high, Open)
    return ("the limit is open on one side, so the N:1 rule has no width to compare; decided as plain simple acceptance",) if open_side else ()


def why_no_limit(error: SpecdbError) -> Problem:
    """Why the table could not give a limit, as the problem of a reading."""
    if isinstance(error, MissingDimension):
        return Problem("missing-dimension", f"the limit scales with {error.dimension}; state it under engine dimensions", "", (error.dimension,))
    if isinstance(error, DimensionError):
        return Problem("wrong-dimension", str(error))
    return Problem("outside-size-range" if isinstance(error, OutsideRange) else "limit-not-worked-out", str(error))
