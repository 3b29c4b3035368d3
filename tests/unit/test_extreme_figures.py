"""Legal figures far from any boat's that were once answered with a fault in the program."""

from __future__ import annotations

import pytest

from secure_load.afloat.ballast.ballast import casting_of
from secure_load.afloat.report import CannotFloat, float_report
from secure_load.boat.file import parse_boat
from secure_load.check.check import check_boat

HULL = '[boat]\nname = "Dunlin"\nlwl_m = 6.4\nbwl_m = 2.1\ndisplacement_kg = 2500\n'
SOFT_BEDS = """
[[weight]]
id = "chest"
mass_kg = 25
at_m = [3, 0, 0]
[[weight.restraint]]
type = "bed"
id = "bed"
stiffness_N_per_mm = 1e-6
[[weight.restraint]]
type = "lashing"
id = "cord"
from_m = [3, 0, 0.1]
to_m = [3, 0, 1.0]
[[weight]]
id = "box"
mass_kg = 25
at_m = [2, 0, 0]
[[weight.restraint]]
type = "bed"
"""


def test_stiffnesses_too_far_apart_are_a_reason_and_leave_other_weights_their_verdicts() -> None:
    verdict = check_boat(parse_boat(HULL + SOFT_BEDS), ["knocked-flat"])
    chest, box = verdict.weights
    assert chest.verdict == "red"
    assert (chest.unchecked or "").startswith("cannot be checked: bed: it is more than 10,000,000 times softer")
    assert box.unchecked is None


def test_scrap_for_less_than_one_ingot_makes_a_casting_sheet() -> None:
    mould = "mould = { top_mm = [300, 100], bottom_mm = [280, 80], depth_mm = 60 }"
    sheet = casting_of(parse_boat(f"{HULL}[float]\ncasting = {{ {mould}, scrap_kg = 2 }}\n"))
    assert sheet.ingots == 0
    assert sheet.foundry.melts == 1


def test_freeboards_of_a_tower_are_answered() -> None:
    read = "stem_m = -5, stern_m = -5, port_m = -5, starboard_m = -5, marked_m = [50, 50, 50, 50]"
    with pytest.raises(CannotFloat, match="centre of gravity would lie 50"):
        float_report(parse_boat(f"{HULL}[float]\ndraught_m = 50\nfreeboards = {{ {read} }}\n"))
