"""Laws that hold for any boat: mirror images, shifted weights, work done in heeling, balance of forces."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from secure_load.afloat.conditions import condition
from secure_load.afloat.hull.attitude import Attitude, fixed_load, float_at
from secure_load.afloat.hull.clip import cut, turn
from secure_load.afloat.hull.hull import Hull
from secure_load.afloat.hull.levers import area_under, resting_heel, righting_curve, vanishing_angle
from secure_load.afloat.masses import Lump, loaded
from secure_load.afloat.tanks import FreeLiquid, liquid_shift
from secure_load.afloat.vessel_data import Known, gather
from secure_load.boat.hull import BoatParticulars, FloatData, HullSection
from secure_load.boat.models import BoatFile, Weight
from tests.reference.books import righting_energy
from tests.reference.hulls import cutter, cutter_sections, wigley

QUICK = settings(max_examples=25, deadline=None, derandomize=True)
SEA = 1025.0
G = 9.80665
CUTTER = cutter(15)
SECTIONS = [HullSection(x_m=x, points_m=[(p[0], p[1]) for p in points]) for x, points in cutter_sections(15)]

MASSES = st.floats(1200.0, 3500.0)
HEELS = st.floats(-180.0, 180.0)
OFF = st.floats(-0.15, 0.15)
HEIGHTS = st.floats(-0.4, 0.15)


def boat(weights: list[Weight], **known: float) -> BoatFile:
    return BoatFile(
        boat=BoatParticulars(name="Trial", displacement_kg=1850.0),
        weight=weights,
        float_=FloatData(section=SECTIONS, kg_m=known.get("kg_m", 0.95)),
    )


def weight(id: str, mass: float, x: float, y: float, z: float) -> Weight:
    return Weight(id=id, mass_kg=mass, at_m=(x, y, z))


def energy(hull: Hull, lies: Attitude, mass: float, centre: np.ndarray) -> float:
    """Potential energy of boat and sea at an attitude, J: weight raised, and water pressed aside."""
    turned = turn(hull, lies.heel)
    level = lies.level[:, None] + lies.tan_trim[:, None] * hull.x
    wet = cut(turned, level)
    aside = float(np.sum(hull.weights * (level * wet.area - wet.moment_v)[0]))
    load = fixed_load(mass, centre, lies.heel)
    over = float(load.v[0] - load.x[0] * lies.tan_trim[0] - lies.level[0])
    return G * math.cos(math.atan(float(lies.tan_trim[0]))) * (mass * over + SEA * aside)


@QUICK
@given(MASSES, HEELS, OFF, OFF, HEIGHTS)
def test_the_lever_is_the_slope_of_the_energy(mass: float, heel_deg: float, dx: float, y: float, z: float) -> None:
    centre = np.array([2.85 + 2 * dx, y, z])
    step = 1e-4
    heel = math.radians(heel_deg)

    def lies(at: float) -> Attitude:
        angle = np.array([at])
        return float_at(CUTTER, angle, fixed_load(mass, centre, angle), SEA)

    here = lies(heel)
    assume(bool(here.solved[0]) and abs(float(here.tan_trim[0])) < 0.5)
    slope = (energy(CUTTER, lies(heel + step), mass, centre) - energy(CUTTER, lies(heel - step), mass, centre)) / (
        2 * step
    )
    lever = slope / (mass * G * math.cos(math.atan(float(here.tan_trim[0]))))
    assert float(here.lever[0]) == pytest.approx(lever, abs=2e-5)


def test_work_of_heeling_is_the_difference_of_energy() -> None:
    centre = np.array([2.75, 0.03, -0.1])
    curve = righting_curve(CUTTER, lambda h: fixed_load(2100.0, centre, h), SEA)
    ends = []
    for heel in (0.0, math.radians(120)):
        angle = np.array([heel])
        ends.append(energy(CUTTER, float_at(CUTTER, angle, fixed_load(2100.0, centre, angle), SEA), 2100.0, centre))
    work = righting_energy(curve, 0.0, math.radians(120), G)
    assert work == pytest.approx(ends[1] - ends[0], rel=2e-4)
    plain = 2100.0 * G * area_under(curve.heel, curve.lever, 0.0, math.radians(120))
    assert plain > work  # the cosine of trim takes something off


@QUICK
@given(MASSES, HEELS, OFF, OFF, HEIGHTS)
def test_weight_and_buoyancy_stand_on_one_vertical(mass: float, heel_deg: float, dx: float, y: float, z: float) -> None:
    """Turned into the sea's own axes by rotation matrices, the two centres differ across only."""
    heel = np.radians([heel_deg])
    centre = np.array([2.85 + 2 * dx, y, z])
    lies = float_at(CUTTER, heel, fixed_load(mass, centre, heel), SEA)
    assert bool(lies.solved[0])
    assert SEA * float(lies.volume[0]) == pytest.approx(mass, rel=1e-8)
    phi, theta = float(heel[0]), math.atan(float(lies.tan_trim[0]))
    roll = np.array([[1, 0, 0], [0, math.cos(phi), -math.sin(phi)], [0, math.sin(phi), math.cos(phi)]])
    pitch = np.array([[math.cos(theta), 0, math.sin(theta)], [0, 1, 0], [-math.sin(theta), 0, math.cos(theta)]])
    buoyant = roll.T @ np.array([lies.x_b[0], lies.u_b[0], lies.v_b[0]])
    apart = pitch @ roll @ (centre - buoyant)
    assert apart[0] == pytest.approx(0.0, abs=1e-6)
    assert apart[1] == pytest.approx(float(lies.lever[0]), abs=1e-9)


