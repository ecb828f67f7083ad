"""How far a piston ring's gap closes when ring and bore warm up."""

from __future__ import annotations

import math

from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def butting_stress(length: float, growth: float, gap: float, modulus: float) -> float:
    """Compression [Pa] in a bar or ring of ``length`` [m] whose free ``growth`` [m] exceeds the ``gap`` [m] left for it.

    >>> round(butting_stress(12.6, 12.6 * 1.2e-5 * 20, 0.002, 200e9) / 1e6, 1)
    16.3
    """
    return max(0.0, growth - gap) * modulus / length


def ring_gap_closure(
    bore: float,
    gap: float,
    ring_expansion: float,
    ring_temperature: float,
    bore_expansion: float | None = None,
    bore_temperature: float | None = None,
    cold_temperature: float = 293.15,
    ring_modulus: float | None = None,
) -> Result:
    """Gap left in a hot ring, and the least cold gap that does not butt.

    Equation:
        ring_length = pi bore - gap;  closure = ring_length ring_expansion (ring_temperature - cold_temperature)
            - pi bore bore_expansion (bore_temperature - cold_temperature);  hot_gap = gap - closure;
        least_cold_gap = the gap whose closure is itself;  butting_stress = ring_modulus (closure - gap) / ring_length

    In:
        bore [m]: bore the ring runs in, at its narrowest, cold
        gap [m]: end gap, ring square in that bore, cold
        ring_expansion [1/K]: expansion of the ring
        ring_temperature [K]: ring, running
        bore_expansion [1/K]: expansion of the cylinder; left out, the bore is taken not to grow
        bore_temperature [K]: cylinder, running
        cold_temperature [K]: ring and bore when measured
        ring_modulus [Pa]: stiffness of the ring, if the stress of a butting ring is wanted

    Out:
        ring_length [m]: length of the ring along the bore
        growth [m]: growth of the ring alone
        closure [m]: closing of the gap
        hot_gap [m]: gap left hot; negative where it butts
        least_cold_gap [m]: smallest cold gap that does not butt
        butts [flag]: whether the ends meet
        butting_stress [Pa]: compression along a ring that butts

    Valid:
        Ring at one temperature, bore round. A worn bore closes the ring further at its narrow place: measure there.

    Worked:
        9.625 in bore, 0.136 in gap, a polymer-like 8.9e-5 per degF over 230 degF: 30.101 in grows 0.616 in (published [1]).

        >>> found = ring_gap_closure(9.625 * 0.0254, 0.136 * 0.0254, 8.9e-5 * 1.8, 293.15 + 230 / 1.8).values
        >>> round(found["ring_length"] / 0.0254, 2), round(found["growth"] / 0.0254, 3), found["butts"]
        (30.1, 0.616, True)

    References:
        1. Opening post of a forum thread on piston ring end gaps (published).
        2. S. S. Bhavikatti, Strength of Materials, ex. 2.2.30, p. 44, as keyed in an open textbook companion: stress of a
           bar that closes its gap (quoted).
    """
    if gap >= math.pi * bore / 4.0:
        raise CalculationError("gap", "cannot be a quarter of the way round the bore", "impossible")
    flags = []
    ring_length = math.pi * bore - gap
    ring_strain = ring_expansion * (ring_temperature - cold_temperature)
    if (bore_expansion is None) != (bore_temperature is None):
        name = "bore_expansion" if bore_expansion is None else "bore_temperature"
        raise CalculationError(name, "is missing: the growth of the bore needs both its expansion and its temperature", "missing-input")
    bore_growth = 0.0
    if bore_expansion is None or bore_temperature is None:
        flags.append(Flag("bore-growth-left-out", "The bore was taken not to grow, so the closure told is the most it can be: the safe side."))
    else:
        bore_growth = math.pi * bore * bore_expansion * (bore_temperature - cold_temperature)
    growth = ring_length * ring_strain
    closure = growth - bore_growth
    least = (math.pi * bore * ring_strain - bore_growth) / (1.0 + ring_strain)
    if closure >= gap:
        flags.append(Flag("butts", "The ends meet before the ring is warm: it scuffs, breaks, or breaks the piston. Open the gap."))
    stress = None if ring_modulus is None else butting_stress(ring_length, closure, gap, ring_modulus)
    values: dict[str, float | str | bool | None] = {
        "ring_length": ring_length, "growth": growth, "closure": closure, "hot_gap": gap - closure, "least_cold_gap": max(0.0, least),
        "butts": closure >= gap, "butting_stress": stress,
    }  # fmt: skip
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="ring-gap-closure",
    title="Ring gap, cold and hot",
    inputs=(
        Input("bore", "length", "in", "bore at its narrowest, cold", low=0.01, high=1.0),
        Input("gap", "length", "thou", "end gap, cold", low=0.0, high=0.1),
        Input("ring_expansion", "expansion", "um/m/K", "expansion of the ring", low=0.0, high=2e-4, open_low=True),
        Input("ring_temperature", "temperature", "degF", "ring, running", low=200.0, high=900.0),
        Input("bore_expansion", "expansion", "um/m/K", "expansion of the cylinder", low=0.0, high=2e-4, required=False),
        Input("bore_temperature", "temperature", "degF", "cylinder, running", low=200.0, high=900.0, required=False),
        Input("cold_temperature", "temperature", "degF", "ring and bore when measured", low=200.0, high=350.0, default=293.15),
        Input("ring_modulus", "pressure", "psi", "stiffness of the ring", low=1e9, high=3e11, required=False),
    ),
    outputs=(
        Output("ring_length", "length", "in", "mm", "length of the ring along the bore"),
        Output("growth", "length", "thou", "um", "growth of the ring alone"),
        Output("closure", "length", "thou", "um", "closing of the gap"),
        Output("hot_gap", "length", "thou", "um", "gap left hot"),
        Output("least_cold_gap", "length", "thou", "um", "smallest cold gap that does not butt; no allowance in it"),
        Output("butts", "flag", "", "", "whether the ends meet"),
        Output("butting_stress", "pressure", "psi", "MPa", "compression along a ring that butts"),
    ),
    run=ring_gap_closure,
    assumptions=("Ring and bore each have one temperature, and are measured at one temperature.",
                 "The least gap holds no allowance for a hotter ring than you guessed; gaps are set wider than it."),
    references=("Forum thread on ring end gaps (published)", "S. S. Bhavikatti, Strength of Materials, ex. 2.2.30, p. 44 (quoted)"),
)  # fmt: skip
