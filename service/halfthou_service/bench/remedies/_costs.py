"""What a remedy told in words costs: by its words, and a list where they mislead."""

from __future__ import annotations

from .model import COST_CLASSES, CostClass

BEFORE = ("stop", "do not", "everybody out", "not run", "drain it now")
"""How a text begins that first forbids: its cost is that of what comes after."""
FIRST: tuple[tuple[CostClass, tuple[str, ...]], ...] = (
    ("part", ("new ", "replac", "renew", "larger pulley", "wider belt", "smaller pulley", "oversize pin", "larger ring", "retire")),
    ("machine", ("bore", "ream", "grind", "pour", "press", "bush", "recut", "reface", "sleeve", "mill", "stitch", "build up", "turn down",
                 "turn the", "brazing")),
    ("hand", ("file", "scrape", "lap", "stone", "dress", "clean", "wash", "hone", "polish", "ease", "square", "dig", "rinse", "burnish",
              "drill",
              "fill the")),
    ("free", ("adjust", "set ", "open ", "close ", "move", "take up", "take out", "take shims", "back ", "less", "more ", "wait", "measure",
              "judge", "look", "put ", "lengthen", "shorten", "turn until", "turn it", "raise", "lower", "bring", "compare", "check",
              "find",
              "retard", "tighten", "bend", "stroke", "slow", "free ", "shut", "match the sides", "believe", "correct", "reset", "one grade",
              "heat again", "let it", "warm", "run outdoors", "everybody", "call")),
)  # fmt: skip


def _listed(cost: CostClass, names: str) -> dict[str, CostClass]:
    return {name.strip(): cost for name in names.strip().splitlines()}


LISTED: dict[str, CostClass] = {
    **_listed("free", """
        hopper-leak.dry cold, not tried hot
        knock-location.piston slap
        crankpin-diameter.low
        main-journal-diameter.low
        spark-plug-gap.high
        head-gasket-leak.high
        rod-shim-side-difference.high
        main-shim-side-difference.high
        wet-dry-difference.high
        wrist-pin-lock.not seated in its flat
        flywheel-guard.roped off, operator only inside
        refuel-distance.low
        carbon-monoxide-level.high
        belt-guard.high
        flywheel-guard.high
        igniter-timing-slow.low
        flywheel-key-recheck.redriven, not run since
        hopper-water-level.high
    """),
    **_listed("hand", """
        fuel-shut-off.out of reach
        governor-overspeed-travel.free, no second stop
        fuel-kind.unknown
        crankshaft-end-float.low
        crankpin-out-of-round.high
        main-journal-out-of-round.high
        water-drain.high
        rod-bend.high
        rod-twist.high
        cylinder-ridge.high
        cylinder-finish.glazed but smooth and clean
        cam-roller-fit.low
        magneto-bearing-wear.low
        magneto-ground-path.sparks at the bore
        magneto-ground-path.bridge cures the missing
        igniter-gas-leak.a few bubbles at the shaft
        flywheel-key-recheck.moved
        flywheel-key-contact.one end only
        fuel-check-ball-leak.stuck
        fuel-shut-off.high
        fuel-shut-off.weeps when shut
        fuel-pipe-tightness.draws air
        fuel-pipe-tightness.wet
        fuel-pipe-run.high
        fuel-pipe-run.has a high spot
        fuel-tank-leak.damp
        fuel-tank-leak.weeps
        needle-taper-condition.bent
        inlet-valve-guide-clearance.low
        exhaust-valve-guide-clearance.low
        wrist-pin-bush-clearance.low
        governor-weight-pin-wear.low
        governor-overspeed-travel.stuck
        rocker-pin-clearance.low
        ring-freedom.high
        paint-dry-film.high
        bearing-oil-groove.high
        bearing-oil-way.nothing
        wrist-pin-oil-path.blocked
        oil-condition.bright metal in it
        jacket-open-area.blocked
        head-identity.some water ports do not match
        sight-glass-condition.cloudy
        igniter-points-condition.loose contact
        valve-seat-contact.whole ring, at the edge
    """),
    **_listed("machine", """
        main-shim-pack.low
        rod-centre-distance.low
        rod-centre-distance.high
        connecting-rod-crack.line, not proved
        magneto-magnet-pull-change.low
        crankpin-bearing-pressure.high
        main-bearing-pressure.high
        hopper-leak.drips outside
        hopper-leak.runs outside
        babbitt-bond.loose or broken out
        main-cap-bolt-condition.stud loose in casting
        main-cap-bolt-condition.casting cracked at stud
        journal-fillet-radius.low
        rod-side-clearance.low
        wrist-pin-end-play.low
        valve-seat-contact.broken ring
        valve-seat-insert-fit.high
        piston-fit-ribbon-pull.low
        magneto-bearing-wear.high
        magneto-magnet-pull.low
        ring-back-clearance.low
        head-crack.water passes
        head-stud-condition.turns or lifts in the casting
    """),
    **_listed("part", """
        fuel-shut-off.none or stuck
        igniter-max-speed.high
        fuel-lift-height.high
        cooling-tank-capacity.low
        flywheel-rim-speed.high
        flywheel-hub-crack.high
        rod-cap-bolt-condition.stretched or necked
        rod-cap-bolt-condition.cracked
        head-identity.high
        head-identity.larger recess than the bore, or holes do not match
        head-crack.crack at a stud hole or through the wall
        cyclic-irregularity.high
        exhaust-valve-spring-force.high
        intake-valve-spring-force.high
        ring-tension.high
        sleeve-interference.low
        compression-ratio.low
        compression-ratio.high
        head-clearance.low
        impulse-lag.low
        impulse-lag.high
        flywheel-construction.high
        flywheel-construction.rim in halves or joined
        flywheel-construction.welded or repaired
        flywheel-key-width.low
        flywheel-key-width.high
        flywheel-key-thickness.low
        flywheel-key-thickness.high
        flywheel-key-head-standoff.low
        flywheel-key-head-standoff.high
        flywheel-key-contact.head touches hub
        bolt-and-stud-size.low
    """),
}  # fmt: skip


def cost_of(characteristic: str, side: str, text: str) -> CostClass:
    """What a text costs: its first step; where that is free, the dearest way it names, since nothing says that the first will do.

    ``side``: low, high or the word that was found.
    """
    listed = LISTED.get(f"{characteristic}.{side}")
    if listed is not None:
        return listed
    parts = [part.strip() for part in text.lower().rstrip(".").replace(";", ". ").replace(",", ". ").split(". ")]
    parts = [part for part in parts if not part.startswith(BEFORE)] or parts
    first = _by_words(parts[0])
    if first != "free":
        return first or "hand"
    return max((_by_words(part) or "free" for part in parts), key=COST_CLASSES.index)


def _by_words(part: str) -> CostClass | None:
    return next((cost for cost, words in FIRST if any(f" {w}" in f" {part} " for w in words)), None)
