"""What a poor contact, ground or wire costs a low-tension ignition circuit."""

from __future__ import annotations

from ._shared import exactly_one, needed
from .frame import Calculation, CalculationError, Flag, Input, Output, Result


def contact_resistance(
    supply: float,
    circuit_resistance: float,
    source_resistance: float = 0.0,
    contact: float | None = None,
    voltage_drop: float | None = None,
    wanted_current: float | None = None,
) -> Result:
    """Steady current with and without a poor contact, what it costs the spark, and how much contact can be borne.

    Equation:
        R = source_resistance + circuit_resistance;  current_clean = supply / R;  current = supply / (R + contact_resistance);
        from a drop measured while the current flows: current = (supply - voltage_drop) / R, contact_resistance = voltage_drop / current;
        energy_share = (current / current_clean)^2;  most_contact = supply / wanted_current - R

    In:
        supply [V]: battery voltage with nothing drawn
        circuit_resistance [ohm]: coil and good wiring
        source_resistance [ohm]: resistance inside the battery
        contact [ohm]: resistance of the poor place
        voltage_drop [V]: volts across the poor place with the points shut, instead
        wanted_current [A]: current the coil should have

    Out:
        current_clean [A]: steady current without the poor place
        current [A]: steady current with it
        current_share [1]: one over the other
        energy_share [1]: share of the coil's energy left at that current
        contact_resistance [ohm]: resistance of the poor place
        voltage_drop [V]: volts lost in it
        contact_heat [W]: heat made in it
        terminal_voltage [V]: volts at the battery's posts with the current flowing
        most_contact [ohm]: largest poor place that still leaves the wanted current

    Valid:
        Battery and coil, points shut long enough for a steady current; a magneto is another matter. No published limit for the
        resistance of a whole ignition circuit was found.

    Worked:
        Ten cells of 1.5 V and 0.2 ohm on 58 ohm: 0.25 A and 14.5 V at the posts (quoted [1]).

        >>> v = contact_resistance(15.0, 58.0, 2.0, contact=0.0).values
        >>> round(v["current"], 3), round(v["terminal_voltage"], 2)
        (0.25, 14.5)

        6 V, 1 ohm coil, 0.1 ohm at a rusty base: 6.00 A falls to 5.45 A (derived).

        >>> v = contact_resistance(6.0, 1.0, contact=0.1).values
        >>> round(v["current"], 2), round(v["energy_share"], 2)
        (5.45, 0.83)

    References:
        1. J. Bird, Electrical Circuit Theory and Technology, ch. 4 ex. 4, p. 36, as keyed in an open textbook companion (quoted).
        2. Own arithmetic (derived).
    """
    total = source_resistance + circuit_resistance
    clean = supply / total
    if exactly_one({"contact": contact, "voltage_drop": voltage_drop}) == "contact":
        ohms = needed("contact", contact, "give contact or voltage_drop")
        current = supply / (total + ohms)
    else:
        drop = needed("voltage_drop", voltage_drop, "give contact or voltage_drop")
        if drop >= supply:
            raise CalculationError("voltage_drop", "cannot be the whole supply: the circuit is open there", "impossible")
        current = (supply - drop) / total
        ohms = drop / current
    share = current / clean
    flags = []
    values: dict[str, float | str | bool | None] = {
        "current_clean": clean, "current": current, "current_share": share, "energy_share": share**2, "contact_resistance": ohms,
        "voltage_drop": current * ohms, "contact_heat": current**2 * ohms, "terminal_voltage": supply - current * source_resistance,
    }  # fmt: skip
    if wanted_current is not None:
        most = supply / wanted_current - total
        if most < 0.0:
            flags.append(Flag("out-of-reach", "The supply cannot push the wanted current even through a perfect contact."))
        else:
            values["most_contact"] = most
            if ohms > most:
                flags.append(Flag("contact-too-poor", "The poor place keeps the current under the one wanted: bright metal, tight, and dry."))
    flags.append(Flag("no-published-limit", "No published limit for the resistance of an ignition circuit was found; judge by the current wanted."))
    return Result(values, tuple(flags))


CALCULATION = Calculation(
    id="contact-resistance",
    title="Poor contact in an ignition circuit",
    inputs=(
        Input("supply", "voltage", "V", "battery voltage with nothing drawn", low=0.0, high=60.0, open_low=True),
        Input("circuit_resistance", "resistance", "ohm", "coil and good wiring", low=0.0, high=1000.0, open_low=True),
        Input("source_resistance", "resistance", "ohm", "inside the battery", low=0.0, high=100.0, default=0.0),
        Input("contact", "resistance", "ohm", "resistance of the poor place", low=0.0, high=1e6, required=False),
        Input("voltage_drop", "voltage", "V", "volts across the poor place, points shut", low=0.0, high=60.0, required=False),
        Input("wanted_current", "current", "A", "current the coil should have", low=0.0, high=100.0, open_low=True, required=False),
    ),
    outputs=(
        Output("current_clean", "current", "A", "A", "steady current without the poor place"),
        Output("current", "current", "A", "A", "steady current with it"),
        Output("current_share", "ratio", "percent", "percent", "share of the current left"),
        Output("energy_share", "ratio", "percent", "percent", "share of the coil's energy left"),
        Output("contact_resistance", "resistance", "ohm", "ohm", "resistance of the poor place"),
        Output("voltage_drop", "voltage", "V", "V", "volts lost in it"),
        Output("contact_heat", "power", "W", "W", "heat made in it"),
        Output("terminal_voltage", "voltage", "V", "V", "volts at the battery's posts"),
        Output("most_contact", "resistance", "ohm", "ohm", "largest poor place that leaves the wanted current"),
    ),
    run=contact_resistance,
    assumptions=("The points stay shut long enough for the current to settle; at speed they do not, see make-and-break-coil.",
                 "An ordinary meter's leads are a few tenths of an ohm: measure the drop with the current flowing rather than the ohms."),
    references=("J. Bird, Electrical Circuit Theory and Technology, ch. 4 ex. 4, p. 36 (quoted)", "Own arithmetic (derived)"),
    cautions=("Points opening under current spark: no fuel, no vapour, no open tank near. Disconnect before using an ohmmeter (C010).",),
)  # fmt: skip
