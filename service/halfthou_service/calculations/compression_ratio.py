"""Compression ratio, from a liquid fill of the clearance or from two points of a compression line."""

from __future__ import annotations

import math

from ._shared import needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def compression_ratio(
    method: str = "liquid-fill",
    bore: float | None = None,
    stroke: float | None = None,
    clearance_volume: float | None = None,
    exponent: float = 1.3,
    position_a: float | None = None,
    pressure_a: float | None = None,
    position_b: float | None = None,
    pressure_b: float | None = None,
) -> Result:
    """Compression ratio: all the space above the piston at outer dead centre over what is left at inner dead centre.

    Equation:
        liquid fill: compression_ratio = 1 + Vs / Vc,  Vs = (pi / 4) bore^2 stroke;
        diagram: k = (pressure_b / pressure_a)^(1/exponent),
        Vc / Vs = ((1 - position_a) - k (1 - position_b)) / (k - 1)

    In:
        method [choice]: liquid-fill, or diagram (two points on the compression line)
        bore [m]: cylinder bore
        stroke [m]: stroke
        clearance_volume [m3]: liquid that fills the space above the piston at inner dead centre, Vc
        exponent [1]: exponent n of the compression line p V^n = constant, for the diagram
        position_a [1]: share of the compression stroke done at point a, 0 to 1
        pressure_a [Pa]: absolute pressure at point a
        position_b [1]: share of the compression stroke done at point b
        pressure_b [Pa]: absolute pressure at point b

    Out:
        compression_ratio [1]: the geometric ratio
        clearance_share [1]: clearance over swept volume, Vc / Vs
        swept_volume [m3]: Vs, where bore and stroke are given
        clearance_volume [m3]: Vc, where it is given or follows

    Valid:
        Geometry only: late closing of the inlet makes the working ratio smaller. The diagram wants absolute pressures
        and two points on the same compression, valves shut; it is sensitive to the exponent.

    Worked:
        3.25 in by 4 in with 6 in3 above the piston: 6.531 (quoted [1]).

        >>> i = 0.0254
        >>> answer = compression_ratio(bore=3.25 * i, stroke=4 * i, clearance_volume=6 * i**3)
        >>> round(answer.values["compression_ratio"], 2)
        6.53

        1.4 bar at a quarter and 3.6 bar at three quarters of the stroke, n 1.3: 5.58 (quoted [2]).

        >>> answer = compression_ratio("diagram", position_a=0.25, pressure_a=1.4e5, position_b=0.75, pressure_b=3.6e5)
        >>> round(answer.values["compression_ratio"], 2)
        5.58

    References:
        1. H. L. Solberg, Elementary Heat Power, ex. 3.2, p. 132, as keyed in an open textbook companion (quoted).
        2. R. K. Rajput, A Textbook of Internal Combustion Engines, ex. 17.26, p. 587, as keyed in an open textbook
           companion (quoted).
    """
    swept = None if bore is None or stroke is None else math.pi / 4.0 * bore**2 * stroke
    if method == "liquid-fill":
        bore = needed("bore", bore, "the liquid fill needs bore, stroke and clearance_volume")
        stroke = needed("stroke", stroke, "the liquid fill needs bore, stroke and clearance_volume")
        clearance = needed("clearance_volume", clearance_volume, "measure the liquid that fills the space at inner dead centre")
        share = clearance / (math.pi / 4.0 * bore**2 * stroke)
    else:
        if clearance_volume is not None:
            raise CalculationError("clearance_volume", "is what the diagram finds; leave it out, or take method liquid-fill",
                                   "too-many-inputs")  # fmt: skip
        why = "the diagram needs position and absolute pressure at two points"
        share = _from_diagram(exponent, needed("position_a", position_a, why), needed("pressure_a", pressure_a, why),
                              needed("position_b", position_b, why), needed("pressure_b", pressure_b, why))  # fmt: skip
    ratio = 1.0 + 1.0 / share
    flags: tuple[Flag, ...] = ()
    if not 2.0 <= ratio <= 8.0:
        flags = (Flag("unusual-ratio", f"{ratio:.3g} to 1 is not usual for a slow spark-ignition engine; measure the clearance "
                      "again (air trapped under the head, a piston not on centre, a passage not filled)."),)  # fmt: skip
    volume = clearance_volume if swept is None else share * swept
    values = {"compression_ratio": ratio, "clearance_share": share, "swept_volume": swept, "clearance_volume": volume}
    return Result(values, flags)


def _from_diagram(exponent: float, at_a: float, pressure_a: float, at_b: float, pressure_b: float) -> float:
    if at_b <= at_a:
        raise CalculationError("position_b", "must come after position_a on the compression stroke", "impossible")
    if pressure_b <= pressure_a:
        raise CalculationError("pressure_b", "must be above pressure_a: the charge is being compressed", "impossible")
    volumes = (pressure_b / pressure_a) ** (1.0 / exponent)
    share = ((1.0 - at_a) - volumes * (1.0 - at_b)) / (volumes - 1.0)
    if share <= 0.0:
        raise CalculationError("pressure_b", "is too high for these positions: no clearance would be left. Are the pressures "
                               "absolute, and both on one compression line?", "impossible")  # fmt: skip
    return float(share)


CALCULATION = Calculation(
    id="compression-ratio",
    title="Compression ratio",
    inputs=(
        Input("method", "choice", "", "how the clearance is found", default="liquid-fill", choices=("liquid-fill", "diagram")),
        Input("bore", "length", "in", "cylinder bore", low=0.005, high=2.0, required=False),
        Input("stroke", "length", "in", "stroke", low=0.005, high=3.0, required=False),
        Input("clearance_volume", "volume", "in3", "liquid that fills the space at inner dead centre", low=0.0, high=1.0,
              open_low=True, required=False),
        Input("exponent", "ratio", "ratio", "exponent of the compression line (diagram only)", low=1.0, high=1.67, default=1.3),
        Input("position_a", "ratio", "ratio", "share of the compression stroke done at point a", low=0.0, high=1.0, required=False),
        Input("pressure_a", "pressure", "psi", "absolute pressure at point a", low=0.0, high=2e7, open_low=True, required=False),
        Input("position_b", "ratio", "ratio", "share of the compression stroke done at point b", low=0.0, high=1.0, required=False),
        Input("pressure_b", "pressure", "psi", "absolute pressure at point b", low=0.0, high=2e7, open_low=True, required=False),
    ),
    outputs=(
        Output("compression_ratio", "ratio", "ratio", "ratio", "whole volume over clearance volume"),
        Output("clearance_share", "ratio", "percent", "percent", "clearance as a share of the swept volume"),
        Output("swept_volume", "volume", "in3", "ml", "volume swept by the piston"),
        Output("clearance_volume", "volume", "in3", "ml", "volume left at inner dead centre"),
    ),
    run=compression_ratio,
    assumptions=("The piston stands exactly on inner dead centre for the liquid fill, and no air is trapped.",
                 "On the diagram p V^n stays constant between the two points; n 1.3 is a recalled usual value."),
    references=("H. L. Solberg, Elementary Heat Power, ex. 3.2, p. 132 (quoted)",
                "R. K. Rajput, A Textbook of Internal Combustion Engines, ex. 17.26, p. 587 (quoted)"),
    cautions=("Fill with a thin oil, not with gasoline: what is left fires later or floods the floor with vapour (C013).",
              "Turn the engine only with ignition dead, fuel shut and the cylinder open (C048)."),
)  # fmt: skip
