"""Which shims to leave under a two-bolt cap so that the clearance lands in the loose half of its fit."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from ._shared import whole
from .frame import Calculation, CalculationError, Flag, Input, Output, Result

STEP = 1e-9
MOST_LEAVES = 6


class Pack(NamedTuple):
    """A pack: its thickness in steps of a nanometre, and the leaves, thickest first."""

    total: int
    leaves: tuple[int, ...]


def packs(stock: Sequence[int], most_leaves: int, ceiling: int) -> dict[int, Pack]:
    """Every thickness that up to ``most_leaves`` leaves can make, no pack over ``ceiling``, each with the fewest leaves.

    >>> packs([2, 3], 2, 5)[5].leaves
    (3, 2)
    """
    found = {0: Pack(0, ())}
    layer = [found[0]]
    for _ in range(most_leaves):
        following = []
        for pack in layer:
            for leaf in stock:
                total = pack.total + leaf
                if total > ceiling or total in found:
                    continue
                found[total] = Pack(total, tuple(sorted((*pack.leaves, leaf), reverse=True)))
                following.append(found[total])
        layer = following
    return found


def choose(found: Mapping[int, Pack], least: float, aim: float, most: float) -> Pack | None:
    """The pack nearest above ``aim`` and not over ``most``; failing that, the thickest one from ``least`` up to ``aim``."""
    loose = [p for p in found.values() if aim - 0.5 <= p.total <= most + 0.5]
    if loose:
        return min(loose, key=lambda p: p.total)
    tight = [p for p in found.values() if least - 0.5 <= p.total < aim]
    return max(tight, key=lambda p: p.total) if tight else None


def gap_at(radial_clearance: float, taken_out: float, angle: float) -> float:
    """Radial gap [m] round a centred journal, ``angle`` [rad] from the crown, after closing the cap by ``taken_out`` [m].

    >>> round(gap_at(0.002, 0.002, math.radians(45)), 6)
    0.001293
    """
    return radial_clearance - taken_out / 2.0 * abs(math.cos(angle))


def shim_pack(
    pack_now: float,
    clearance_now: float,
    least_clearance: float,
    most_clearance: float,
    stock: tuple[float, ...],
    most_leaves: float = 6.0,
    pack_now_other: float | None = None,
    bore_diameter: float | None = None,
    bolt_span: float | None = None,
) -> Result:
    """Equal packs of stock leaves for both sides of a cap, aimed at the loose half of the fit.

    Equation:
        clearance falls by what is taken out of both packs: clearance_after = clearance_now - (pack_now - pack);
        aim = (least_clearance + most_clearance) / 2; chosen: the smallest sum of up to most_leaves leaves with clearance from
        aim to most_clearance, fewest leaves; failing that, the nearest from least_clearance up to aim;
        side_change = 2 sqrt(R^2 - t^2/4) - 2 R, t taken out, R = bore_diameter / 2;  tilt = (difference of packs) / bolt_span

    In:
        pack_now [m]: pack that is there, one side
        clearance_now [m]: diametral clearance on that pack, up and down
        least_clearance [m]: least of the fit
        most_clearance [m]: most of the fit
        stock [m]: thicknesses of leaf to be had, as many of each as needed
        most_leaves [count]: most leaves a side
        pack_now_other [m]: pack of the other side, where it differs
        bore_diameter [m]: bore of the bearing, if the sideways change is wanted
        bolt_span [m]: distance of the cap bolts, if the tilt of unequal packs is wanted

    Out:
        answer [text]: what to do
        pack [m]: pack for each side
        leaves [text]: leaves of one side, thickest first
        leaf_count [count]: leaves of one side
        target_pack [m]: pack that would give the middle of the fit
        change [m]: pack less the one that is there (mean of both sides); negative is taken out
        clearance_after [m]: diametral clearance expected, up and down
        side_change [m]: change of the bore from side to side
        tilt [rad]: lean of the cap on the packs that are there

    Valid:
        Cap drawn down on both packs, round bore, parallel faces. Steps of one leaf are checked with the gauge after each change.

    Worked:
        0.030 in packs, 0.007 in clearance, 0.003 in wanted, leaves .002 .003 .005 .010 .015: 0.026 in, four leaves (derived [1]).

        >>> i = 0.0254
        >>> v = shim_pack(0.030 * i, 0.007 * i, 0.002 * i, 0.004 * i, tuple(i * t for t in (0.002, 0.003, 0.005, 0.010, 0.015))).values
        >>> round(v["pack"] / i, 4), v["leaf_count"], round(v["clearance_after"] / i, 4)
        (0.026, 4.0, 0.003)

    References:
        1. Own geometry and own choice, tested against brute force (derived).
        2. A pump service sheet, p. 52, steps a to d: shim = trial shim less crushed lead less preload, one to one (published).
    """
    if not least_clearance < most_clearance:
        raise CalculationError("most_clearance", "must be over least_clearance", "impossible")
    other = pack_now if pack_now_other is None else pack_now_other
    mean = (pack_now + other) / 2.0
    base = mean - clearance_now
    aim = (least_clearance + most_clearance) / 2.0
    flags = []
    if pack_now != other:
        flags.append(Flag("unequal-packs", "The packs that are there differ: the cap leans and pinches at one edge. Make them alike."))
    values: dict[str, float | str | bool | None] = {
        "target_pack": base + aim, "tilt": None if bolt_span is None else abs(pack_now - other) / bolt_span,
    }  # fmt: skip
    if pack_now == other and least_clearance <= clearance_now <= most_clearance:
        flags.append(Flag("already-in-fit", "The clearance is within its fit as it stands."))
        return Result(values | {"answer": "Leave it: the clearance is within its fit as it stands."}, tuple(flags))
    if base + most_clearance < -STEP / 2.0:
        flags.append(Flag("no-shim-route", "Even with no shim at all the bearing stays loose."))
        return Result(values | {"answer": "No shim can do it: scrape or machine the faces, or pour the bearing again."}, tuple(flags))
    ceiling = math.floor((base + most_clearance) / STEP + 0.5)
    made = packs(sorted({round(t / STEP) for t in stock}, reverse=True), int(whole("most_leaves", most_leaves)), ceiling)
    chosen = choose(made, (base + least_clearance) / STEP, (base + aim) / STEP, (base + most_clearance) / STEP)
    if chosen is None:
        flags.append(Flag("stock-does-not-fit", "No sum of these leaves lands in the fit; more sizes or more leaves are needed."))
        return Result(values | {"answer": "No pack of these leaves lands in the fit."}, tuple(flags))
    pack = chosen.total * STEP
    after = pack - base
    if after < aim - STEP:
        flags.append(Flag("tight-half", "These leaves miss the loose half of the fit; the clearance lands in the tight half. Check for drag."))
    taken = mean - pack
    if taken >= aim:
        flags.append(Flag("lemon-bore", "As much is taken out as the clearance itself: the bore is a lemon, wide at the joint. Scrape or bore it."))
    verb = "take out" if taken > 0.0 else "add"
    if bore_diameter is not None:
        radius = bore_diameter / 2.0
        if abs(taken) >= bore_diameter:
            raise CalculationError("bore_diameter", "is less than the change of pack", "impossible")
        values["side_change"] = 2.0 * math.sqrt(radius**2 - taken**2 / 4.0) - 2.0 * radius
    values |= {
        "pack": pack, "leaf_count": float(len(chosen.leaves)), "leaves": " + ".join(_thickness(t) for t in chosen.leaves) or "none",
        "change": -taken, "clearance_after": after,
        "answer": f"Bolt down the same pack on both sides; {verb} the same on both, then gauge again before turning the shaft.",
    }  # fmt: skip
    return Result(values, tuple(flags))


def _thickness(steps: int) -> str:
    return f"{steps * STEP / 0.0254:.4f} in ({steps * STEP * 1000:.3f} mm)"


CALCULATION = Calculation(
    id="shim-pack",
    title="Shim pack under a bearing cap",
    inputs=(
        Input("pack_now", "length", "in", "pack that is there, one side", low=0.0, high=0.02),
        Input("clearance_now", "length", "thou", "diametral clearance on that pack", low=0.0, high=0.005),
        Input("least_clearance", "length", "thou", "least of the fit", low=0.0, high=0.005),
        Input("most_clearance", "length", "thou", "most of the fit", low=0.0, high=0.005),
        Input("stock", "length", "in", "thicknesses of leaf to be had", low=1e-5, high=0.01, many=15),
        Input("most_leaves", "count", "count", "most leaves a side", low=1.0, high=float(MOST_LEAVES), default=float(MOST_LEAVES)),
        Input("pack_now_other", "length", "in", "pack of the other side, where it differs", low=0.0, high=0.02, required=False),
        Input("bore_diameter", "length", "in", "bore of the bearing", low=0.003, high=0.5, required=False),
        Input("bolt_span", "length", "in", "distance of the cap bolts", low=0.005, high=1.0, required=False),
    ),
    outputs=(
        Output("answer", "text", "", "", "what to do"),
        Output("pack", "length", "in", "mm", "pack for each side"),
        Output("leaves", "text", "", "", "leaves of one side, thickest first"),
        Output("leaf_count", "count", "count", "count", "leaves of one side"),
        Output("target_pack", "length", "in", "mm", "pack for the middle of the fit"),
        Output("change", "length", "thou", "um", "pack less the one that is there; negative is taken out"),
        Output("clearance_after", "length", "thou", "um", "diametral clearance expected"),
        Output("side_change", "length", "uin", "um", "change of the bore from side to side"),
        Output("tilt", "angle", "deg", "deg", "lean of the cap on the packs that are there"),
    ),
    run=shim_pack,
    assumptions=("A bearing closes up and down by what is taken out of both packs, one for one; from side to side it does not close.",
                 "Leaves are flat, clean and as thick as marked; measure each, for stock differs and burrs add.",
                 "Keep the old leaves, tied and tagged: this step can be undone."),
    references=("Own geometry and choice (derived)", "Pump service sheet, p. 52, steps a to d (published)"),
    cautions=("Ignition dead and flywheel blocked before a cap comes off; turn the shaft by hand after every change (C048, C061).",
              "Never run without the same shims on both sides, and never tighten a cap to pinch."),
)  # fmt: skip
