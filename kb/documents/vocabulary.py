"""The words that documents choose from, each list once.

It stands alone because validation, the catalogue of the query language and screens offer the same
words.
"""

KINDS = ("vehicle", "kit", "amplifier", "job")
UNIT_KINDS = ("radio", "amplifier", "processor", "other")
IN_LINE = "in-line"
SAID_OF_NOTHING = ("none", "unknown")
"""Words of answers and questions for what is not there, and for what nobody knows."""
STEP_STAGES = (
    "prepare",
    "before-power-off",
    "panels",
    "wiring",
    "power-on",
    "checks",
    "close-up",
)
ROLES = (
    "tweeter",
    "midrange",
    "midbass",
    "woofer",
    "full-range",
    "centre",
    "surround",
    "subwoofer",
)
DUTIES = ("chime", "emergency-call", "noise-cancelling", "phone")
EVIDENCE_METHODS = ("meter", "tone", "polarity-pop", "scope", "wiring-diagram", "hearsay")
MEASUREMENTS = ("meter", "tone", "polarity-pop", "scope")
"""The methods that count as a measurement in review."""
PART_USES = ("always", "choice")
OUTPUT_CHANNELS = ("front-left", "front-right", "rear-left", "rear-right", "centre", "bass")
AMPLIFIER_CLASSES = ("D", "AB")
NUMBERINGS = ("rows", "columns")
"""How a connector's ways are counted: row by row, or down each column in turn."""
SIDES = ("wire", "mating")
"""The side from which way 1 of a connector is at the upper left, latch up."""
WIRINGS = ("parallel", "series")
COLOUR_SCHEMES = ("iec", "de")