@QUICK
@given(MASSES, HEELS, OFF, HEIGHTS)
def test_mirrored_load_has_the_mirrored_lever(mass: float, heel_deg: float, y: float, z: float) -> None:
    heel = np.radians([heel_deg])
    one = float_at(CUTTER, heel, fixed_load(mass, np.array([2.8, y, z]), heel), SEA)
    other = float_at(CUTTER, -heel, fixed_load(mass, np.array([2.8, -y, z]), -heel), SEA)
    assert float(one.lever[0]) == pytest.approx(-float(other.lever[0]), abs=1e-8)
    assert float(one.tan_trim[0]) == pytest.approx(float(other.tan_trim[0]), abs=1e-8)


def conditions_of(made: BoatFile) -> tuple[Known, FloatData]:
    return gather(made), made.float_ or FloatData()


@settings(max_examples=6, deadline=None, derandomize=True)
@given(st.floats(0.01, 0.5), st.floats(1.0, 4.5), st.floats(20.0, 150.0))
def test_mirrored_weights_list_her_the_other_way(y: float, x: float, mass: float) -> None:
    reports = []
    for side in (1, -1):
        known, data = conditions_of(boat([weight("a", mass, x, side * y, -0.3)]))
        reports.append(condition(known, loaded(known.own, known.lumps), data, 0.8, []))
    port, starboard = reports
    assert port.list_deg is not None
    assert starboard.list_deg is not None
    assert port.list_deg < 0 < starboard.list_deg  # weight to port puts the port side down
    assert port.list_deg == pytest.approx(-starboard.list_deg, abs=2e-4)
    assert (port.righting_side, starboard.righting_side) == ("port", "starboard")
    assert port.trim_deg == pytest.approx(starboard.trim_deg, abs=2e-4)
    assert port.vanishing_angle_deg == pytest.approx(starboard.vanishing_angle_deg, abs=2e-3)


@QUICK
@given(
    st.floats(1.0, 500.0), st.floats(-3.0, 3.0), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(500.0, 5000.0)
)
def test_a_shifted_weight_moves_the_centre_by_wd_over_W(
    mass: float, dx: float, dy: float, dz: float, own: float
) -> None:
    her = Lump("boat", own, (3.0, 0.0, 0.1))
    still, moved = Lump("w", mass, (2.0, 0.1, -0.2)), Lump("w", mass, (2.0 + dx, 0.1 + dy, -0.2 + dz))
    a, b = loaded(her, [still]), loaded(her, [moved])
    for k, d in enumerate((dx, dy, dz)):
        assert b.centre[k] - a.centre[k] == pytest.approx(mass * d / (own + mass), abs=1e-12)


