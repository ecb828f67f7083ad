"""A bad record is refused with file, line, id and reason; one bad record does not hide the others."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest

from halfthou_specdb.build import build
from halfthou_specdb.errors import RecordError
from halfthou_specdb.lint import faults
from halfthou_specdb.load import RawRecord, read_all, read_text
from halfthou_specdb.rules import Constant
from halfthou_specdb.table import Table

BASE = {
    "works.toml": """
[[work]]
id = "book"
title = "A book"
citation = "A book, 1910"
""",
    "classes.toml": """
[[class]]
id = "slow"
kind = "class"
name = "Slow"
description = "slow engines"
implies = ["poured"]
nearest_kin = ["motor"]
[[class]]
id = "motor"
kind = "kin"
name = "Motor"
description = "motors"
""",
    "dimensions.toml": """
[[dimension]]
id = "crankpin"
name = "Crankpin"
unit = "in"
""",
    "features.toml": """
[[feature]]
id = "poured"
group = "bearings"
says = "poured white metal"
""",
    "instruments.toml": """
[[instrument]]
id = "strip"
name = "gauge strip"
measures = "length"
cost_class = 1
default_variant = "fine"
[[instrument.variant]]
id = "fine"
name = "fine strip"
resolution = { value = 0.0005, unit = "in" }
parts = [{ name = "scale", kind = "constant", value = 0.2, unit = "thou", grade = "from-memory" }]
""",
    "characteristics/rod.toml": """
[[characteristic]]
id = "rod-clearance"
name = "Rod clearance"
component = "rod"
definition = "bore less pin"
how_to_measure = "gauge strip"
instruments = ["strip"]
usual_instrument = "strip"
scales_with = ["crankpin"]
value_kind = "quantity"
unit = "in"
basis = "diametral"
non_negative = true
low_side = { meaning = "too-tight", says = "burns" }
high_side = { meaning = "worn", says = "knocks" }
consequence = "noise"
stage = "assembly"
start_critical = true
grade = "common-practice"
""",
    "evidence/rod.toml": """
[[evidence]]
id = "E1"
characteristics = ["rod-clearance"]
kin = "motor"
written_for = "motors"
says = "0.001 in per inch, worn 0.0040"
kind = "fit"
basis = "diametral"
unit = "in"
low = { per = 0.001 }
high = 0.0040
grade = "published"
work = "book"
locator = "page 1"
""",
    "limits/rod.toml": """
