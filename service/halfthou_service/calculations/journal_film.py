"""The oil film of a plain journal bearing: does this clearance leave a film at this speed and load, next to the finish?"""

from __future__ import annotations

import math

from ._bearing_table import CHECKED, SHORT, THICKEST, THINNEST, film_state
from ._shared import needed
from .frame import Calculation, Flag, Input, Output, Result

OIL_HEAT = 1.515e6
"""J/(m3 K); heat a volume of oil takes up, as in the temperature column of the published table."""
RECALLED_FILM, RECALLED_SLOPE = 0.0002 * 0.0254, 0.00004
START_PRESSURE = 300 * 6894.757293168
ROUGHNESS_RATIO = 1.25
FULL, MIXED = 3.0, 1.0
STARVED = ("drip", "grease")


def petroff_power(diameter: float, length: float, diametral_clearance: float, speed: float, viscosity: float) -> float:
    """Friction power of an unloaded, centred journal [W] from SI sizes and rev/s: the floor for friction.

    >>> round(petroff_power(0.127, 0.127, 2 * 0.0000635, 5000 / 60, 2e-6 * 6894.757293168) / 745.69987158227, 2)
    16.31
    """
    return 8.0 * math.pi**3 * viscosity * speed**2 * length * (diameter / 2.0) ** 3 / (diametral_clearance / 2.0)


def journal_film(
    journal_diameter: float,
    bearing_length: float,
    diametral_clearance: float,
    speed: float,
    load: float,
    viscosity: float,
    feed: str = "drip",
    journal_roughness: float | None = None,
    bearing_roughness: float | None = None,
) -> Result:
    """Least oil film of a full journal bearing, beside the finish of its two faces.

    Equation:
        P = load / (journal_diameter bearing_length);  S = (journal_diameter / diametral_clearance)^2 viscosity speed / P;
        S and bearing_length / journal_diameter give e, F = (r/c) f, Q/(r c N l), Qs/Q and P/pmax from the table [1];
        film_thickness = (1 - e) diametral_clearance / 2;  friction_coefficient = F diametral_clearance / journal_diameter;
        temperature_rise = 4 pi P F / (1.515 MJ/m3K (Q/rcNl) (1 - Qs/2Q))

    In:
        journal_diameter [m]: d, journal diameter
        bearing_length [m]: l, bearing length that carries, less any groove
        diametral_clearance [m]: bore less journal, as measured in the shop: twice the radial clearance
        speed [rev/s]: N, journal speed against the bearing
        load [N]: W, steady load
        viscosity [Pa.s]: oil viscosity at the temperature of the film
        feed [choice]: how oil comes in
        journal_roughness [m]: Ra of the journal
        bearing_roughness [m]: Ra of the bearing

    Out:
        regime [text]: full-film, thin, mixed, touching, not-judged or off-the-table
        answer [text]: the answer in a sentence
        film_thickness [m]: least film thickness
        film_to_finish [1]: least film over the combined roughness of both faces
        least_film [m]: a recalled least film for a bearing of this size
        eccentricity_ratio [1]: e, 0 centred, 1 touching
        length_to_diameter [1]: l over d
        sommerfeld_number [1]: S
        projected_pressure [Pa]: P, load over projected area
        peak_pressure [Pa]: greatest pressure in the film
        friction_coefficient [1]: f
        friction_torque [N.m]: drag on the journal
        friction_power [W]: heat made in the film
        oil_flow [m3/s]: oil carried round in the film
        side_flow [m3/s]: oil lost at the two ends, which the feed must replace
        temperature_rise [K]: warming of the oil through the film

    Valid:
        Round, smooth, aligned, ungrooved bearing flooded with oil; steady load; e up to 0.97; l/d up to 3, with flow and
        peak pressure up to 2. Under l/d 0.25 the short-bearing form stands in, and says so. Past e 0.97 no film is told.

    Worked:
        l/d 1 at S 0.0446: h0/c 0.2, from 60 mm, c 0.04 mm, 1260 rpm, 6000 N, 6.293 mPa.s (quoted [2]).

        >>> found = journal_film(0.06, 0.06, 0.00008, 21.0, 6000.0, 0.006293).values
        >>> round(found["sommerfeld_number"], 4), round(1e6 * found["film_thickness"], 1)
        (0.0446, 8.0)

    References:
        1. A. A. Raimondi and J. Boyd, ASLE Transactions 1 (1958) 159-209, full bearing table, read re-keyed (quoted); l/d 3/4,
           1-1/4, 1-1/2, 2 and some rows at e 0.3, 0.5, 0.7 and past 0.9 from our own Reynolds solutions (derived).
        2. U. C. Jindal, Machine Design, ex. 17-2, p. 482, as keyed in an open textbook companion (quoted).
        3. Least film 0.0002 in + 0.00004 d, and film over finish 3 full, 1 touching: recalled, no work seen (from memory).
        4. Starting load up to 300 psi on the projected area, as coded in an open student repository (quoted).
    """
    x = bearing_length / journal_diameter
    clearance = diametral_clearance / 2.0
    pressure = load / (journal_diameter * bearing_length)
    s = (journal_diameter / diametral_clearance) ** 2 * viscosity * speed / pressure
    least = RECALLED_FILM + RECALLED_SLOPE * journal_diameter
    finish = _finish(journal_roughness, bearing_roughness)
    flags = _flags(x, pressure, feed, finish)
    values: dict[str, float | str | bool | None] = {
        "length_to_diameter": x, "sommerfeld_number": s, "projected_pressure": pressure, "least_film": least,
    }  # fmt: skip
    state = film_state(x, s)
    if state is None:
        flags.append(Flag("off-the-table", f"The journal would lie past {THINNEST:.0%} of the way from centred to touching, where the table "
                          "ends; no thickness is told."))  # fmt: skip
        bound = (1.0 - THINNEST) * clearance
        regime = "touching" if finish is not None and bound < MIXED * finish else "off-the-table"
    else:
        if state.eccentricity < THICKEST:
            flags.append(Flag("nearly-centred", "So light a load leaves the journal nearly centred; read above the first row of the table, "
                              "where friction goes over to Petroff's."))  # fmt: skip
        film = (1.0 - state.eccentricity) * clearance
        regime = _regime(film, least, finish)
        torque = state.friction * diametral_clearance / journal_diameter * load * journal_diameter / 2.0
        flow = None if state.flow is None else state.flow * journal_diameter / 2.0 * clearance * speed * bearing_length
        values |= {
            "film_thickness": film, "film_to_finish": None if finish is None else film / finish,
            "eccentricity_ratio": state.eccentricity, "peak_pressure": None if state.peak_share is None else pressure / state.peak_share,
            "friction_coefficient": state.friction * diametral_clearance / journal_diameter, "friction_torque": torque,
            "friction_power": 2.0 * math.pi * speed * torque, "oil_flow": flow,
            "side_flow": None if flow is None or state.side_share is None else flow * state.side_share,
            "temperature_rise": None if state.flow is None or state.side_share is None else
            4.0 * math.pi * pressure * state.friction / (OIL_HEAT * state.flow * (1.0 - state.side_share / 2.0)),
        }  # fmt: skip
    return Result(values | {"regime": regime, "answer": _answer(regime, feed)}, tuple(flags))