@settings(max_examples=6, deadline=None, derandomize=True)
@given(st.floats(0.1, 1.0), st.floats(20.0, 60.0))
def test_small_shift_trims_and_lists_as_the_small_formulas_say(distance: float, mass: float) -> None:
    before = boat([weight("a", mass, 2.8, 0.0, -0.3)])
    along = boat([weight("a", mass, 2.8 + distance, 0.0, -0.3)])
    across = boat([weight("a", mass, 2.8, distance, -0.3)])
    level, forward, listed = (
        condition(k, loaded(k.own, k.lumps), d, 0.8, []) for k, d in map(conditions_of, (before, along, across))
    )
    trim_m = (forward.draught_fore_m - forward.draught_aft_m) - (level.draught_fore_m - level.draught_aft_m)
    assert trim_m == pytest.approx(mass * distance / level.moment_to_trim_1cm_kgm / 100, rel=0.06)
    assert listed.list_deg is not None
    small = -math.degrees(math.atan(mass * distance / level.displacement_kg / level.gm_m))
    assert listed.list_deg == pytest.approx(small, rel=0.12)


@QUICK
@given(MASSES, HEIGHTS)
def test_slope_of_the_curve_at_upright_is_gm(mass: float, z: float) -> None:
    hull = wigley(7.0, 2.2, 0.6, 0.6, 21, 30)
    heel = np.radians([-0.02, 0.02])
    centre = np.array([3.5, 0.0, z])
    lever = float_at(hull, heel, fixed_load(mass, centre, heel), SEA).lever
    from secure_load.afloat.hull.hydrostatics import hydrostatics_of

    made = hydrostatics_of(hull, mass, 0.0, SEA)
    gm = made.z_b + made.bm - z
    assert float(lever[1] - lever[0]) / float(heel[1] - heel[0]) == pytest.approx(gm, abs=2e-3)


@QUICK
@given(st.floats(0.05, 0.95), st.floats(-180.0, 180.0), st.floats(0.2, 1.5), st.floats(0.1, 0.8))
def test_liquid_runs_to_the_low_side_and_loses_height_only_at_rest(
    fill: float, heel_deg: float, breadth: float, height: float
) -> None:
    """The liquid's centre lies as low as it can: never above where frozen liquid would be."""
    tank = FreeLiquid(100.0, 1000.0, 0.5, breadth, height, fill)
    across, up = liquid_shift(tank, np.radians([heel_deg]))
    assert float(up[0]) <= 1e-9
    if 1.0 < abs(heel_deg) < 179.0:
        # Heeled to starboard (positive) it runs to starboard, which is the negative side of u.
        assert float(across[0]) * heel_deg <= 1e-9


def test_small_heel_of_a_tank_is_the_free_surface_formula() -> None:
    tank = FreeLiquid(120.0, 1000.0, 0.8, 0.6, 0.5, 0.5)
    heel = np.radians([0.05])
    across, _ = liquid_shift(tank, heel)
    # m GG1 = rho i tan(heel); 120 kg is what 0.8 x 0.6 x 0.25 m of water weigh.
    assert -float(across[0]) * tank.mass / math.tan(heel[0]) == pytest.approx(tank.surface_moment, rel=1e-4)


def test_she_rests_and_vanishes_where_the_lever_is_nil() -> None:
    centre = np.array([2.8, 0.04, -0.1])

    def load_at(h: np.ndarray):
        return fixed_load(2200.0, centre, h)

    rest = resting_heel(CUTTER, load_at, SEA)
    curve = righting_curve(CUTTER, load_at, SEA, -1)
    beyond = vanishing_angle(CUTTER, load_at, SEA, curve, -rest)
    assert beyond is not None
    ends = np.array([rest, -beyond])
    lever = float_at(CUTTER, ends, load_at(ends), SEA).lever
    assert lever == pytest.approx(0.0, abs=1e-7)
    assert rest < 0
