"""Every calculation's docstring is complete, agrees with what is declared, and its worked numbers come out."""

from __future__ import annotations

import doctest
import re
from importlib import import_module
from pathlib import Path

import pytest

from halfthou_service.calculations import CALCULATIONS
from halfthou_service.calculations.frame import Calculation
from halfthou_specdb.units import UNITS

SI = {
    "length": "m", "area": "m2", "volume": "m3", "mass": "kg", "force": "N", "pressure": "Pa", "torque": "N.m", "energy": "J", "power": "W",
    "speed": "m/s", "rotational_speed": "rev/s", "frequency": "Hz", "angle": "rad", "time": "s", "voltage": "V", "current": "A",
    "resistance": "ohm", "capacitance": "F", "inductance": "H", "flux_density": "T", "stiffness": "N/m", "viscosity": "Pa.s",
    "kinematic_viscosity": "m2/s", "density": "kg/m3", "expansion": "1/K", "flow": "m3/s", "linear_frequency": "1/m", "ratio": "1",
    "count": "count", "count_rate": "1/s", "temperature": "K", "temperature_difference": "K", "choice": "choice", "flag": "flag",
    "text": "text",
}  # fmt: skip
"""What stands in square brackets for each kind of input or output."""

ALSO = {"text": {"text", "choice"}, "count": {"count", "1"}, "flag": {"flag", "true/false"}}
"""Other words allowed there: a text output that is one of a few words; a pure number."""

HEADINGS = ("Equation:", "In:", "Out:", "Valid:", "Worked:", "References:")
GRADES = ("published", "quoted", "derived", "own arithmetic", "from memory", "common practice", "nothing found")
EVERY = [pytest.param(c, id=c.id) for c in CALCULATIONS.values()]


def sections(what: Calculation) -> dict[str, str]:
    """Heading -> its indented text; the summary under ``''``."""
    found: dict[str, list[str]] = {"": []}
    heading = ""
    for line in what.docs.splitlines():
        if line.strip() in HEADINGS:
            heading = line.strip()
            assert heading not in found, f"{what.id}: {heading} stands twice"
            found[heading] = []
        else:
            found[heading].append(line)
    return {name: "\n".join(lines).strip("\n") for name, lines in found.items()}


def symbols(text: str) -> dict[str, tuple[str, str]]:
    """Name -> unit in brackets and the words after it."""
    return {m[1]: (m[2], m[3].strip()) for m in re.finditer(r"^ *(\w+) \[([^\]]+)\]: (.+)$", text, re.MULTILINE)}


@pytest.mark.parametrize("what", EVERY)
def test_every_part_is_there_in_order(what: Calculation) -> None:
    found = sections(what)
    assert tuple(found) == ("", *HEADINGS)
    assert all(text.strip() for text in found.values()), what.id
    summary = found[""].strip().splitlines()[0]
    assert summary.endswith("."), f"{what.id}: the first line is a sentence"
    assert len(summary) <= 140
    assert "=" in found["Equation:"], f"{what.id}: no equation"


@pytest.mark.parametrize("what", EVERY)
def test_symbols_and_units_agree_with_what_is_declared(what: Calculation) -> None:
    found = sections(what)
    for heading, declared in (("In:", what.inputs), ("Out:", what.outputs)):
        told = symbols(found[heading])
        assert sorted(told) == sorted(item.name for item in declared), f"{what.id} {heading} names differ"
        for item in declared:
            unit, words = told[item.name]
            assert unit in ALSO.get(item.dimension, {SI[item.dimension]}), f"{what.id} {item.name} is {item.dimension}, not [{unit}]"
            assert words, f"{what.id} {item.name} is not explained"


@pytest.mark.parametrize("what", EVERY)
def test_the_function_takes_what_is_declared(what: Calculation) -> None:
    code = what.run.__code__
    assert set(code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]) == {item.name for item in what.inputs}


