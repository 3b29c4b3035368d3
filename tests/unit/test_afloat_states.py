"""Ways she is loaded, side by side; crew and stores float with her and are not checked."""

from __future__ import annotations

import math

import pytest

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.report import float_report
from secure_load.boat.file import BoatFileError
from secure_load.boat.models import BoatFile
from secure_load.check.check import check_boat
from secure_load.record.afloat import afloat_text
from secure_load.record.text.afloat_rows import state_tables
from tests.unit.test_afloat_report import PIGS, drawn

CREW = '[[weight]]\nid = "crew"\nkind = "stores"\nmass_kg = 150\nat_m = [2.0, 0.0, 0.5]\nfloat_only = true\n'
TANK = (
    '[[weight]]\nid = "water"\nkind = "tank"\nmass_kg = 110\nat_m = [2.0, 0.0, -0.2]\n'
    "tank = { fill = 1.0, size_m = [1.0, 0.5, 0.2] }\n"
)
STATES = """
[[float.state]]
name = "as found"
without = ["pigs"]
[[float.state]]
name = "crew to windward"
moved = [{ id = "crew", at_m = [2.0, 0.9, 0.5] }]
heeled_to = "starboard"
[[float.state]]
name = "tanks half"
tanks_fill = 0.5
"""


def made(states: str = STATES) -> BoatFile:
    return drawn("kg_m = 0.95\n" + states, PIGS + CREW + TANK)


def test_each_state_carries_what_it_says() -> None:
    report = float_report(made())
    found = {s.name: s.lies for s in report.states}
    assert report.after.displacement_kg == 1850 + 300 + 150 + 110
    assert found["as found"].displacement_kg == report.after.displacement_kg - 300
    assert found["crew to windward"].displacement_kg == report.after.displacement_kg
    assert found["crew to windward"].tcg_m == pytest.approx(150 * 0.9 / 2410, abs=1e-4)
    assert found["crew to windward"].list_deg is not None
    assert found["crew to windward"].list_deg < -3
    # To lee they add 150 kg 0.9 cos(30) m of righting moment.
    to_lee, still = (
        next(r.moment_Nm for r in c.righting if r.heel_deg == 30.0) for c in (found["crew to windward"], report.after)
    )
    assert to_lee is not None
    assert still is not None
    assert to_lee - still == pytest.approx(150 * 9.80665 * 0.9 * math.cos(math.radians(30)), rel=0.01)
    # Half of 100 kg of water is gone, and what is left has a free surface.
    assert found["tanks half"].displacement_kg == pytest.approx(report.after.displacement_kg - 50, abs=0.01)
    assert found["tanks half"].free_surface_loss_m == pytest.approx(1000 * 1.0 * 0.5**3 / 12 / 2360, abs=1e-5)
    assert found["as found"].gm_m < report.after.gm_m


def test_states_stand_side_by_side() -> None:
    report = float_report(made())
    first, second = state_tables(report)
    assert first[0] == ("as listed", "as found", "crew to windward")
    assert second[0] == ("as listed", "tanks half")
    mass = first[1][0]
    assert mass.cells == ("2410", "2110", "2410")
    text = "\n".join(afloat_text(report))
    assert text.count("States side by side") == 2
    assert "crew to windward"[:17] in text
    assert state_tables(float_report(made(""))) == []


def test_a_state_of_a_weight_that_is_not_there_is_refused() -> None:
    with pytest.raises(CannotFloat, match="the state 'as found' names 'pig'"):
        float_report(made(STATES.replace('"pigs"', '"pig"')))


def test_crew_and_stores_are_never_red_and_never_said_to_hold() -> None:
    verdict = check_boat(made(), ["knocked-flat"])
    (crew,) = [w for w in verdict.weights if w.id == "crew"]
    assert crew.verdict == "green"
    assert crew.unchecked is not None
    assert "floats only" in crew.unchecked
    assert crew.restraints == []
    with pytest.raises(BoatFileError, match="'float_only' is for crew and stores"):
        drawn(weights=CREW.replace('"stores"', '"ballast"'))