def _finish(journal: float | None, bearing: float | None) -> float | None:
    """Combined roughness of both faces [m]: root of the squares, Ra taken to root-mean-square."""
    if journal is None and bearing is None:
        return None
    why = "a film is judged against the finish of both faces"
    return ROUGHNESS_RATIO * math.hypot(needed("journal_roughness", journal, why), needed("bearing_roughness", bearing, why))


def _regime(film: float, least: float, finish: float | None) -> str:
    if finish is None:
        return "not-judged" if film >= least else "thin"
    if film < MIXED * finish:
        return "touching"
    if film < FULL * finish:
        return "mixed"
    return "full-film" if film >= least else "thin"


ANSWERS = {
    "full-film": "this clearance leaves a film over three times the combined roughness and over the recalled least film.",
    "thin": "there is a film, but thinner than the recalled least film for this size: dirt, bend and misalignment can bridge it.",
    "mixed": "the film is one to three times the combined roughness: the high spots meet, and the bearing wears.",
    "touching": "the film is thinner than the combined roughness: metal runs on metal.",
    "not-judged": "there is a film over the recalled least one; whether it clears the finish is not judged, for no finish was given.",
    "off-the-table": "the film is too thin for the table: expect none.",
}


def _answer(regime: str, feed: str) -> str:
    lead = "At the very best, were the bearing flooded, " if feed in STARVED else "If the bearing is flooded, round and true, "
    return lead + ANSWERS[regime]


