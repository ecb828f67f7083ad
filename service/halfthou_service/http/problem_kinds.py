"""Every kind of problem: slug, status, title, what it means and what to do. Documented in ``docs/http.md``; a test compares."""

from __future__ import annotations

ROWS: tuple[tuple[str, int, str, str], ...] = (
    # the request as such
    ("bad-request", 400, "Bad request", "The request cannot be understood."),
    ("bad-json", 400, "Not JSON", "The body is not JSON (UTF-8, no NaN, no infinity)."),
    ("duplicate-key", 400, "Key written twice", "A key stands twice in one object; keep the one you mean."),
    ("too-deep", 400, "Nested too deeply", "Arrays and objects may be nested 20 deep."),
    ("bad-csv", 400, "Not a CSV sheet", "The body is not CSV with a heading line of known columns."),
    ("unknown-parameter", 400, "Unknown parameter", "The query holds a parameter this address does not take."),
    ("repeated-parameter", 400, "Repeated parameter", "A parameter stands twice in the query; each is taken once."),
    ("missing-parameter", 400, "Missing parameter", "The query lacks a parameter that this address cannot do without."),
    ("bad-parameter", 400, "Bad parameter", "A parameter is not one of the words allowed, or out of range."),
    ("not-found", 404, "Not found", "Nothing stands at this address."),
    ("method-not-allowed", 405, "Method not allowed", "This address does not take this method; Allow lists those it does."),
    ("not-acceptable", 406, "Not acceptable", "Accept leaves out every form this address can answer in."),
    ("body-too-large", 413, "Body too large", "The body is larger than the service takes; send the sheet in parts."),
    ("too-many-items", 413, "Too many readings", "The sheet holds more readings than the service takes; send it in parts."),
    ("unsupported-media-type", 415, "Unsupported media type", "Send application/json or text/csv, in UTF-8, uncompressed."),
    ("too-many-requests", 429, "Too many requests", "Wait as many seconds as Retry-After says."),
    ("internal-error", 500, "Internal error", "The service failed. The fault is logged under the request id."),
    ("not-ready", 503, "Not ready", "The data file cannot be opened; try again after Retry-After."),
    ("several-faults", 422, "Several faults", "Several kinds of fault; each stands in errors."),
    # words and shapes
    ("unknown-field", 422, "Unknown field", "An object holds a field that is not known there."),
    ("missing-field", 422, "Missing field", "An object lacks a field it cannot do without."),
    ("bad-field", 422, "Bad field", "A field holds the wrong kind of value, or a word that is not allowed."),
    ("unknown-characteristic", 404, "Unknown characteristic", "No characteristic has this id; search at /v1/characteristics?q=. In a sheet: 422."),
    ("unknown-engine-class", 404, "Unknown engine class", "No engine class has this id; the list is at /v1/engine-classes. In a sheet: 422."),
    ("unknown-feature", 422, "Unknown feature", "No feature has this id; the list is at /v1/features. Write not:<feature> for one it lacks."),
    ("contradicting-features", 422, "Contradicting features", "A feature is stated as present and as absent."),
    ("unknown-dimension", 422, "Unknown dimension", "No engine dimension has this id; the list is at /v1/dimensions."),
    ("unknown-instrument", 422, "Unknown instrument", "No instrument or variant has this id; the list is at /v1/instruments."),
    ("duplicate-id", 422, "Reading id used twice", "Two readings of a sheet share an id; answers could not be told apart."),
    ("no-readings", 422, "No readings", "The sheet holds no reading."),
    # numbers and units
    ("no-unit", 422, "No unit", "A number without a unit is refused; nothing is guessed."),
    ("unknown-unit", 422, "Unknown unit", "No unit has this token; the list is at /v1/units."),
    ("wrong-dimension", 422, "Wrong kind of unit", "The unit is of another kind than the thing measured: volts for a length."),
    ("not-a-number", 422, "Not a number", "A finite number is wanted."),
    ("number-too-long", 422, "Number too long", "A number may have at most 20 digits."),
    ("number-out-of-range", 422, "Number out of range", "A number may lie within ten to the +-12."),
    ("bad-quantity", 422, "Not a quantity", 'A quantity is one number and one unit: {"value": 3.8, "unit": "thou"}, or 3.8 thou in text.'),
    ("decimal-comma", 422, "Decimal comma", "Write numbers with a point."),
    ("not-positive", 422, "Not above zero", "An engine dimension, a confidence or a coverage factor must be above zero."),
    # the limit asked for
    ("size-not-used", 422, "Size not used", "This characteristic scales with no dimension; leave the size out."),
    ("missing-dimension", 422, "Missing dimension", "The limit scales with a dimension that was not stated. In a sheet: not judged."),
    ("outside-size-range", 422, "Outside every size range", "No limit reaches this size, and nothing is extrapolated. In a sheet: not judged."),
    # standard tables
    ("unknown-designation", 422, "Unknown fit", "No fit is written so; write one like H7/g6 or RC5."),
    ("outside-standard", 422, "Outside the standard", "The table has nothing for this size, letter, grade or pitch; the detail says what it has."),
    ("not-published", 422, "Not published", "No work was found that states this figure, so none is given; the detail says what to do instead."),
    # one calculation
    ("unknown-input", 422, "Unknown input", "The calculation takes no input of this name; GET its address for those it does."),
    ("missing-input", 422, "Missing input", "The calculation cannot do without this input."),
    ("too-many-inputs", 422, "Too many inputs", "Two inputs say the same thing, or one does not belong to what was asked; give one of them."),
    ("out-of-range", 422, "Out of range", "The input lies outside what the calculation holds for; nothing is clamped."),
    ("no-answer", 422, "No answer", "These inputs are each in range, and nothing solves them together."),
    ("refused", 422, "Refused", "No figure is told, because acting on it hurts people or ruins the part; the detail says why."),
    ("unsafe", 422, "Unsafe", "Doing this could hurt somebody; the detail says what to do instead."),
    # one reading
    ("no-value", 422, "No value", "A reading needs a value, values, low and high, goes and does_not_go, or a finding."),
    ("several-values", 422, "Several kinds of value", "A reading holds one of: value, values, low and high, goes and does_not_go, finding."),
    ("wrong-kind", 422, "Wrong kind", "A number where words are wanted, words where a number is, another word, or an angle from no dead centre."),
    ("wrong-basis", 422, "Wrong convention", "One side or the whole, radius or diameter: this cannot be turned into what the limit is told in."),
    ("unknown-finding", 422, "Unknown finding", "The finding is not one of the words of this characteristic."),
    ("negative", 422, "Negative", "This quantity cannot be negative; an interference is another thing."),
    ("upside-down", 422, "Upside down", "The low end is above the high end, or the gauge that goes is not the smaller."),
    ("half-interval", 422, "Half an interval", "Say both gauges: the largest that goes and the smallest that does not."),
    ("impossible", 422, "Impossible", "No part could measure this, or inputs of a calculation contradict each other."),
    ("wrong-place", 422, "Wrong place", "A survey of several things names one of another kind, mixes what is judged apart, or holds one only."),
    ("unknown-survey", 422, "Unknown survey", "No kind of survey has this name."),
    ("unknown-material", 422, "Unknown material", "No material has this id; the list is at /v1/materials."),
    ("wrong-instrument", 422, "Wrong instrument", "The instrument does not measure this kind of quantity."),
    ("no-uncertainty", 422, "No uncertainty", "No instrument and no standard uncertainty is given, and none is usual for this."),
    ("zero-uncertainty", 422, "Zero uncertainty", "An uncertainty must be above zero; every tool has some."),
    # never a refusal: why an item of a sheet was not judged
    ("no-limit", 0, "No limit", "No limit for this kind of engine is on file, or nobody publishes one."),
    ("suspected-slip", 0, "Suspected slip", 'The reading looks like a slip; look again and send it with "confirmed": true if it stands.'),
    ("not-fitted", 0, "Not fitted", "The engine is stated not to have what this belongs to: the reading or the engine's features are wrong."),
    ("outside-instrument-range", 0, "Outside the instrument's range", "The instrument cannot read this."),
)  # fmt: skip

CALCULATION_CODES = {code: code for code in (
    "impossible", "too-many-inputs", "unsafe", "refused", "out-of-range", "wrong-dimension", "no-unit", "unknown-input", "missing-input",
    "wrong-kind", "no-answer",
)}  # fmt: skip
"""Code of a calculation's error -> kind of problem. A test sees that no calculation raises another."""

HONEST = frozenset({"no-limit", "not-fitted", "suspected-slip", "outside-instrument-range", "missing-dimension", "outside-size-range"})
"""Reasons for ``not_judged`` that are answers, not faults of the reading."""
