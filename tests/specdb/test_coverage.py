"""Nothing that matters at the first start is left without a limit, an honest absence, or words to choose from."""

from __future__ import annotations

import pytest

from halfthou_specdb.facts import Engine, truth
from halfthou_specdb.records import Characteristic
from halfthou_specdb.rules import Open
from halfthou_specdb.table import Table

MAIN_CLASSES = ("slow-open-crank", "slow-enclosed-crank", "medium-enclosed-crank")
CRITICAL_AT_LEAST = 40


def _answered(table: Table, what: Characteristic, engine_class: str) -> bool:
    classes = {"any", engine_class}
    limits = any(classes & set(m.classes) for m in table.limits_of.get(what.id, ()))
    absences = any(classes & set(a.classes) for a in table.absences_of.get(what.id, ()))
    return bool(what.words) or limits or absences


@pytest.mark.parametrize("engine_class", MAIN_CLASSES)
def test_what_decides_the_first_start_has_a_limit_an_absence_or_words(engine_class: str, table: Table) -> None:
    engine = Engine(table.engine_class(engine_class))
    critical = [c for c in table.characteristics.values() if c.start_critical]
    assert len(critical) >= CRITICAL_AT_LEAST
    for what in critical:
        applies = all(truth(f, engine, what, table.features) is not False for f in what.applies_if)
        assert not applies or _answered(table, what, engine_class), what.id


def test_every_characteristic_has_words_a_limit_an_absence_or_evidence(table: Table) -> None:
    silent = [
        c.id
        for c in table.characteristics.values()
        if not (c.words or table.limits_of.get(c.id) or table.absences_of.get(c.id) or table.evidence_of(c.id))
    ]
    assert silent == []


def test_a_limit_is_never_without_any_number(table: Table) -> None:
    for limit in table.limits.values():
        assert any(not isinstance(limit.bound(end), Open) for end in ("fit_low", "fit_high", "wear_low", "wear_high")), limit.id


def test_an_absence_says_what_was_sought_and_what_to_do_instead(table: Table) -> None:
    for absences in table.absences_of.values():
        for absence in absences:
            assert len(absence.reason.split()) >= 4, absence.characteristic
            assert len(absence.instead.split()) >= 4, absence.characteristic


def test_a_crack_through_a_wheel_a_rod_or_a_crank_stops_the_engine(table: Table) -> None:
    for name in ("flywheel-hub-crack", "connecting-rod-crack", "crankshaft-crack"):
        vetoes = [w.veto for w in table.characteristic(name).words]
        assert "stops-engine" in vetoes or "stops-part" in vetoes, name
    assert "stops-engine" in [w.veto for w in table.characteristic("flywheel-hub-crack").words]


def test_what_hurts_people_has_no_softened_figure(table: Table) -> None:
    for name in ("fuel-tank-leak", "fuel-tank-vent", "fuel-tank-soundness"):
        assert table.limits_of.get(name, ()) == ()
    assert not any(m.unit.dimension == "pressure" and m.characteristic.startswith("fuel-tank") for m in table.limits.values())
    for limit in table.limits.values():
        if limit.kind == "safety":
            assert limit.cautions, limit.id
            assert limit.reasoning, limit.id


def test_guides_fail_nothing(table: Table) -> None:
    guides = [m for m in table.limits.values() if m.kind == "guide"]
    assert guides
    assert all(isinstance(m.wear_low, Open) and isinstance(m.wear_high, Open) for m in guides)
    for name in ("igniter-timing", "cranking-pressure", "lowtension-mag-output", "igniter-opening"):
        assert all(m.kind == "guide" for m in table.limits_of.get(name, ())), name