def _flags(x: float, pressure: float, feed: str, finish: float | None) -> list[Flag]:
    flags = []
    if feed in STARVED:
        flags.append(Flag("starved-feed", "Drip and grease cannot keep this film full: a drip oiler gives well under 1 ml/min; set that beside "
                          "side_flow. The film told is an upper bound, never a pass."))  # fmt: skip
    elif feed == "ring":
        flags.append(Flag("ring-feed", "A ring brings less oil the slower it turns; the film told is for a full bearing, so take it as an "
                          "upper bound at low speed."))  # fmt: skip
    if finish is None:
        flags.append(Flag("finish-not-given", "Give journal_roughness and bearing_roughness to have the film set beside the finish."))
    if x < SHORT:
        flags.append(Flag("short-bearing-form", "Shorter than a quarter of the diameter: below the table. The short-bearing form used here "
                          "tells the film too thick: rough figure."))  # fmt: skip
    if x > CHECKED[-1]:
        flags.append(Flag("long-bearing", "Longer than twice the diameter: the interpolation has not been checked there, flow and peak "
                          "pressure are not told, and so long a bearing seldom lies true along its length."))  # fmt: skip
    if pressure > START_PRESSURE:
        flags.append(Flag("start-load", "Over 300 psi on the projected area: too much for starting under load, when there is no film yet."))
    return flags


CALCULATION = Calculation(
    id="journal-film",
    title="Oil film of a plain bearing",
    inputs=(
        Input("journal_diameter", "length", "in", "journal diameter", low=0.003, high=0.5),
        Input("bearing_length", "length", "in", "bearing length that carries", low=0.001, high=1.0),
        Input("diametral_clearance", "length", "thou", "bore less journal", low=0.0, high=0.005, open_low=True),
        Input("speed", "rotational_speed", "rpm", "journal speed against the bearing", low=0.0, high=100.0, open_low=True),
        Input("load", "force", "lbf", "steady load on the bearing", low=0.0, high=1e6, open_low=True),
        Input("viscosity", "viscosity", "mPa.s", "oil viscosity at film temperature", low=0.0005, high=10.0),
        Input("feed", "choice", "", "how oil comes in", default="drip", choices=("drip", "grease", "ring", "flooded")),
        Input("journal_roughness", "length", "uin", "Ra of the journal", low=0.0, high=5e-5, open_low=True, required=False),
        Input("bearing_roughness", "length", "uin", "Ra of the bearing", low=0.0, high=5e-5, open_low=True, required=False),
    ),
    outputs=(
        Output("regime", "text", "", "", "full-film, thin, mixed, touching, not-judged or off-the-table"),
        Output("answer", "text", "", "", "the answer in a sentence"),
        Output("film_thickness", "length", "thou", "um", "least film thickness"),
        Output("film_to_finish", "ratio", "ratio", "ratio", "least film over the combined roughness"),
        Output("least_film", "length", "thou", "um", "recalled least film for a bearing of this size (from memory)"),
        Output("eccentricity_ratio", "ratio", "ratio", "ratio", "0 centred, 1 touching"),
        Output("length_to_diameter", "ratio", "ratio", "ratio", "bearing length over journal diameter"),
        Output("sommerfeld_number", "ratio", "ratio", "ratio", "bearing characteristic number"),
        Output("projected_pressure", "pressure", "psi", "kPa", "load over projected area"),
        Output("peak_pressure", "pressure", "psi", "kPa", "greatest pressure in the film"),
        Output("friction_coefficient", "ratio", "ratio", "ratio", "friction coefficient of the full film"),
        Output("friction_torque", "torque", "lbf.in", "N.m", "drag on the journal"),
        Output("friction_power", "power", "W", "W", "heat made in the film"),
        Output("oil_flow", "flow", "ml/min", "ml/min", "oil carried round in the film"),
        Output("side_flow", "flow", "ml/min", "ml/min", "oil lost at the two ends; the feed must replace it"),
        Output("temperature_rise", "temperature_difference", "delta_degF", "delta_degC", "warming of the oil through the film"),
    ),
    run=journal_film,
    assumptions=(
        "The bearing is round, smooth, aligned and without a groove in the loaded half; a worn, oval or grooved one carries less.",
        "The load is steady. In an engine it hammers and turns: taken at its peak the answer is gloomy, taken at its mean it is rosy.",
        "Oil viscosity is that of the film, which runs warmer than the oil in the cup; see bearing-heat-balance.",
        "Root-mean-square roughness is taken as 1.25 Ra, and three times the combined roughness as a full film (from memory).",
        "Past about 0.003 in per inch of clearance a loaded film thins as clearance grows (derived).",
    ),
    references=(
        "A. A. Raimondi and J. Boyd, ASLE Transactions 1 (1958) 159-209, full bearing table, read re-keyed (quoted); own rows (derived)",
        "U. C. Jindal, Machine Design, ex. 17-2, p. 482 (quoted)",
        "Least film by size, film over finish: recalled (from memory)",
        "Starting load 300 psi, open student repository (quoted)",
    ),
    cautions=("A film on paper is no leave to run a bearing dry, loose or hot: feel it after the first minutes, engine stopped (C060).",),
)
