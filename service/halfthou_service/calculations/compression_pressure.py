"""Pressure and temperature at the end of compression, from the ratio."""

from __future__ import annotations

from ._shared import STANDARD_ATMOSPHERE
from .frame import Calculation, Flag, Input, Output, Result


def compression_pressure(
    compression_ratio: float,
    exponent: float = 1.3,
    atmosphere: float = STANDARD_ATMOSPHERE,
    start_pressure: float | None = None,
    start_temperature: float | None = None,
) -> Result:
    """Pressure at the end of compression when nothing leaks.

    Equation:
        pressure = start_pressure compression_ratio^exponent;  gauge_pressure = pressure - atmosphere;
        end_temperature = start_temperature compression_ratio^(exponent - 1)

    In:
        compression_ratio [1]: whole volume over clearance volume
        exponent [1]: n of p V^n = constant: 1.4 no heat lost, about 1.3 running, 1.2 to 1.25 turned by hand or starter,
            1 so slow that all heat is lost (all but the first and last are recalled)
        atmosphere [Pa]: pressure of the air outside
        start_pressure [Pa]: absolute pressure when compression begins; the atmosphere where it is not given
        start_temperature [K]: temperature when compression begins, if the end temperature is wanted

    Out:
        pressure [Pa]: absolute pressure at the end of compression
        gauge_pressure [Pa]: what a gauge would read if nothing leaked
        end_temperature [K]: temperature at the end of compression

    Valid:
        A tight cylinder whose inlet closes at outer dead centre. It is an upper estimate: leakage, slow turning and a late
        inlet closing all lower a reading. It is no pass mark for a gauge reading.

    Worked:
        20 cm by 25 cm with 1570 cm3 clearance (ratio 6.0025), 1 bar, 300 K, n 1.4: 12.29 bar, 341.3 degC (quoted [1]).

        >>> answer = compression_pressure(6.0025, exponent=1.4, start_pressure=1e5, start_temperature=300.0)
        >>> round(answer.values["pressure"] / 1e5, 2), round(answer.values["end_temperature"] - 273.15, 0)
        (12.29, 341.0)

    References:
        1. H. N. Gupta, Fundamentals of Internal Combustion Engines, ex. 2.1, p. 44, as keyed in an open textbook companion
           (quoted).
        2. E. J. Kates, Diesel and High Compression Gas Engines: Fundamentals, ch. 5 ex. 6, p. 81, as keyed in an open
           textbook companion (quoted): the slow case, n 1.
    """
    first = atmosphere if start_pressure is None else start_pressure
    last = first * compression_ratio**exponent
    hot = None if start_temperature is None else start_temperature * compression_ratio ** (exponent - 1.0)
    flags = [
        Flag("upper-estimate", "Nothing leaks in this sum. Small hopper engines in running order have been measured at 30 to "
             "50 psi turned by hand, at ratios of 3 to about 4 (common practice): fail no engine on this figure.")
    ]  # fmt: skip
    if compression_ratio > 8.0:
        flags.append(Flag("unusual-ratio", "Over 8 to 1 is not usual for a slow spark-ignition engine; check the ratio."))
    return Result({"pressure": last, "gauge_pressure": last - atmosphere, "end_temperature": hot}, tuple(flags))


CALCULATION = Calculation(
    id="compression-pressure",
    title="Compression pressure",
    inputs=(
        Input("compression_ratio", "ratio", "ratio", "compression ratio", low=1.0, high=30.0, open_low=True),
        Input("exponent", "ratio", "ratio", "exponent of the compression line", low=1.0, high=1.67, default=1.3),
        Input("atmosphere", "pressure", "psi", "pressure of the air outside, absolute", low=3e4, high=1.2e5,
              default=STANDARD_ATMOSPHERE),
        Input("start_pressure", "pressure", "psi", "absolute pressure at the start; the atmosphere if left out", low=0.0, high=1e6,
              open_low=True, required=False),
        Input("start_temperature", "temperature", "degF", "temperature at the start", low=200.0, high=700.0, required=False),
    ),
    outputs=(
        Output("pressure", "pressure", "psi", "bar", "absolute pressure at the end of compression"),
        Output("gauge_pressure", "pressure", "psi", "bar", "gauge pressure at the end of compression, nothing leaking"),
        Output("end_temperature", "temperature", "degF", "degC", "temperature at the end of compression"),
    ),
    run=compression_pressure,
    assumptions=("No leak past rings and valves; the inlet shuts at outer dead centre.",
                 "p V^n stays constant; an exponent of 1.3 for a running engine is recalled, not published."),
    references=("H. N. Gupta, Fundamentals of Internal Combustion Engines, ex. 2.1, p. 44 (quoted)",
                "E. J. Kates, Diesel and High Compression Gas Engines: Fundamentals, ch. 5 ex. 6, p. 81 (quoted)"),
    cautions=("Turn the engine for a gauge reading only with ignition dead and fuel shut; it can start from the gauge's own "
              "compression (C048).",
              "Keep face and chest away from the opening: a charge left inside comes out as flame (C049).",
              "Never put shop air into the cylinder to copy this pressure: it drives the crank round (C063)."),
)  # fmt: skip
