"""The list of measuring tools."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.services.instruments.inputs import Tool


TOOLS = {
    "sample": "what a sample of notes says about the whole compass",
    "touch": "touchweight: friction and balance from down- and upweight, note by note",
    "regulation": "the regulation sheet: what is out of tolerance, and the hours it takes",
    "torque": "tuning pins: torque by section, lines of loose pins, holding test",
    "dampers": "dampers: bleed-through, extent of wedge and flat felts, uneven lift, hours",
    "string": "tension, share of tensile strength and inharmonicity of a string or of a whole scale",
    "wood": "moisture content of wood, what a gap speaks of, days to settle, a data logger’s record",
    "beats": "beats at a note, cents and frequency, each from the others",
    "pitch": "a pitch log: drift with its interval, what the season explains, and a verdict",
    "dating": "years since a renewal, from the look of its parts",
    "drying": "has it dried out? odds from clues, and the next clue worth looking for",
}
"""Every tool with its help, as the command line lists them; each is the module of this package with its name."""

BESIDE_A_CASE = ("touch", "regulation", "torque", "dampers", "beats", "pitch", "dating", "drying", "wood", "string")
"""Those of the screen, in the order of the walk."""


@cache
def tool(name: str) -> Tool:
    """Return a tool by its name."""
    result: Tool = import_module(f"appraise.services.instruments.{name}").TOOL
    return result