[[limit]]
id = "rod"
kind = "limit"
characteristic = "rod-clearance"
classes = ["slow"]
use = "work"
sizes = { of = "crankpin", from = 1, to = 3, unit = "in" }
unit = "in"
basis = "diametral"
fit = { low = { per = 0.001 }, high = 0.0040 }
reasoning = "the book says so"
[limit.derivation]
fit_low = { op = "equals", of = ["E1.low"] }
fit_high = { op = "equals", of = ["E1.high"] }
""",
}


def write(root: Path, name: str = "", old: str = "", new: str = "") -> Path:
    """The smallest sound set of data files, with one passage of one file changed."""
    for file, text in BASE.items():
        if file == name:
            assert text.count(old) >= 1, old
            text = text.replace(old, new, 1)
        path = root / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root


def test_the_smallest_sound_set_is_accepted(tmp_path: Path) -> None:
    assert faults(write(tmp_path / "data")) == []
    edition = build(tmp_path / "out.sqlite", tmp_path / "data")
    assert Table.open(tmp_path / "out.sqlite").edition == edition


def test_digits_are_kept_from_the_file_to_the_record(tmp_path: Path) -> None:
    table = Table.from_files(write(tmp_path))
    high = table.limits["rod"].fit_high
    assert isinstance(high, Constant)
    assert str(high.value) == "0.0040"


EVIDENCE, LIMIT, WHAT = "evidence/rod.toml", "limits/rod.toml", "characteristics/rod.toml"
CLEARANCE = "zero or less is no lower bound"

REFUSED = [
    # name, file, passage, what stands there instead, id, reason
    ("zero lower bound of a clearance", EVIDENCE, "low = { per = 0.001 }", "low = 0", "E1", CLEARANCE),
    ("zero lower bound with places", EVIDENCE, "low = { per = 0.001 }", "low = 0.0000", "E1", CLEARANCE),
    ("negative lower bound of a clearance", EVIDENCE, "low = { per = 0.001 }", "low = -0.001", "E1", CLEARANCE),
    ("zero lower fit of a limit", LIMIT, "fit = { low = { per = 0.001 }", "fit = { low = 0", "rod", CLEARANCE),
    ("zero lower wear of a limit", LIMIT, 'reasoning', 'wear = { low = 0, high = "none_on_file" }\nreasoning', "rod", CLEARANCE),
    ("no grade", EVIDENCE, 'grade = "published"\n', "", "E1", "grade: Missing data"),
    ("a grade nobody defined", EVIDENCE, '"published"', '"certain"', "E1", "grade: Must be one of"),
    ("the owner's grade in the table", EVIDENCE, '"published"', '"owner"', "E1", "grade: Must be one of"),
    ("published without work", EVIDENCE, 'work = "book"\n', "", "E1", "published needs work and locator"),
    ("published without locator", EVIDENCE, 'locator = "page 1"\n', "", "E1", "published needs work and locator"),
    ("published with an empty locator", EVIDENCE, '"page 1"', '""', "E1", "published needs work and locator"),
    ("quoted without locator", EVIDENCE, 'grade = "published"\nwork = "book"\nlocator = "page 1"',
     'grade = "quoted"\nwork = "book"', "E1", "quoted needs work and locator"),
    ("recall dressed up with a work", EVIDENCE, '"published"', '"from-memory"', "E1", "from-memory carries no work"),
    ("practice dressed up with a work", EVIDENCE, '"published"', '"common-practice"', "E1", "common-practice carries no work"),
    ("unknown key of evidence", EVIDENCE, "[[evidence]]", "[[evidence]]\nmaximum = 4", "E1", "maximum: Unknown field"),
    ("unknown key of a limit", LIMIT, "[[limit]]", "[[limit]]\nauthor = \"me\"", "rod", "author: Unknown field"),
    ("standing typed by hand", LIMIT, "[[limit]]", '[[limit]]\nstanding = "stated"', "rod", "standing: Unknown field"),
    ("standing of an end typed by hand", LIMIT, 'of = ["E1.low"]', 'of = ["E1.low"], standing = "stated"', "rod",
     r"standing: Unknown field"),
    ("grade of a limit typed by hand", LIMIT, "[[limit]]", '[[limit]]\ngrade = "published"', "rod", "grade: Unknown field"),
    ("bad rule: a key of no rule", EVIDENCE, "{ per = 0.001 }", "{ per = 0.001, curve = 2 }", "E1", "no rule kind has just these keys"),
    ("bad rule: words where a number belongs", EVIDENCE, "{ per = 0.001 }", '{ per = "tight" }', "E1", "may hold numbers only"),
    ("bad rule: a word for a bound", EVIDENCE, "high = 0.0040", 'high = "some"', "E1", "neither a number"),
    ("bad rule: true for a bound", EVIDENCE, "high = 0.0040", "high = true", "E1", "is not a bound"),
    ("bad rule: steps that fall", EVIDENCE, "high = 0.0040", "high = { steps = [{ to = 3, value = 0.004 }, { to = 2, value = 0.003 }] }",
     "E1", "steps of a table must rise"),
    ("bad rule: scales with nothing known", EVIDENCE, "{ per = 0.001 }", '{ per = 0.001, of = "crankpn" }', "E1",
     "which is not a dimension"),
    ("range upside down in evidence", EVIDENCE, "grade", 'sizes = { of = "crankpin", from = 3, to = 1, unit = "in" }\ngrade', "E1",
     "a range must rise"),
    ("range upside down in a limit", LIMIT, "from = 1, to = 3", "from = 3, to = 1", "rod", "a range must rise"),
    ("derivation of one end missing", LIMIT, 'fit_high = { op = "equals", of = ["E1.high"] }\n', "", "rod",
     "every numeric end has one derivation: fit_high"),
    ("derivation missing altogether", LIMIT, BASE[LIMIT][BASE[LIMIT].index("[limit.derivation]"):], "", "rod",
     "every numeric end has one derivation: fit_high, fit_low"),
    ("derivation for an end without a number", LIMIT, "[limit.derivation]",
     '[limit.derivation]\nwear_high = { op = "equals", of = ["E1.high"] }', "rod", "one derivation: wear_high"),
    ("derivation without parents", LIMIT, 'op = "equals", of = ["E1.low"]', 'op = "equals"', "rod", "names its parents in 'of'"),
    ("judgement with the wrong word", LIMIT, 'op = "equals", of = ["E1.low"]', 'op = "judgement", of = ["E1.low"]', "rod",
     "names its parents in 'between'"),
    ("numbers without a unit", EVIDENCE, 'unit = "in"\n', "", "E1", "need a unit"),
    ("a unit nobody knows", EVIDENCE, 'unit = "in"', 'unit = "inhces"', "E1", "no unit is called 'inhces'"),
    ("a text where a number belongs", LIMIT, "from = 1,", 'from = "1",', "rod", "a number is wanted"),
    ("a basis nobody defined", LIMIT, '"diametral"', '"double"', "rod", "basis: Must be one of"),
    ("empty reasoning", LIMIT, '"the book says so"', '""', "rod", "reasoning: Shorter than minimum length"),
    ("a finding without words", WHAT, '"quantity"', '"finding"', "rod-clearance", "a finding has words"),
    ("a quantity without a usual instrument", WHAT, 'usual_instrument = "strip"\n', "", "rod-clearance", "needs unit and usual_instrument"),
    ("a meaning nobody defined", WHAT, '"too-tight"', '"snug"', "rod-clearance", "low_side.meaning: Must be one of"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "file", "old", "new", "record_id", "reason"), REFUSED, ids=[row[0] for row in REFUSED])
def test_a_bad_record_is_refused_with_file_line_id_and_reason(
    name: str, file: str, old: str, new: str, record_id: str, reason: str, tmp_path: Path
) -> None:
    root = write(tmp_path / "data", file, old, new)
    target = tmp_path / "out.sqlite"
    with pytest.raises(RecordError, match=reason) as caught:
        build(target, root)
    assert (caught.value.file, caught.value.line, caught.value.record_id) == (file, 2, record_id), name
    assert str(caught.value).startswith(f"{file}:2: {record_id}: ")
    assert not target.exists()
    assert list(tmp_path.glob("*.tmp")) == []
    assert any(re.match(rf"{file}:2: {record_id}: .*{reason}", line) for line in faults(root))


LINTED = [
    # name, file, passage, what stands there instead, fault
    ("interval upside down", LIMIT, "high = 0.0040 }", "high = 0.0005 }", "fit_low over fit_high"),
    ("limit that does not follow from its evidence", LIMIT, "high = 0.0040 }", "high = 0.0045 }", "fit_high: 0.0045 is not what"),
    ("parent nobody recorded", LIMIT, '"E1.low"', '"E9.low"', "no evidence record is called 'E9'"),
    ("parent without a side", LIMIT, '"E1.low"', '"E1"', "must end in .low or .high"),
    ("work nobody recorded", EVIDENCE, '"book"', '"bok"', "no work is called 'bok'"),
    ("kin nobody recorded", EVIDENCE, '"motor"', '"steam"', "no kin is called 'steam'"),
    ("class nobody recorded", LIMIT, '"slow"', '"slw"', "no class is called 'slw'"),
    ("kin taken for a class", LIMIT, '["slow"]', '["motor"]', "no class is called 'motor'"),
    ("condition nobody recorded", LIMIT, 'use = "work"', 'use = "work"\nwhen = ["shiny"]', "no condition is called 'shiny'"),
    ("guide with a wear bound", LIMIT, 'kind = "limit"', 'kind = "guide"\nwear = { low = "none_on_file", high = 0.005 }', "."),
    ("safety limit for one class only", LIMIT, 'kind = "limit"', 'kind = "safety"', "holds for every class and use"),
    ("limit that ignores use", LIMIT, 'use = "work"', 'use = "any"', "only a safety limit ignores use"),
    ("limit on a scan in doubt", EVIDENCE, 'locator = "page 1"', 'locator = "page 1"\nscan_doubt = true', "scan order is in doubt"),
    ("two limits equally specific", LIMIT, "[[limit]]", BASE[LIMIT].replace('"rod"', '"rod-again"') + "\n[[limit]]", "ties with"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "file", "old", "new", "fault"), LINTED, ids=[row[0] for row in LINTED])
def test_the_linter_names_what_does_not_hang_together(
    name: str, file: str, old: str, new: str, fault: str, tmp_path: Path
) -> None:
    found = faults(write(tmp_path, file, old, new))
    assert any(re.search(fault, line) for line in found), found
    assert all(re.match(r"[a-z/]+\.toml:\d+: ", line) for line in found), found


def test_an_id_used_twice_names_the_first_place(tmp_path: Path) -> None:
    text = BASE[EVIDENCE]
    root = write(tmp_path, EVIDENCE, text, text + text)
    with pytest.raises(RecordError, match=re.escape(f"the id stands already at {EVIDENCE}:2")) as caught:
        Table.from_files(root)
    assert (caught.value.file, caught.value.line, caught.value.record_id) == (EVIDENCE, 17, "E1")


def test_one_bad_record_does_not_hide_the_others(tmp_path: Path) -> None:
    bad = BASE[EVIDENCE].replace('grade = "published"\n', "").replace('"E1"', '"E2"')
    root = write(tmp_path, EVIDENCE, "\n[[evidence]]", bad + "\n[[evidence]]")
    good, refused = read_all(root)
    assert [r.id for r in good if r.kind == "evidence"] == ["E1"]
    assert [(r.record_id, r.line) for r in refused] == [("E2", 2)]


def test_a_text_that_is_not_toml_is_refused_with_its_line() -> None:
    (only,) = list(read_text('[[work]]\nid = "a"\ntitle = \n', "works.toml"))
    assert isinstance(only, RecordError)
    assert (only.file, only.line, only.record_id) == ("works.toml", 3, "(file)")


def test_a_record_kind_nobody_defined_is_refused() -> None:
    (only,) = list(read_text('[[wrok]]\nid = "a"\n', "works.toml"))
    assert isinstance(only, RecordError)
    assert "no record kind" in only.reason


def test_numbers_in_a_record_are_exact_decimals() -> None:
    (only,) = list(read_text('[[typical]]\nid = "a"\nhp_from = 1\nhp_to = 1.50\nclass = "slow"\ndimension = "bore"\nlow = 0.10\n'
                             'high = 3.7500\nunit = "in"\ngrade = "from-memory"\n', "typical.toml"))  # fmt: skip
    assert isinstance(only, RawRecord)
    assert only.raw["high"] == Decimal("3.7500")
    assert str(only.raw["high"]) == "3.7500"


def test_the_data_files_have_no_faults() -> None:
    assert faults() == []
