"""Tightening torque of a marked steel bolt in a steel nut; refused for old iron, for nobody publishes one."""

from __future__ import annotations

import math

from .frame import Calculation, CalculationError, Flag, Input, Output, Result

AREA_TERM = 0.9743
REFUSALS = {
    "old-grey-iron": "no tightening torque for studs or screws in old grey iron is published, and modern figures pull its threads out. "
    "Clean and oil the threads, tighten evenly and crosswise in small steps with a short wrench by feel, and look for cracks",
    "unmarked-bolt": "an unmarked old bolt may be wrought iron or soft steel, and no strength can be told from looking. Replace it with a "
    "marked one where its breaking matters, or tighten it as old iron is tightened: evenly, short wrench, by feel",
}
STEEL = "marked-steel-bolt-and-nut"


def tensile_area(diameter: float, threads: float) -> float:
    """Tensile stress area [m2] of a unified thread from diameter [m] and threads [per m].

    >>> round(tensile_area(0.5 * 0.0254, 13 / 0.0254) / 0.0254**2, 4)
    0.1419
    """
    return math.pi / 4.0 * (diameter - AREA_TERM / threads) ** 2


def fastener_tightening(
    joint: str, diameter: float, threads: float, proof_strength: float, proof_share: float = 0.75, nut_factor: float = 0.2
) -> Result:
    """Torque and clamp force of a marked steel bolt; a refusal for threads in old grey iron and for unmarked bolts.

    Equation:
        area = (pi / 4) (diameter - 0.9743 / threads)^2;  clamp = proof_share proof_strength area;  torque = nut_factor diameter clamp

    In:
        joint [choice]: marked-steel-bolt-and-nut, old-grey-iron or unmarked-bolt; only the first is answered
        diameter [m]: thread diameter
        threads [1/m]: threads per length
        proof_strength [Pa]: proof strength of the marked grade
        proof_share [1]: share of the proof strength wanted
        nut_factor [1]: 0.20 plain and dry, 0.18 zinc plated, 0.15 oiled

    Out:
        area [m2]: tensile stress area
        clamp [N]: clamp force aimed at
        torque [N.m]: tightening torque

    Valid:
        Marked steel bolt and steel nut of full height, clean new threads. The clamp from one torque varies by a quarter or more.

    Worked:
        1/2-13, proof 85000 psi, oiled: 57 lbf.ft and 9046 lbf; dry: 75 lbf.ft (published [1]).

        >>> psi, i = 6894.757293168, 0.0254
        >>> v = fastener_tightening("marked-steel-bolt-and-nut", i / 2, 13 / i, 85000 * psi).values
        >>> round(v["torque"] / (psi * i**3) / 12), round(v["clamp"] / (psi * i**2), -1)
        (75, 9050.0)

    References:
        1. Torque and tension of three marked grades, nut factors 0.15, 0.18 and 0.20 at three quarters of proof, table on an
           engineering site (published).
        2. Tensile areas of unified threads, tables on two engineering sites (published).
        3. For old grey iron: nothing found in any work read.
    """
    if joint != STEEL:
        raise CalculationError("joint", REFUSALS[joint], "refused")
    if AREA_TERM / threads >= diameter / 2.0:
        raise CalculationError("threads", "are too coarse for this diameter", "impossible")
    area = tensile_area(diameter, threads)
    clamp = proof_share * proof_strength * area
    flags = [Flag("torque-is-not-clamp", "Most of a torque goes into friction: dirt, plating and oil change the clamp by a quarter or more.")]
    if proof_share > 0.75:
        flags.append(Flag("over-three-quarters", "Over three quarters of proof: little is left for the load and for friction being low."))
    return Result({"area": area, "clamp": clamp, "torque": nut_factor * diameter * clamp}, tuple(flags))


CALCULATION = Calculation(
    id="fastener-tightening",
    title="Tightening a bolt",
    inputs=(
        Input("joint", "choice", "", "what is tightened into what", choices=(STEEL, *REFUSALS)),
        Input("diameter", "length", "in", "thread diameter", low=0.002, high=0.1),
        Input("threads", "linear_frequency", "tpi", "threads per inch", low=100.0, high=5000.0),
        Input("proof_strength", "pressure", "psi", "proof strength of the marked grade", low=1e8, high=1.5e9),
        Input("proof_share", "ratio", "ratio", "share of the proof strength", low=0.0, high=0.9, open_low=True, default=0.75),
        Input("nut_factor", "ratio", "ratio", "0.20 plain and dry, 0.18 zinc plated, 0.15 oiled", low=0.05, high=0.5, default=0.2),
    ),
    outputs=(
        Output("area", "area", "in2", "mm2", "tensile stress area"),
        Output("clamp", "force", "lbf", "kN", "clamp force aimed at"),
        Output("torque", "torque", "lbf.ft", "N.m", "tightening torque"),
    ),
    run=fastener_tightening,
    assumptions=("Bolt and nut are marked, modern, clean and undamaged; the nut is of full height.",
                 "What is clamped can bear the clamp force: an old cast cap, boss or lug often cannot."),
    references=("Torque and tension of three marked grades, engineering site (published)", "Tensile areas, two engineering sites (published)"),
    cautions=("This is a steel bolt in a steel nut. Used on a stud in old grey iron the same figure tears the thread out of the casting.",
              "Rod bolts: renew them rather than guess; a broken one wrecks the engine and may hurt who stands by."),
)  # fmt: skip
