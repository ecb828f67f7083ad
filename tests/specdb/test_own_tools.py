"""The owner's own tools in an overlay: what they replace, for which engine, and every fault of them."""

from __future__ import annotations

import pytest

from halfthou_specdb.errors import RecordError
from halfthou_specdb.overlay import Overlay, edition_with, overlay_faults, overlay_of
from halfthou_specdb.table import Table

HEAD = '[overlay]\nengine = "H"\ntitle = "My own book"\n'
TOOL = """
[[instrument]]
id = "{id}"
name = "my micrometer"
measures = "{measures}"
default_variant = "checked"
[[instrument.variant]]
id = "checked"
name = "checked on its rod"
{more}
parts = [{parts}]
"""
PART = '{ name = "limit of error", kind = "constant", value = 0.05, unit = "thou" }'


def text(tool_id: str = "my-micrometer", measures: str = "length", parts: str = PART, more: str = "") -> str:
    return HEAD + TOOL.format(id=tool_id, measures=measures, parts=parts, more=more)


def faults(table: Table, body: str) -> list[RecordError]:
    return list(overlay_faults(table, body, "own.toml"))


def test_a_tool_of_ones_own_is_added_for_that_engine(table: Table) -> None:
    overlay = overlay_of(table, text(), "own.toml")
    assert [tool.id for tool in overlay.instruments] == ["my-micrometer"]
    own = overlay.table_for(table, "H")
    assert set(own.instruments) == {*table.instruments, "my-micrometer"}
    part = own.instruments["my-micrometer"].variants[0].parts[0]
    assert (part.grade, str(part.value)) == ("owner", "0.05")
    assert overlay.table_for(table, "other") is table
    assert overlay.table_for(table, "") is table
    assert "my-micrometer" not in table.instruments


def test_one_with_the_id_of_ours_takes_its_place(table: Table) -> None:
    overlay = overlay_of(table, text("outside-micrometer"), "own.toml")
    assert set(overlay.table_for(table, "H").instruments) == set(table.instruments)
    assert overlay.table_for(table, "H").instruments["outside-micrometer"].name == "my micrometer"
    assert table.instruments["outside-micrometer"].name != "my micrometer"


def test_everything_else_of_the_table_is_the_same(table: Table) -> None:
    own = overlay_of(table, text(), "own.toml").table_for(table, "H")
    assert own.edition == table.edition
    assert own.limits_of.keys() == table.limits_of.keys()
    assert own.characteristics == table.characteristics


def test_a_tool_enters_the_edition(table: Table) -> None:
    plain, one, other = (overlay_of(table, body, "x") for body in (HEAD, text(), text(parts=PART.replace("0.05", "0.06"))))
    editions = {edition_with(table, overlay) for overlay in (plain, one, other)}
    assert len(editions) == 3
    assert all(e.startswith(table.edition) for e in editions)
    assert isinstance(plain, Overlay)
    assert plain.instruments == ()


@pytest.mark.parametrize(("change", "word"), [
    ({"measures": "beauty"}, "no kind of quantity"), ({"measures": "voltage"}, "the tool measures voltage"),
    ({"parts": PART.replace("0.05", "-1")}, "below zero"), ({"parts": PART.replace("0.05", "0")}, "come to nothing"),
    ({"parts": ""}, "every tool has some doubt"), ({"parts": PART.replace('unit = "thou"', 'unit = "thuo"')}, "thuo"),
    ({"parts": PART.replace(', unit = "thou"', "")}, "has no unit"), ({"parts": PART.replace("constant", "counts")}, "resolution"),
    ({"parts": PART.replace("constant", "odd")}, "kind"), ({"parts": PART.replace("}", ', grade = "mine" }')}, "grade"),
    ({"parts": PART.replace("0.05", '"x"')}, "a number is wanted"), ({"parts": PART.replace("0.05", "1e400")}, "value"),
    ({"parts": PART.replace("0.05", "nan")}, "value"), ({"more": 'work = "no-such-work"'}, "no work is called"), ({"more": "colour = 1"}, "colour"),
    ({"tool_id": "My Tool"}, "lower-case words"), ({"more": 'reads = { from = 2, to = 1, unit = "in" }'}, "a range must rise"),
])  # fmt: skip
def test_every_fault_is_told_where_it_stands(table: Table, change: dict[str, str], word: str) -> None:
    found = faults(table, text(**change))
    assert found
    assert any(word in f.reason for f in found), [f.reason for f in found]
    assert {f.line for f in found} == {5}
    assert all(f.file == "own.toml" for f in found)


def test_a_default_that_is_no_variant_and_an_id_twice(table: Table) -> None:
    assert "default_variant" in faults(table, text().replace('default_variant = "checked"', 'default_variant = "other"'))[0].reason
    twice = faults(table, text() + TOOL.format(id="my-micrometer", measures="length", parts=PART, more=""))
    assert [f.reason for f in twice] == ["the id stands already above"]


def test_too_many_and_the_wrong_shape(table: Table) -> None:
    many = HEAD + "".join(TOOL.format(id=f"t-{i}", measures="length", parts=PART, more="") for i in range(101))
    assert "at most 100 tools" in faults(table, many)[0].reason
    assert "under a heading of its own" in faults(table, 'instrument = 3\n' + HEAD)[0].reason
    assert faults(table, HEAD + "[tool]\n")[0].reason.startswith("only [overlay], [[limit]] and [[instrument]]")


def test_every_tool_of_ours_could_stand_in_an_overlay(table: Table) -> None:
    from halfthou_specdb.own_tools import tool, tool_faults

    for record in table.raw("instrument"):
        assert list(tool_faults(table, record.raw)) == [], record.id
        assert tool(record.raw) == table.instruments[record.id]
