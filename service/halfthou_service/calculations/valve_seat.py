"""Seat width, what cutting a seat does, and the lift that opens a port fully."""

from __future__ import annotations

import math

from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def valve_seat(
    seat_angle: float = math.radians(45.0),
    seat_outer: float | None = None,
    seat_inner: float | None = None,
    axial_cut: float | None = None,
    port_diameter: float | None = None,
) -> Result:
    """Seat width from its edges, the growth of a seat when cut, and the lift for a full port.

    Equation:
        seat_width = (seat_outer - seat_inner) / (2 cos b);  a cut straight down by d sinks the valve d and raises the stem tip d,
        widens the seat d / sin b and its outer edge 2 d / tan b, and takes d cos b square off the face;
        full_port_lift = port_diameter / (4 cos b), b = seat_angle

    In:
        seat_angle [rad]: b, angle of the face from the flat of the head; 0 for a flat valve
        seat_outer [m]: outer diameter of the seat band
        seat_inner [m]: inner diameter of the seat band
        axial_cut [m]: depth cut straight down the guide
        port_diameter [m]: port, or inner edge of the seat

    Out:
        seat_width [m]: width of the band along its slope
        valve_sink [m]: how far the valve sinks
        stem_tip_rise [m]: how far the stem tip comes up
        seat_width_gain [m]: how much wider the band gets
        outer_diameter_gain [m]: how much larger its outer edge gets
        normal_stock [m]: metal taken square to the face
        width_after [m]: width of the band after the cut
        full_port_lift [m]: lift at which the seat gives no less room than the port

    Valid:
        Flat deck, straight throat, cutter on the guide's axis. Stem and gas flow are not in the lift.

    Worked:
        60 mm at 30 degrees: 17.32 mm (relation and question seen [1], the answer from memory).

        >>> round(valve_seat(math.radians(30), port_diameter=0.06).values["full_port_lift"] * 1000, 2)
        17.32

        0.010 in down at 45 degrees: band 0.01414 wider, edge 0.020 larger, 0.00707 square to the face (derived [2]).

        >>> v = valve_seat(axial_cut=0.01).values
        >>> [round(v[k], 5) for k in ("seat_width_gain", "outer_diameter_gain", "normal_stock")]
        [0.01414, 0.02, 0.00707]

    References:
        1. R. S. Khurmi and J. K. Gupta, A Textbook of Machine Design, p. 1191, relation for the lift (from memory).
        2. Own geometry (derived).
        3. D. Lardner, The Steam Engine, ch. viii: a conical valve rises at least a quarter of its diameter (published).
    """
    flags = []
    width = None
    if (seat_outer is None) != (seat_inner is None):
        raise CalculationError("seat_inner" if seat_inner is None else "seat_outer", "is missing: a width needs both edges", "missing-input")
    if seat_outer is not None and seat_inner is not None:
        if seat_inner >= seat_outer:
            raise CalculationError("seat_inner", "must be under seat_outer", "impossible")
        width = (seat_outer - seat_inner) / (2.0 * math.cos(seat_angle))
    values: dict[str, float | str | bool | None] = {"seat_width": width}
    if axial_cut is not None:
        gain = edge = None
        if seat_angle > math.radians(5.0):
            gain, edge = axial_cut / math.sin(seat_angle), 2.0 * axial_cut / math.tan(seat_angle)
        else:
            flags.append(Flag("flat-seat", "A flat seat does not widen by cutting; only the sinking is told."))
        values |= {
            "valve_sink": axial_cut, "stem_tip_rise": axial_cut, "seat_width_gain": gain, "outer_diameter_gain": edge,
            "normal_stock": axial_cut * math.cos(seat_angle), "width_after": None if width is None or gain is None else width + gain,
        }  # fmt: skip
        flags.append(Flag("set-lash-again", "The stem tip comes up by the cut: a rocker closes its lash by that much at the stem and can hold "
                          "the valve open. Set it again."))  # fmt: skip
    if port_diameter is not None:
        values["full_port_lift"] = port_diameter / (4.0 * math.cos(seat_angle))
    if axial_cut is None and width is None and port_diameter is None:
        raise CalculationError("seat_outer", "is missing: give seat edges, a cut or a port", "missing-input")
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="valve-seat",
    title="Valve seat geometry",
    inputs=(
        Input("seat_angle", "angle", "deg", "angle of the face from the flat of the head", low=0.0, high=math.radians(75.0),
              default=math.radians(45.0)),
        Input("seat_outer", "length", "in", "outer diameter of the seat band", low=0.003, high=0.5, required=False),
        Input("seat_inner", "length", "in", "inner diameter of the seat band", low=0.003, high=0.5, required=False),
        Input("axial_cut", "length", "thou", "depth cut straight down", low=0.0, high=0.02, required=False),
        Input("port_diameter", "length", "in", "port, or inner edge of the seat", low=0.003, high=0.5, required=False),
    ),
    outputs=(
        Output("seat_width", "length", "in", "mm", "width of the band along its slope"),
        Output("valve_sink", "length", "thou", "um", "how far the valve sinks"),
        Output("stem_tip_rise", "length", "thou", "um", "how far the stem tip comes up"),
        Output("seat_width_gain", "length", "thou", "um", "how much wider the band gets"),
        Output("outer_diameter_gain", "length", "thou", "um", "how much larger its outer edge gets"),
        Output("normal_stock", "length", "thou", "um", "metal taken square to the face"),
        Output("width_after", "length", "in", "mm", "width of the band after the cut"),
        Output("full_port_lift", "length", "in", "mm", "lift that opens the port fully"),
    ),
    run=valve_seat,
    assumptions=("Flat deck and straight throat: where either slopes, the edges move differently.",
                 "The cutter follows the guide; a worn guide cuts a seat that does not match the stem.",
                 "Refacing the valve sinks it too, and thins its edge."),
    references=("R. S. Khurmi and J. K. Gupta, A Textbook of Machine Design, p. 1191 (from memory)", "Own geometry (derived)",
                "D. Lardner, The Steam Engine, ch. viii (published)"),
)  # fmt: skip
