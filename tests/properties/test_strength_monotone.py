"""More timber, more screw never holds less; combined loads agree with the single ones at their
ends.

"A bigger screw" is bigger at the same steel and within one branch of the reduction term: NDS Table 12.3.1B
steps up by a third at a root of 1/4 in, and bending yield strength falls with the size of real screws. Both
are the code's, and no part of the claim.
"""

from __future__ import annotations

import math

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from secure_load.strength import nds, pads, slip, timber
from secure_load.strength.units import INCH, PSI

gravity = st.floats(0.30, 0.95)
small = st.floats(0.08, 0.2499).map(lambda inches: inches * INCH)
large = st.floats(0.25, 0.75).map(lambda inches: inches * INCH)
length = st.floats(0.005, 0.150)
steel = st.floats(40e3, 120e3).map(lambda psi: psi * PSI)
angle = st.floats(0.0, math.pi / 2)
growth = st.floats(1.0, 3.0)
force = st.floats(1.0, 1e5)
SLACK = 1 + 1e-9


@given(gravity, st.one_of(small, large), length, growth)
def test_withdrawal_grows(G: float, D: float, p: float, more: float) -> None:
    for per_m in (nds.lag_withdrawal_per_m, nds.wood_screw_withdrawal_per_m):
        base = nds.withdrawal(per_m(G, D), p)
        assert nds.withdrawal(per_m(G, D), p * more) * SLACK >= base
        assert nds.withdrawal(per_m(G, D * more), p) * SLACK >= base
        assert nds.withdrawal(per_m(min(1.0, G * more), D), p) * SLACK >= base


@given(gravity, st.floats(0.004, 0.02), length, growth)
def test_pull_through_grows(G: float, head: float, net: float, more: float) -> None:
    base = nds.head_pull_through(G, head, net)
    assert nds.head_pull_through(G, head * more, net) * SLACK >= base
    assert nds.head_pull_through(G, head, net * more) * SLACK >= base
    assert nds.head_pull_through(min(1.0, G * more), head, net) * SLACK >= base


def value(G: float, D: float, ls: float, lm: float, Fyb: float, theta: float) -> float:
    Fe = nds.dowel_bearing(G, D, theta)
    return nds.lateral(D, ls, lm, Fe, Fe, Fyb, theta).Z


@given(gravity, st.one_of(small, large), length, length, steel, angle, growth)
def test_shear_grows_with_timber_steel_and_penetration(
    G: float, D: float, ls: float, lm: float, Fyb: float, theta: float, more: float
) -> None:
    base = value(G, D, ls, lm, Fyb, theta)
    assert base > 0
    assert value(min(1.0, G * more), D, ls, lm, Fyb, theta) * SLACK >= base
    assert value(G, D, ls, lm * more, Fyb, theta) * SLACK >= base
    assert value(G, D, ls * more, lm, Fyb, theta) * SLACK >= base
    assert value(G, D, ls, lm, Fyb * more, theta) * SLACK >= base


@given(gravity, st.one_of(st.tuples(small, small), st.tuples(large, large)), length, length, steel, angle)
def test_a_bigger_fastener_is_never_weaker_in_shear(
    G: float, sizes: tuple[float, float], ls: float, lm: float, Fyb: float, theta: float
) -> None:
    D, bigger = sorted(sizes)
    assert value(G, bigger, ls, lm, Fyb, theta) * SLACK >= value(G, D, ls, lm, Fyb, theta)


@given(gravity, large, length, length, steel, angle, angle)
def test_load_along_the_grain_is_never_weaker_than_across(
    G: float, D: float, ls: float, lm: float, Fyb: float, one: float, other: float
) -> None:
    along, across = sorted((one, other))
    assume(nds.dowel_bearing_perpendicular(G, D) <= nds.dowel_bearing_parallel(G))
    assert value(G, D, ls, lm, Fyb, along) * SLACK >= value(G, D, ls, lm, Fyb, across)


@given(force, force, force)
def test_interaction_ends_equal_the_single_strengths(Z: float, Wp: float, demand: float) -> None:
    use = nds.interaction_wood_screw
    assert math.isclose(float(use(Z, Wp, demand, 0.0)), demand / Z, rel_tol=1e-12)
    assert math.isclose(float(use(Z, Wp, 0.0, demand)), demand / Wp, rel_tol=1e-12)


@given(force, force, force, force, growth)
def test_interaction_grows_with_the_load_and_with_nothing_else(
    Z: float, Wp: float, shear: float, pull: float, more: float
) -> None:
    use = nds.interaction_wood_screw
    base = float(use(Z, Wp, shear, pull))
    assert float(use(Z, Wp, shear * more, pull * more)) * SLACK >= base
    assert float(use(Z * more, Wp, shear, pull)) <= base * SLACK
    assert float(use(Z, Wp * more, shear, pull)) <= base * SLACK
    assert max(shear / Z, pull / Wp) <= base * SLACK <= (shear / Z + pull / Wp) * SLACK**2
    assert math.isclose(float(use(Z, Wp, -shear, pull)), base, rel_tol=1e-12)


@given(st.lists(st.tuples(force, force, force, st.floats(-1e5, 1e5)), min_size=1, max_size=20))
def test_interaction_of_arrays_is_that_of_each(rows: list[tuple[float, float, float, float]]) -> None:
    Z, Wp, shear, pull = np.array(rows).T
    together = nds.interaction_wood_screw(Z, Wp, shear, pull)
    assert together.tolist() == [float(nds.interaction_wood_screw(*row)) for row in rows]


@given(st.floats(200, 1000), st.floats(0.002, 0.02), growth)
def test_slip_modulus_grows(rho: float, d: float, more: float) -> None:
    modulus = slip.screw_slip_modulus
    assert modulus(rho, d * more) * SLACK >= modulus(rho, d)
    assert modulus(min(1500.0, rho * more), d) * SLACK >= modulus(rho, d)


@given(st.floats(0.1, 2.0), st.floats(0.01, 0.1), st.floats(0.01, 0.1), growth)
def test_deeper_or_shorter_batten_is_never_weaker_or_softer(span: float, b: float, h: float, more: float) -> None:
    stress, stiffness = timber.bending_stress(1e3, span, b, h), timber.beam_stiffness(10e9, span, b, h)
    assert timber.bending_stress(1e3, span, b, h * more) <= stress * SLACK
    assert timber.bending_stress(1e3, span * more, b, h) * SLACK >= stress
    assert timber.beam_stiffness(10e9, span, b, h * more) * SLACK >= stiffness
    assert timber.beam_stiffness(10e9, span * more, b, h) <= stiffness * SLACK


@given(st.floats(0.01, 0.3), st.floats(0.01, 0.3), growth)
def test_bearing_grows_with_length_save_the_step_at_six_inches(length: float, width: float, more: float) -> None:
    limit = 6 * INCH
    assume(length * more < limit or length >= limit)
    base = timber.bearing_strength(3e6, length, width)
    assert timber.bearing_strength(3e6, length * more, width) * SLACK >= base


@given(st.floats(1e6, 1e7), st.floats(0.4, 0.95), st.floats(0.1, 20.0), growth)
def test_pad_stiffens_with_shape_and_stays_below_its_bulk(E0: float, k: float, S: float, more: float) -> None:
    base = pads.compression_modulus(E0, k, S, 1e9)
    assert base < 1e9
    assert pads.compression_modulus(E0, k, S * more, 1e9) * SLACK >= base