@pytest.mark.parametrize("what", EVERY)
def test_worked_numbers_come_out(what: Calculation) -> None:
    worked = sections(what)["Worked:"]
    module = import_module(what.run.__module__)
    examples = doctest.DocTestParser().get_doctest(worked, dict(vars(module)), what.id, what.run.__module__, 0)
    assert any(example.want for example in examples.examples), f"{what.id}: no worked number with its answer"
    trouble: list[str] = []
    result = doctest.DocTestRunner(verbose=False).run(examples, out=trouble.append)
    assert result.failed == 0, "".join(trouble)


@pytest.mark.parametrize("what", EVERY)
def test_a_worked_number_says_where_it_comes_from(what: Calculation) -> None:
    worked = " ".join(sections(what)["Worked:"].split())
    assert any(grade in worked for grade in GRADES), f"{what.id}: worked number without a grade"


@pytest.mark.parametrize("what", EVERY)
def test_references_are_numbered_graded_and_used(what: Calculation) -> None:
    text = sections(what)["References:"]
    numbers = [int(n) for n in re.findall(r"^ *(\d+)\. ", text, re.MULTILINE)]
    assert numbers == list(range(1, len(numbers) + 1))
    assert numbers, f"{what.id}: no reference"
    for entry in re.split(r"^ *\d+\. ", text, flags=re.MULTILINE)[1:]:
        assert any(grade in " ".join(entry.split()) for grade in GRADES), f"{what.id}: reference without a grade: {entry.strip()[:60]}"
    prose = [line for heading, part in sections(what).items() if heading not in {"In:", "Out:", "References:"}
             for line in part.splitlines() if not line.strip().startswith((">>>", "..."))]  # fmt: skip
    cited = {int(n) for n in re.findall(r"\[(\d+)\]", "\n".join(prose))}
    assert cited <= {*numbers}, f"{what.id} cites what is not listed"


@pytest.mark.parametrize("what", EVERY)
def test_declared_units_exist_and_are_of_their_kind(what: Calculation) -> None:
    for item in what.inputs:
        if item.dimension not in {"choice", "flag"}:
            assert UNITS[item.unit].dimension == item.dimension, f"{what.id} {item.name}"
        assert (item.dimension == "choice") == bool(item.choices), f"{what.id} {item.name}"
        if isinstance(item.default, str):
            assert item.default in item.choices
        elif item.default is not None and not isinstance(item.default, bool):
            assert isinstance(item.default, float), f"{what.id} {item.name}: a default is a float"
            assert item.low is None or item.default >= item.low
            assert item.high is None or item.default <= item.high
        assert item.says, f"{what.id} {item.name}"
    for output in what.outputs:
        if output.dimension not in {"text", "flag", "choice"}:
            assert {UNITS[output.inch].dimension, UNITS[output.metric].dimension} == {output.dimension}, f"{what.id} {output.name}"
        assert output.says, f"{what.id} {output.name}"


@pytest.mark.parametrize("what", EVERY)
def test_declaration_says_what_is_assumed_and_from_where(what: Calculation) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", what.id)
    assert what.title
    assert what.assumptions
    assert what.references


def test_modules_are_of_one_calculation_and_no_longer_than_a_sitting() -> None:
    folder = Path(import_module("halfthou_service.calculations").__path__[0])
    for what in CALCULATIONS.values():
        module = what.run.__module__.rpartition(".")[2]
        assert module == what.id.replace("-", "_"), f"{what.id} lives in {module}"
        assert len((folder / f"{module}.py").read_text(encoding="utf-8").splitlines()) <= 300


def test_the_set_of_the_design_is_there() -> None:
    assert set(CALCULATIONS) >= {
        "journal-film", "bearing-heat-balance", "thermal-clearance", "ring-gap-closure", "press-fit", "shrink-fit", "flywheel-rim",
        "flywheel-energy", "key-strength", "helical-spring", "engine-displacement", "compression-ratio", "compression-pressure",
        "indicated-power", "brake-power", "piston-speed", "rim-distance", "piston-position", "flat-belt", "shim-pack", "rebore", "regrind",
        "oil-viscosity", "make-and-break-coil", "magneto-comparison", "contact-resistance", "tank-leak-down", "gear-backlash", "valve-seat",
        "screen-cloth", "paint-film", "fastener-tightening", "hopper-water",
    }  # fmt: skip
