"""What follows from the readings of one survey: smallest, largest, mean, out-of-round, taper, wear, spread, each with its own distribution.

Errors shared by one instrument cancel in differences within the survey and stay in sizes; what repeats average out does not cancel.
Out-of-round and taper here are differences of diameters (the shop's convention): twice the roundness of ISO 1101, which two-point
readings cannot show.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from halfthou_specdb.survey_records import SurveyKind
from halfthou_specdb.units import Unit

from ..extremes import gap_at_most, largest_at_most, largest_with_shared, range_at_most, range_u, scales, worn_at_most
from ..uncertainty import Line
from .records import Doubts, Figure, Spot, Survey

ROOT_2 = math.sqrt(2.0)
TWO = 2
Sizes = Mapping[Spot, Fraction]


def averaged(chance: Callable[[float, float], float], dof: float) -> Callable[[float], float]:
    """A chance at x, averaged over how well the random part is known; ``chance`` takes x and a factor on the random part."""
    parts = scales(dof)
    if len(parts) == 1:
        return lambda x: chance(x, 1.0)
    return lambda x: math.fsum(weight * chance(x, factor) for factor, weight in parts)


class Worked:
    """The sizes of one survey as whole numbers over one denominator, grouped by station, and the figures that follow.

    ``blind``: why the tool says nothing of an oval; no out-of-round follows then.
    """

    def __init__(self, survey: Survey, kind: SurveyKind, sizes: Sizes, unworn: Sizes, unit: Unit, doubts: Doubts, blind: str = "") -> None:
        self.survey, self.kind, self.unit, self.doubts, self.blind = survey, kind, unit, doubts, blind
        self.whole = math.lcm(*(v.denominator for v in (*sizes.values(), *unworn.values())))
        self.sizes = {spot: self._int(v) for spot, v in sizes.items()}
        self.unworn = {spot: self._int(v) for spot, v in unworn.items()}
        self.floats = {spot: v / self.whole for spot, v in self.sizes.items()}
        self.stations: dict[str, dict[str, int]] = {}
        for (station, axis), v in self.sizes.items():
            self.stations.setdefault(station, {})[axis] = v
        known = {name: i for i, name in enumerate(kind.stations)}
        if all(name in known for name in self.stations):
            self.stations = {name: self.stations[name] for name in sorted(self.stations, key=lambda n: known[n])}

    def _int(self, value: Fraction) -> int:
        return value.numerator * (self.whole // value.denominator)

    def figures(self) -> Iterator[Figure]:
        """Every figure, those with a characteristic of their own among them."""
        yield from self._sizes()
        if self.kind.each:
            yield self._spread()
            return
        if not self.blind:
            yield from self._out_of_round()
            if self.kind.joint:
                yield from self._at_the_joint()
        yield from self._taper()
        yield from self._wear()

    # -- sizes -------------------------------------------------------------------------------------------------

    def _sizes(self) -> Iterator[Figure]:
        d, n = self.doubts, len(self.sizes)
        values = list(self.floats.values())
        low_at = min(self.sizes, key=self.sizes.__getitem__)
        high_at = max(self.sizes, key=self.sizes.__getitem__)
        lowest, highest = self.floats[low_at], self.floats[high_at]
        lines = (*d.random_lines, *d.shared_lines)
        dof = _dof(d, d.random, d.whole)

        def extreme(sizes: Sequence[float]) -> Callable[[float, float], float]:
            """Chance that the largest is at most x, by factor on the random part; what each factor needs is worked out once."""
            known: dict[float, Callable[[float], float]] = {}

            def at_most(x: float, s: float) -> float:
                if s not in known:
                    known[s] = largest_with_shared(sizes, d.random * s, d.shared)
                return known[s](x)

            return at_most

        def alike(value: float) -> Callable[[float, float], float]:
            """Chance that the largest of as many of one size x reads at most ``value``: only how far x lies from it counts."""
            same = extreme([0.0] * n)
            return lambda x, s: same(value - x, s)

        up, down = extreme(values), extreme([-v for v in values])
        low_alike, high_alike = alike(-lowest), alike(highest)
        yield Figure("smallest", self.kind.diameter, self._exact(self.sizes[low_at]), d.whole, self.unit, where(low_at),
                     averaged(lambda x, s: 1.0 - down(-x, s), d.dof), averaged(lambda x, s: 1.0 - low_alike(-x, s), d.dof),
                     None, dof, lines)  # fmt: skip
        yield Figure("largest", self.kind.diameter, self._exact(self.sizes[high_at]), d.whole, self.unit, where(high_at),
                     averaged(up, d.dof), None,
                     averaged(lambda x, s: 1.0 - high_alike(x, s), d.dof), dof, lines)  # fmt: skip
        # where nobody said how much of the doubt is shared, none of it may be averaged away
        random = d.random / math.sqrt(n) if d.split else d.random
        u = math.hypot(random, d.shared)
        mean = Fraction(sum(self.sizes.values()), n * self.whole)
        yield Figure("mean", self.kind.diameter, mean, u, self.unit, "", _normal(float(mean), random, d.shared, d.dof), None, None,
                     _dof(d, random, u), (*_times(d.random_lines, random / d.random), *d.shared_lines))  # fmt: skip

    def _exact(self, value: int) -> Fraction:
        return Fraction(value, self.whole)

    # -- shape -------------------------------------------------------------------------------------------------

    def _out_of_round(self) -> Iterator[Figure]:
        """Largest less smallest across one station; the part's is the worst station's. Shared errors cancel."""
        d, groups = self.doubts, {}
        spread = {}
        for name, across in self.stations.items():
            if len(across) >= TWO:
                values = list(across.values())
                spread[name] = max(values) - min(values)
                groups[name] = [v / self.whole for v in values]
        if not spread:
            return
        worst = max(spread, key=spread.__getitem__)
        u, lines = d.random * ROOT_2, _times(d.random_lines, ROOT_2)

        def whole(x: float, s: float) -> float:
            return math.prod(range_at_most(values, d.random * s, x) for values in groups.values())

        yield Figure("out-of-round", self.kind.out_of_round, self._exact(spread[worst]), u, self.unit, worst, averaged(whole, d.dof),
                     dof=d.dof, lines=lines)  # fmt: skip
        if len(spread) > 1:
            for name, value in spread.items():
                yield Figure("out-of-round-at-station", "", self._exact(value), u, self.unit, name, self._range(groups[name], d.random), dof=d.dof)

    def _at_the_joint(self) -> Iterator[Figure]:
        """A split bearing at mid length: across the load less on it, with its sign. Shared errors cancel."""
        known = self.kind.stations
        there = known[len(known) // 2] if known and len(self.stations) > 1 else next(iter(self.stations))
        across = self.stations.get(there, {})
        pair = next((p for p in self.kind.across_joint if p[0] in across and p[1] in across), None)
        if pair is None:
            return
        value = self._exact(across[pair[0]] - across[pair[1]])
        u = self.doubts.random * ROOT_2
        told = f"{there}, {pair[0]} less {pair[1]}" if there else f"{pair[0]} less {pair[1]}"
        yield Figure("signed-out-of-round", self.kind.joint, value, u, self.unit, told, _normal(float(value), u, 0.0, self.doubts.dof),
                     dof=self.doubts.dof, lines=_times(self.doubts.random_lines, ROOT_2))  # fmt: skip

    def _spread(self) -> Figure:
        """Largest less smallest of several things of one kind. Shared errors cancel; its doubt is that of a largest-minus-smallest."""
        d, values = self.doubts, list(self.floats.values())
        low_at, high_at = min(self.sizes, key=self.sizes.__getitem__), max(self.sizes, key=self.sizes.__getitem__)
        u = range_u(values, d.random)
        told = f"{self.name(high_at)} less {self.name(low_at)}" if high_at != low_at else ""
        return Figure("spread", self.kind.difference, self._exact(self.sizes[high_at] - self.sizes[low_at]), u, self.unit, told,
                      self._range(values, d.random), dof=d.dof, lines=_times(d.random_lines, u / d.random))  # fmt: skip

    def name(self, spot: Spot) -> str:
        """What tells one of several apart: ``ring 2``."""
        return spot[0] or where(spot)

    def _range(self, values: list[float], u: float) -> Callable[[float], float]:
        return averaged(lambda x, s: range_at_most(values, u * s, x), self.doubts.dof)

    def _taper(self) -> Iterator[Figure]:
        """The means of the stations on the lines that all of them were read on. Signed: first station less last. Shared errors cancel."""
        names = list(self.stations)
        if len(names) < TWO:
            return
        axes = [axis for axis in self.stations[names[0]] if all(axis in across for across in self.stations.values())]
        if not axes:
            return
        d, n = self.doubts, len(axes)
        sums = {name: sum(self.stations[name][axis] for axis in axes) for name in names}
        per_mean = d.random / math.sqrt(n)
        u, lines = per_mean * ROOT_2, _times(d.random_lines, ROOT_2 / math.sqrt(n))
        signed = Fraction(sums[names[0]] - sums[names[-1]], n * self.whole)
        ends = self.kind.taper_between == "ends"
        picked = [names[0], names[-1]] if ends else [min(sums, key=sums.__getitem__), max(sums, key=sums.__getitem__)]
        means = [sums[name] / (n * self.whole) for name in (picked if ends else names)]
        value = abs(signed) if ends else Fraction(sums[picked[1]] - sums[picked[0]], n * self.whole)
        told = f"{picked[0]} to {picked[1]}" if ends else f"{picked[1]} less {picked[0]}"
        yield Figure("taper", self.kind.taper, value, u, self.unit, told, self._range(means, per_mean), dof=d.dof, lines=lines)
        yield Figure("signed-taper", "", signed, u, self.unit, f"{names[0]} less {names[-1]}", _normal(float(signed), u, 0.0, d.dof), dof=d.dof)
        if n > 1:
            for axis in axes:
                along = [self.stations[name][axis] for name in names]
                floats = [v / self.whole for v in along]
                yield Figure("taper-on-axis", "", self._exact(max(along) - min(along)), d.random * ROOT_2, self.unit, axis,
                             self._range(floats, d.random), dof=d.dof)  # fmt: skip

    # -- wear --------------------------------------------------------------------------------------------------

    def _wear(self) -> Iterator[Figure]:
        """A bore's largest size less the size when new, or a shaft's size when new less its smallest.

        Where no size when new is stated, the unworn stations stand for it: they were read with the same tool, so its error cancels.
        """
        if not self.kind.wear:
            return
        sign = 1 if self.kind.inside else -1
        unworn = self.unworn or {spot: v for spot, v in self.sizes.items() if spot[0] in self.kind.unworn}
        if self.survey.new is not None:
            yield self._wear_from_new(self.survey.new.to(self.unit), sign)
        elif unworn and len(worn := {spot: v for spot, v in self.sizes.items() if spot not in unworn}):
            yield self._wear_from_unworn(worn, unworn, sign)

    def _wear_from_new(self, new: Fraction, sign: int) -> Figure:
        d = self.doubts
        stated = self.survey.new_uncertainty
        same = self.survey.measured_by_same_tool
        u_new = float(stated.to(self.unit)) if stated is not None else d.random if same else d.whole
        rest = u_new if same else math.hypot(u_new, d.shared)
        spot = max(self.sizes, key=lambda s: sign * self.sizes[s])
        values = [sign * v for v in self.floats.values()]
        value = sign * (self._exact(self.sizes[spot]) - new)
        u = math.hypot(d.random, rest)
        grade = "owner" if stated is not None else "derived"
        lines = (*d.random_lines, Line("size when new", u_new, grade, False), *(() if same else d.shared_lines))
        chance = averaged(lambda x, s: worn_at_most(values, d.random * s, rest, sign * float(new), x), d.dof)
        return Figure("wear", self.kind.wear, value, u, self.unit, where(spot), chance, dof=_dof(d, d.random, u), lines=lines)

    def _wear_from_unworn(self, worn: Mapping[Spot, int], unworn: Mapping[Spot, int], sign: int) -> Figure:
        d = self.doubts
        spot = max(worn, key=lambda s: sign * worn[s])
        base = min(unworn, key=lambda s: sign * unworn[s])
        high, low = [sign * v / self.whole for v in worn.values()], [sign * v / self.whole for v in unworn.values()]
        value = sign * self._exact(worn[spot] - unworn[base])
        chance = averaged(lambda x, s: gap_at_most(high, d.random * s, low, d.random * s, 0.0, x, False), d.dof)
        return Figure("wear", self.kind.wear, value, d.random * ROOT_2, self.unit, f"{where(spot)} against {where(base)}", chance, dof=d.dof,
                      lines=_times(d.random_lines, ROOT_2))  # fmt: skip


def where(spot: Spot) -> str:
    """``top, thrust``."""
    return ", ".join(part for part in spot if part)


def _times(lines: tuple[Line, ...], factor: float) -> tuple[Line, ...]:
    return lines if factor == 1.0 else tuple(replace(line, u=line.u * factor) for line in lines)


def _normal(value: float, random: float, shared: float, dof: float) -> Callable[[float], float]:
    return averaged(lambda x, s: largest_at_most([value], math.hypot(random * s, shared), x), dof)


def _dof(doubts: Doubts, random: float, u: float) -> float:
    """Effective degrees of freedom (Welch-Satterthwaite) where only the random part was worked out from scatter."""
    return math.inf if math.isinf(doubts.dof) or not random else doubts.dof * (u / random) ** 4
