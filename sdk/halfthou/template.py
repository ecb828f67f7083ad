"""Sheets to start from, as text. They are examples: put your own engine and readings in their place."""

from __future__ import annotations

COLUMNS = (
    "id,characteristic,value,repeats,low,high,goes,does_not_go,unit,finding,instrument,instance,station,axis,state,temperature,"
    "instrument_temperature,material,basis,standard_uncertainty,expanded_uncertainty,coverage_factor,degrees_of_freedom,pooled_scatter,"
    "pooled_degrees_of_freedom,relative,along,fit_low,fit_high,wear_low,wear_high,confirmed,note,survey,feature,shared_uncertainty,new,"
    "new_uncertainty,same_tool"
).split(",")
"""Every column a CSV sheet may have; any of them may be left out."""
_ROWS: tuple[dict[str, str], ...] = (
    {"id": "r1", "characteristic": "rod-bearing-running-clearance", "value": "3.8", "unit": "thou", "instrument": "plastic-gauge-strip",
     "instance": "rod", "note": "one reading"},
    {"id": "r2", "characteristic": "main-bearing-running-clearance", "repeats": "3.1|3.0|3.3|3.1", "unit": "thou",
     "instrument": "plastic-gauge-strip", "instance": "left main", "note": "repeats in one place"},
    {"id": "r3", "characteristic": "timing-gear-backlash", "low": "0.012", "high": "0.034", "unit": "in", "instrument": "dial-indicator",
     "note": "a range met round the wheel"},
    {"id": "r4", "characteristic": "ring-end-gap", "goes": "0.018", "does_not_go": "0.019", "unit": "in", "instrument": "feeler-gauge",
     "instance": "ring 1", "station": "below ring travel", "note": "the leaf that goes and the one that does not"},
    {"id": "r5", "characteristic": "flywheel-hub-crack", "finding": "none found", "instrument": "penetrant-dye", "note": "a finding in words"},
    {"survey": "pin", "feature": "crankpin", "station": "inner", "axis": "in line of throw", "value": "2.2493", "unit": "in",
     "instrument": "outside-micrometer", "note": "a survey: its rows share the word in the survey column"},
    {"survey": "pin", "station": "inner", "axis": "across throw", "value": "2.2496", "unit": "in", "note": "what is told once holds for all"},
    {"survey": "pin", "station": "outer", "axis": "in line of throw", "value": "2.2493", "unit": "in"},
    {"survey": "pin", "station": "outer", "axis": "across throw", "value": "2.2497", "unit": "in"},
    {"survey": "side", "feature": "ring-side-clearances", "instance": "ring 1", "value": "2.5", "unit": "thou", "instrument": "feeler-gauge",
     "note": "several of one kind: each names its instance"},
    {"survey": "side", "instance": "ring 2", "value": "3", "unit": "thou"},
    {"survey": "side", "instance": "ring 3", "value": "2.5", "unit": "thou"},
)  # fmt: skip

JSON = """\
{
  "engine": {
    "id": "my-engine",
    "engine_class": "slow-open-crank",
    "use": "work",
    "features": ["drip-oiled"],
    "dimensions": {
      "bore": {"value": 5.25, "unit": "in"}, "stroke": {"value": 7.5, "unit": "in"},
      "crankpin": {"value": 2.25, "unit": "in"}, "main-journal": {"value": 2, "unit": "in"}
    }
  },
  "stage": "assembly",
  "readings": [
    {"id": "r1", "characteristic": "rod-bearing-running-clearance", "value": {"value": 3.8, "unit": "thou"},
     "instrument": "plastic-gauge-strip", "place": {"instance": "rod"}},
    {"id": "r2", "characteristic": "main-bearing-running-clearance", "instrument": "plastic-gauge-strip", "place": {"instance": "left main"},
     "values": [{"value": 3.1, "unit": "thou"}, {"value": 3.0, "unit": "thou"}, {"value": 3.3, "unit": "thou"}, {"value": 3.1, "unit": "thou"}]},
    {"id": "r3", "characteristic": "flywheel-hub-crack", "finding": "none found", "instrument": "penetrant-dye"}
  ],
  "surveys": [
    {"id": "pin", "feature": "crankpin", "instance": "crankpin", "instrument": "outside-micrometer", "unit": "in",
     "temperature": {"value": 66, "unit": "degF"},
     "readings": [
       {"station": "inner", "axis": "in line of throw", "value": 2.2493}, {"station": "inner", "axis": "across throw", "value": 2.2496},
       {"station": "inner", "axis": "45 degrees", "value": 2.2495},
       {"station": "middle", "axis": "in line of throw", "value": 2.2492}, {"station": "middle", "axis": "across throw", "value": 2.2496},
       {"station": "middle", "axis": "45 degrees", "value": 2.2494},
       {"station": "outer", "axis": "in line of throw", "value": 2.2493}, {"station": "outer", "axis": "across throw", "value": 2.2497},
       {"station": "outer", "axis": "45 degrees", "value": 2.2495}
     ]},
    {"id": "side", "feature": "ring-side-clearances", "instrument": "feeler-gauge", "unit": "thou",
     "readings": [{"instance": "ring 1", "value": 2.5}, {"instance": "ring 2", "value": 3}, {"instance": "ring 3", "value": 2.5}]}
  ]
}
"""


def csv_template() -> str:
    """A CSV sheet with every column, a reading of each kind and two surveys."""
    lines = [",".join(COLUMNS)]
    lines += [",".join(row.get(column, "") for column in COLUMNS) for row in _ROWS]
    return "\n".join(lines) + "\n"


def sheet_template(kind: str) -> str:
    """The template of a kind: ``csv`` or ``json``."""
    return JSON if kind == "json" else csv_template()
