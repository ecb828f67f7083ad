"""A round-wire compression spring: rate, stress, surge, and the suction a valve spring holds against."""

from __future__ import annotations

import math

from ._shared import GRAVITY
from .frame import Calculation, CalculationError, Flag, Input, Output, Result

INDEX_LOW, INDEX_HIGH = 4.0, 12.0


def wahl(index: float) -> float:
    """Stress correction for the curve of the wire, by spring index D/d.

    >>> round(wahl(6.0), 4)
    1.2525
    """
    return (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index


def helical_spring(
    wire: float,
    mean_diameter: float,
    active_coils: float,
    shear_modulus: float,
    force: float | None = None,
    stress_limit: float | None = None,
    density: float = 7850.0,
    free_length: float | None = None,
    dead_coils: float = 2.0,
    valve_diameter: float | None = None,
    valve_mass: float = 0.0,
    weight: str = "sideways",
    lift: float | None = None,
) -> Result:
    """Rate and stress of a coil spring; with a valve on it, the suction at which it opens.

    Equation:
        C = mean_diameter / wire;  rate = shear_modulus wire^4 / (8 mean_diameter^3 active_coils);
        stress = K 8 force mean_diameter / (pi wire^3), K = (4C - 1)/(4C - 4) + 0.615/C;
        surge = (wire / (2 pi active_coils mean_diameter^2)) sqrt(shear_modulus / (2 density));
        opening_suction = (force - weight) / (pi valve_diameter^2 / 4), weight counted as it lies

    In:
        wire [m]: wire diameter
        mean_diameter [m]: outside diameter less one wire
        active_coils [count]: coils that work: all of them less the dead ones
        shear_modulus [Pa]: shear stiffness of the wire
        force [N]: force on the spring; on the seat, for a valve
        stress_limit [Pa]: shear stress allowed
        density [kg/m3]: density of the wire
        free_length [m]: free length, to see whether it goes solid
        dead_coils [count]: dead coils, 2 for ends squared and ground
        valve_diameter [m]: diameter of a valve the spring shuts
        valve_mass [kg]: mass of valve, cap and half the spring
        weight [choice]: whether weight opens the valve, shuts it, or lies sideways
        lift [m]: lift of that valve

    Out:
        index [1]: C, mean diameter over wire
        rate [N/m]: force per length
        wahl_factor [1]: K
        deflection [m]: travel under the force
        stress [Pa]: shear stress under the force
        force_at_limit [N]: force at the stress allowed
        solid_length [m]: length with all coils touching
        force_solid [N]: force to close it solid
        surge [Hz]: lowest natural frequency, both ends held
        opening_suction [Pa]: suction that lifts the valve off its seat
        full_lift_suction [Pa]: suction that holds it at full lift, gas flow left out

    Valid:
        Round wire, even coils, index 4 to 12. No published spring force for a farm engine's suction valve was found: this tells
        what a spring does, not what it should do.

    Worked:
        5 mm wire, 30 mm mean, 15 coils, 84 GPa, 300 N: 16.2 N/mm, K 1.2525 (quoted [1]); its 18.52 mm comes of the rounded rate.

        >>> found = helical_spring(0.005, 0.03, 15.0, 84e9, 300.0).values
        >>> round(found["rate"] / 1e3, 1), round(found["deflection"] * 1e3, 2), round(found["wahl_factor"], 4)
        (16.2, 18.51, 1.2525)

    References:
        1. U. C. Jindal, Machine Design, ex. 8-1, p. 224, as keyed in an open textbook companion (quoted; the companion's own run
           prints 16.0 and 18.0 from whole-number division).
        2. Sadhu Singh, Machine Design-I, ex. 8.1 and 8.3, pp. 227 and 229, as keyed in an open textbook companion (quoted).
        3. A machine-design textbook, ex. 10.15, as keyed in an open companion: spring of a valve shut against suction (quoted).
    """
    index = mean_diameter / wire
    if index <= 1.5:
        raise CalculationError("mean_diameter", "is too small for this wire: it could not be coiled", "impossible")
    flags = []
    if not INDEX_LOW <= index <= INDEX_HIGH:
        flags.append(Flag("index-out-of-range", "Mean diameter over wire lies outside 4 to 12, where the stress factor is trusted."))
    rate = shear_modulus * wire**4 / (8.0 * mean_diameter**3 * active_coils)
    factor = wahl(index)
    per_force = factor * 8.0 * mean_diameter / (math.pi * wire**3)
    solid = (active_coils + dead_coils) * wire
    surge = wire / (2.0 * math.pi * active_coils * mean_diameter**2) * math.sqrt(shear_modulus / (2.0 * density))
    values: dict[str, float | str | bool | None] = {"index": index, "rate": rate, "wahl_factor": factor, "solid_length": solid, "surge": surge}
    if stress_limit is not None:
        values["force_at_limit"] = stress_limit / per_force
    if free_length is not None:
        if free_length <= solid:
            raise CalculationError("free_length", "is not over the solid length of these coils", "impossible")
        values["force_solid"] = rate * (free_length - solid)
    if force is not None:
        values |= {"deflection": force / rate, "stress": per_force * force}
        if stress_limit is not None and per_force * force > stress_limit:
            flags.append(Flag("over-stressed", "Stress under the force is over the one allowed: the spring takes a set or breaks."))
        if free_length is not None and force / rate + (lift or 0.0) >= free_length - solid:
            flags.append(Flag("goes-solid", "The coils touch before the force and lift are reached."))
        if valve_diameter is not None:
            pull = {"opens": -1.0, "shuts": 1.0, "sideways": 0.0}[weight] * valve_mass * GRAVITY
            area = math.pi / 4.0 * valve_diameter**2
            values["opening_suction"] = (force + pull) / area
            if force + pull <= 0.0:
                flags.append(Flag("valve-hangs-open", "The weight beats the spring: the valve does not shut by itself."))
            if lift is not None:
                values["full_lift_suction"] = (force + pull + rate * lift) / area
            flags.append(Flag("suction-both-ways", "A worked valve must hold against this suction, an automatic inlet must open at a small part "
                              "of it. No published figure for either was found."))  # fmt: skip
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="helical-spring",
    title="Coil spring and valve spring",
    inputs=(
        Input("wire", "length", "in", "wire diameter", low=0.0001, high=0.05),
        Input("mean_diameter", "length", "in", "outside diameter less one wire", low=0.0005, high=0.5),
        Input("active_coils", "count", "count", "coils that work", low=1.0, high=200.0),
        Input("shear_modulus", "pressure", "psi", "shear stiffness of the wire", low=1e10, high=1.2e11),
        Input("force", "force", "lbf", "force on the spring; on the seat, for a valve", low=0.0, high=1e6, required=False),
        Input("stress_limit", "pressure", "psi", "shear stress allowed", low=1e6, high=3e9, required=False),
        Input("density", "density", "g/cm3", "density of the wire", low=1000.0, high=12000.0, default=7850.0),
        Input("free_length", "length", "in", "free length", low=0.0, high=3.0, open_low=True, required=False),
        Input("dead_coils", "count", "count", "dead coils", low=0.0, high=6.0, default=2.0),
        Input("valve_diameter", "length", "in", "valve the spring shuts", low=0.003, high=0.5, required=False),
        Input("valve_mass", "mass", "oz", "valve, cap and half the spring", low=0.0, high=20.0, default=0.0),
        Input("weight", "choice", "", "what weight does to the valve", default="sideways", choices=("opens", "shuts", "sideways")),
        Input("lift", "length", "in", "lift of the valve", low=0.0, high=0.1, required=False),
    ),
    outputs=(
        Output("index", "ratio", "ratio", "ratio", "mean diameter over wire"),
        Output("rate", "stiffness", "lbf/in", "N/mm", "force per length"),
        Output("wahl_factor", "ratio", "ratio", "ratio", "stress factor for the curve of the wire"),
        Output("deflection", "length", "in", "mm", "travel under the force"),
        Output("stress", "pressure", "psi", "MPa", "shear stress under the force"),
        Output("force_at_limit", "force", "lbf", "N", "force at the stress allowed"),
        Output("solid_length", "length", "in", "mm", "length with all coils touching"),
        Output("force_solid", "force", "lbf", "N", "force to close it solid"),
        Output("surge", "frequency", "Hz", "Hz", "lowest natural frequency"),
        Output("opening_suction", "pressure", "psi", "kPa", "suction that lifts the valve off its seat"),
        Output("full_lift_suction", "pressure", "psi", "kPa", "suction that holds full lift, gas flow left out"),
    ),
    run=helical_spring,
    assumptions=("Wire round, coils even and free of rust pits; a pitted spring breaks far under its figure.",
                 "Ends squared and ground leave two dead coils unless said otherwise."),
    references=("U. C. Jindal, Machine Design, ex. 8-1, p. 224 (quoted)", "Sadhu Singh, Machine Design-I, ex. 8.1 and 8.3 (quoted)",
                "A machine-design textbook, ex. 10.15 (quoted)"),
    cautions=("A loaded spring flies: compress and release it in a proper tool, eyes covered (C062).",),
)  # fmt: skip
