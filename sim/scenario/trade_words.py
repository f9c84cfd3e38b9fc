"""What the trade also calls the keys of the format: told as the key that is meant, never read as it.

By the letters alone `breaking_load` is nearest to `working_load_limit`, which means something else.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

ALSO_CALLED: Mapping[str, tuple[str, ...]] = {
    "breaking_strength": (
        "breaking load", "breaking force", "break strength", "break load", "minimum breaking strength",
        "minimum breaking load", "minimum breaking force", "mbs", "mbl", "mbf", "bs", "strength",
    ),
    "working_load_limit": ("wll", "swl", "working load", "rated load"),
    "marked_factor": ("safety factor", "factor of safety", "design factor", "fos", "sf"),
    "design_factor": ("safety factor", "factor of safety", "fos", "sf"),
    "allowed_force": ("allowed load", "max load", "maximum load", "max force"),
    "diameter": ("dia", "size", "thickness"),
    "tread_diameter": ("diameter", "dia", "pitch diameter", "root diameter", "size"),
    "mass": ("weight",),
    "moving_mass": ("mass", "inertia", "rotating mass"),
    "at": ("position", "pos", "place", "location", "xyz"),
    "route": ("path", "reeving", "through"),
    "terminations": ("ends", "termination", "end fittings"),
    "type": ("material", "construction", "rope", "line type"),
    "pay_out": ("lower", "down", "distance", "travel"),
    "take_in": ("raise", "lift", "hoist", "up", "haul"),
    "speed": ("velocity",),
    "acceleration": ("accel", "ramp up"),
    "deceleration": ("decel", "retardation", "ramp down"),
    "slow_down_in": ("slow down", "braking distance", "stopping distance"),
    "g_load": ("g", "g limit", "max g", "g force"),
    "clearance": ("floor clearance", "distance", "gap"),
    "holds": ("attached to", "carries"),
    "people": ("team", "team size", "men"),
    "body_below": ("height", "legs", "feet"),
}  # fmt: skip
"""Key -> what else it is called (common practice, no source)."""


def meant_by(word: str, keys: Collection[str]) -> str:
    """The one of the keys that a word of the trade stands for, '' where it stands for none or for several of them.

    >>> meant_by("MBL", ["breaking_strength", "working_load_limit"])
    'breaking_strength'
    """
    plain = " ".join(word.replace("_", " ").replace("-", " ").casefold().split())
    meant = [key for key, words in ALSO_CALLED.items() if key in keys and plain in words]
    return meant[0] if len(meant) == 1 else ""
