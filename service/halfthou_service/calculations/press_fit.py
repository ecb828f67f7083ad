"""Interference fit of a bush or ring in a boss: pressure, hoop stress, how far the bore closes, force to press."""

from __future__ import annotations

import math
from collections.abc import Mapping

from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def hoop_under_inside_pressure(pressure: float, inner: float, outer: float) -> tuple[float, float]:
    """Hoop stress [Pa] of a thick ring at its inner and outer face, pressed from inside; diameters in one unit.

    >>> tuple(round(s) for s in hoop_under_inside_pressure(70.0, 300.0, 400.0))
    (250, 180)
    """
    wall = outer**2 - inner**2
    return pressure * (outer**2 + inner**2) / wall, 2.0 * pressure * inner**2 / wall


def hoop_under_outside_pressure(pressure: float, inner: float, outer: float) -> tuple[float, float]:
    """Hoop stress [Pa] of a thick ring at its inner and outer face, pressed from outside; a solid has one stress throughout.

    >>> round(hoop_under_outside_pressure(54.6875, 300.0, 400.0)[0])
    -250
    """
    if inner == 0.0:
        return -pressure, -pressure
    wall = outer**2 - inner**2
    return -2.0 * pressure * outer**2 / wall, -pressure * (outer**2 + inner**2) / wall


def fit_pressure(
    fit: float, interference: float, inner: float, outer: float, stiffness: tuple[float, float], squeeze: tuple[float, float]
) -> float:
    """Pressure [Pa] between two thick rings; stiffness [Pa] and Poisson's ratio as (inner part, outer part)."""
    hub = ((outer**2 + fit**2) / (outer**2 - fit**2) + squeeze[1]) / stiffness[1]
    bush = ((fit**2 + inner**2) / (fit**2 - inner**2) - squeeze[0]) / stiffness[0]
    return interference / (fit * (hub + bush))


def press_fit(
    fit_diameter: float,
    outer_diameter: float,
    interference: float,
    inner_modulus: float,
    outer_modulus: float,
    inner_poisson: float = 0.3,
    outer_poisson: float = 0.26,
    inner_bore: float = 0.0,
    length: float | None = None,
    friction: float | None = None,
    inner_yield: float | None = None,
    outer_strength: float | None = None,
) -> Result:
    """Pressure and stress of a pressed or shrunk fit, and what they do to the bore of the bush.

    Equation:
        p = interference / (d (Ko / Eo + Ki / Ei)), Ko = (D^2 + d^2)/(D^2 - d^2) + no, Ki = (d^2 + b^2)/(d^2 - b^2) - ni;
        outer_hoop = p (D^2 + d^2)/(D^2 - d^2);  inner_hoop = -2 p d^2/(d^2 - b^2);
        bore_closure = 2 p d^2 b / (Ei (d^2 - b^2));  press_force = friction pi d length p

    In:
        fit_diameter [m]: d, diameter of the fit
        outer_diameter [m]: D, outside of the boss
        interference [m]: shaft or bush over bore, on the diameter
        inner_modulus [Pa]: Ei, stiffness of the bush or shaft
        outer_modulus [Pa]: Eo, stiffness of the boss
        inner_poisson [1]: ni, Poisson's ratio of the bush or shaft
        outer_poisson [1]: no, Poisson's ratio of the boss
        inner_bore [m]: b, bore of the bush; 0 for a solid shaft
        length [m]: length of the fit, if the force is wanted
        friction [1]: friction of pressing: 0.05 to 0.15, oiled to dry
        inner_yield [Pa]: yield strength of the bush, to be set beside its stress
        outer_strength [Pa]: tensile strength of the boss, to be set beside its stress

    Out:
        pressure [Pa]: p, pressure at the fit
        outer_hoop_at_fit [Pa]: hoop tension in the boss at the fit
        outer_hoop_outside [Pa]: hoop tension at the outside of the boss
        inner_hoop_at_bore [Pa]: hoop stress at the bore of the bush; negative is compression
        inner_hoop_at_fit [Pa]: hoop stress in the bush at the fit
        bore_closure [m]: how far the bore of the bush closes, on the diameter
        closure_ratio [1]: closure over interference
        press_force [N]: force to press the last of it home

    Valid:
        Round, elastic, even along its length. A thin bush yields and then closes less than told; a boss is seldom a full ring.

    Worked:
        Steel on steel, 300/400/500 mm, 0.2 mm on the diameter: 12.3 MPa, boss 56.03 MPa, bore -56.23 MPa (quoted [1]).

        >>> found = press_fit(0.4, 0.5, 0.0002, 200e9, 200e9, 0.3, 0.3, inner_bore=0.3).values
        >>> [round(found[k] / 1e6, 1) for k in ("pressure", "outer_hoop_at_fit", "inner_hoop_at_bore")]
        [12.3, 56.1, -56.2]

    References:
        1. A. C. Ugural and S. K. Fenster, Advanced Strength and Applied Elasticity, ex. 8.3, p. 243, and ex. 8.1, p. 239, as
           keyed in an open textbook companion (quoted); its printed pressure comes from a mis-keyed factor, the book's is used.
        2. Friction of pressing by pair and oil, from a table on an engineering page (published).
    """
    if not inner_bore < fit_diameter < outer_diameter:
        name = "inner_bore" if inner_bore >= fit_diameter else "outer_diameter"
        raise CalculationError(name, "does not fit: bore under fit diameter under outside of the boss", "impossible")
    p = fit_pressure(fit_diameter, interference, inner_bore, outer_diameter, (inner_modulus, outer_modulus), (inner_poisson, outer_poisson))
    at_fit, outside = hoop_under_inside_pressure(p, fit_diameter, outer_diameter)
    at_bore, inside = hoop_under_outside_pressure(p, inner_bore, fit_diameter)
    closure = ratio = None
    if inner_bore > 0.0:
        closure = -at_bore * inner_bore / inner_modulus
        ratio = closure / interference if interference > 0.0 else None
    force = None if length is None or friction is None else friction * math.pi * fit_diameter * length * p
    values = {
        "pressure": p, "outer_hoop_at_fit": at_fit, "outer_hoop_outside": outside, "inner_hoop_at_bore": at_bore,
        "inner_hoop_at_fit": inside, "bore_closure": closure, "closure_ratio": ratio, "press_force": force,
    }  # fmt: skip
    return Result(values, tuple(_flags(at_fit, at_bore, inner_yield, outer_strength)))


