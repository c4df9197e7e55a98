"""The facts of a job by name: what a `when` of a setting or a step can speak of.

Data alone, so that `words` lists them without loading the plan.
"""

from __future__ import annotations

FACTS = {
    "units": "kinds of unit that the vehicle has",
    "takes_out": "kinds of unit that the kit takes out",
    "parts": "parts of the kit in use",
    "speakers": "how many speakers the vehicle has",
    "carried": "how many of them a lead of the parts in use carries",
    "reversed": "how many of those have plus and minus swapped",
    "taps": "how many feeds are tapped",
    "runs": "how many wires are run to speakers",
    "channels": "how many channels are driven",
    "zones": "what they play: front-left … rear-right, centre, bass",
    "bass": "whether a channel plays bass",
    "centre": "whether a channel plays the centre",
    "lowest_ohms": "the lowest load of all channels",
    "output_volts": "the kit's output setting that suits the amplifier",
    "amplifier_class": "D or AB",
    "senses_load": "whether a factory output that loses its load senses it",
    "duties_lost": "duties of speakers that this plan takes off their output and gives to nothing",
    "duties_moved": "duties of speakers that the new amplifier plays",
    "duties": "duties of all speakers",
    "outputs": "how many line outputs the kit has",
    "vehicle": "the vehicle's id",
    "kit": "the kit's id",
}
"""Each fact by its name, with what it says: what a `when` of a setting or step can speak of."""
