"""The file a new boat starts from: a small true example, with comments that teach the rest."""

# ruff: noqa: E501 (an inline table of TOML must stand on one line)

from __future__ import annotations

from pydantic import TypeAdapter, ValidationError

from .base import Label, visible
from .render import SCHEMA_LINE, toml_string

_TEXT = """\
# A boat file: the weights stowed in her, and what holds each one.
#
# Lengths are in metres unless the key ends in _mm; masses in kg; angles in degrees; forces in newtons.
# Positions are [forward of the after end of the waterline, to port, above the waterline];
# a weight in the bilge has a third figure below nought.
# Everything after a # is for you; it is kept when the program saves the file.
# The figures below are an example. Put your own in their place.

schema = 2

[boat]
name = @NAME@
# rig = "gaff sloop"
lwl_m = 5.80                  # length on the waterline
bwl_m = 1.90                  # greatest breadth on the waterline
displacement_kg = 1600        # without the weights listed below
bilge = "wet"                 # wet or dry: what the fastenings below the sole live in
# planking = { timber = "larch", thickness_mm = 16, frame_spacing_mm = 180 }

# One [[weight]] for each thing stowed. Only id, mass_kg and at_m must be there.
[[weight]]
id = "bilge-pigs"             # short name, no two alike
name = "Lead pigs amidships"
kind = "ballast"              # ballast battery chain anchor tank gas tools stores engine other
mass_kg = 36.0                # or: ingots = { count = 3, each_kg = 12.0 }
at_m = [2.90, 0.00, -0.28]    # its middle
size_m = [0.36, 0.18, 0.11]   # fore-and-aft, athwartships, height
# slope_deg = { fore_and_aft = "40 in 300" }   # where it does not lie level: degrees, or a rise over a length
measured = false              # true once it has been on a scale

# One [[weight.restraint]] for each thing that holds the weight above:
# bed cleat batten lashing strap cable_tie bolt bond neighbour.
[[weight.restraint]]
id = "bed"
type = "bed"                  # what it sits on
face = "bottom"
on = "floors"                 # floors keel knee frames bearers sole bulkhead planking ...
friction = 0.2                # a number, or a pair from the catalogue

[[weight.restraint]]
id = "port-cleat"
type = "cleat"                # a block screwed down beside it
face = "port"                 # port starboard fore aft
timber = "oak-white"
length_mm = 240
height_mm = 40
depth_mm = 35                 # in the direction of the thrust
screws = { kind = "wood-screw", gauge = 10, count = 3, penetration_mm = 32, into = "larch", member = "floor", metal = "silicon-bronze" }

[[weight.restraint]]
id = "starboard-cleat"
type = "cleat"
face = "starboard"
timber = "oak-white"
length_mm = 240
height_mm = 40
depth_mm = 35
screws = { kind = "wood-screw", gauge = 10, count = 3, penetration_mm = 32, into = "larch", member = "floor", metal = "silicon-bronze" }

[[weight.restraint]]
id = "hold-down"
type = "batten"               # a strip screwed down across the top
face = "top"
timber = "oak-white"
span_mm = 300                 # between its fastened ends
width_mm = 50
depth_mm = 25
screws = { kind = "coach-screw", diameter_mm = 8, count = 4, penetration_mm = 45, into = "oak-white", member = "floor", metal = "galvanised-steel" }

# Your own scenarios stand beside the built-in ones. Take the # away to use this one.
# [[scenario]]
# id = "my-knockdown"
# name = "Flat, and she lands hard"
# heel_deg = { from = 0, to = 110, step = 1 }   # or one heel: heel_deg = 90
# load_factor = [1.0, 2.0]
# surge_g = [-0.3, 0.3]
"""


def new_boat_text(name: str) -> str:
    """A starter file for a boat called ``name``. Raises ``ValueError`` where no boat can be called that."""
    try:
        TypeAdapter[str](Label).validate_python(name)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        plain = {
            "string_too_short": "must not be blank",
            "string_too_long": "may have at most 200 characters",
        }
        words = plain.get(first["type"], first["msg"])
        raise ValueError(f"the boat's name '{visible(name)}' {words}") from None
    return SCHEMA_LINE + _TEXT.replace("@NAME@", toml_string(name))