def _flags(at_fit: float, at_bore: float, inner_yield: float | None, outer_strength: float | None) -> list[Flag]:
    flags = []
    if inner_yield is None:
        flags.append(Flag("yield-not-judged", "No yield strength of the bush was given; a thin bush may yield, and then holds and closes less."))
    elif -at_bore > inner_yield:
        flags.append(Flag("bush-yields", "The bush is stressed past its yield: elastic figures do not hold, it will not grip as told."))
    if outer_strength is None:
        flags.append(Flag("boss-not-judged", "No strength of the boss was given. Cast iron is weak in tension and a boss has thin places."))
    elif at_fit > outer_strength:
        flags.append(Flag("boss-splits", "Hoop tension in the boss is over its strength: it splits. Do not press this fit."))
    elif at_fit > outer_strength / 4.0:
        flags.append(Flag("boss-near-its-strength", "Over a quarter of the strength of the boss, before any load: on an old casting, ease the fit."))
    return flags


def _check(values: Mapping[str, float]) -> None:
    if values["interference"] >= values["fit_diameter"] / 20.0:
        raise CalculationError("interference", "is over a twentieth of the diameter; is it on the diameter, and in the right unit?", "impossible")


CALCULATION = Calculation(
    id="press-fit",
    title="Pressed bush or ring",
    inputs=(
        Input("fit_diameter", "length", "in", "diameter of the fit", low=0.001, high=2.0),
        Input("outer_diameter", "length", "in", "outside of the boss", low=0.001, high=5.0),
        Input("interference", "length", "thou", "interference on the diameter", low=0.0, high=0.01),
        Input("inner_modulus", "pressure", "psi", "stiffness of the bush or shaft", low=1e9, high=4e11),
        Input("outer_modulus", "pressure", "psi", "stiffness of the boss", low=1e9, high=4e11),
        Input("inner_poisson", "ratio", "ratio", "Poisson's ratio of the bush or shaft", low=0.0, high=0.5, default=0.3),
        Input("outer_poisson", "ratio", "ratio", "Poisson's ratio of the boss", low=0.0, high=0.5, default=0.26),
        Input("inner_bore", "length", "in", "bore of the bush; 0 for a solid shaft", low=0.0, high=2.0, default=0.0),
        Input("length", "length", "in", "length of the fit", low=0.0, high=2.0, open_low=True, required=False),
        Input("friction", "ratio", "ratio", "friction of pressing, 0.05 to 0.15", low=0.0, high=1.0, required=False),
        Input("inner_yield", "pressure", "psi", "yield strength of the bush", low=0.0, high=3e9, open_low=True, required=False),
        Input("outer_strength", "pressure", "psi", "tensile strength of the boss", low=0.0, high=3e9, open_low=True, required=False),
    ),
    outputs=(
        Output("pressure", "pressure", "psi", "MPa", "pressure at the fit"),
        Output("outer_hoop_at_fit", "pressure", "psi", "MPa", "hoop tension in the boss at the fit"),
        Output("outer_hoop_outside", "pressure", "psi", "MPa", "hoop tension at the outside of the boss"),
        Output("inner_hoop_at_bore", "pressure", "psi", "MPa", "hoop stress at the bore of the bush; negative is compression"),
        Output("inner_hoop_at_fit", "pressure", "psi", "MPa", "hoop stress in the bush at the fit"),
        Output("bore_closure", "length", "thou", "um", "how far the bore of the bush closes"),
        Output("closure_ratio", "ratio", "percent", "percent", "closure over interference"),
        Output("press_force", "force", "lbf", "kN", "force to press the last of it home"),
    ),
    run=press_fit,
    assumptions=("Both parts are full rings of even wall and stay elastic; a boss with a thin or split side carries less.",
                 "Surfaces are smooth: rough ones lose part of the interference to crushed peaks.",
                 "Both are at one temperature; a bronze bush in iron tightens as it warms."),
    references=("A. C. Ugural and S. K. Fenster, Advanced Strength and Applied Elasticity, ex. 8.3 p. 243 and ex. 8.1 p. 239 (quoted)",
                "Friction of pressing, engineering page (published)"),
    cautions=("Guard the press: a slipping bush or a splitting boss flies. Leave bore stock for the closing, and size after pressing.",),
    check=_check,
)  # fmt: skip
