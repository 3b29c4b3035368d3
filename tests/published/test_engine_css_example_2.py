"""International Maritime Organization: CSS Code, Annex 13, Appendix 1, example 2 (the alternative method, in which a
lashing's lead fore and aft counts as well), through the load engine.

68 t on timber, friction 0.3, 2.4 m high and 1.8 m wide; forces 112 kN fore and aft, 312 kN athwartships, 346 kN
upward; eight lashings with their strengths and securing angles. All inputs and printed figures are from memory; they
agree with one another when worked by the Code's formulas (f_y = cos a cos b + mu sin a, f_x = cos a sin b + mu sin a),
which is checked first. The Code cuts or rounds to whole kilonewtons: met to 1 kN.

The Code looks one way at a time. Each lashing is therefore put on as two halves, one the other's mirror image across
the way looked at, so that nothing is left over in the other.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from secure_load.solver.equilibrium import solve
from secure_load.solver.springs import Attachment, Spring, SpringSet, assemble

WEIGHT = 68.0 * 9.81
"""kN, as the Code works."""
UP = 346.0
"""kN, the vertical force."""
MU = 0.3
HEIGHT, WIDTH = 2.4, 1.8
TRANSVERSE, LONGITUDINAL = 312.0, 112.0
KN = 1e3

# calculated strength in kN, vertical and horizontal securing angle in degrees
Lashing = tuple[float, float, float]
TO_STARBOARD: list[Lashing] = [(80.0, 40.0, 30.0), (67.0, 50.0, 20.0), (67.0, 50.0, 20.0), (80.0, 40.0, 40.0)]
TO_PORT: list[Lashing] = [(80.0, 40.0, 30.0), (67.0, 20.0, 30.0), (67.0, 20.0, 10.0), (80.0, 40.0, 30.0)]
FORWARD: list[Lashing] = [TO_STARBOARD[0], TO_STARBOARD[2], TO_PORT[0], TO_PORT[2]]
AFT: list[Lashing] = [TO_STARBOARD[1], TO_STARBOARD[3], TO_PORT[1], TO_PORT[3]]

CASES = [
    pytest.param(TO_STARBOARD, "across", 443.0, id="starboard"),
    pytest.param(TO_PORT, "across", 468.0, id="port"),
    pytest.param(FORWARD, "along", 237.0, id="forward"),
    pytest.param(AFT, "along", 266.0, id="aft"),
]


@pytest.mark.parametrize(("lashings", "way", "printed"), CASES)
def test_the_figures_agree_with_one_another(lashings: list[Lashing], way: str, printed: float) -> None:
    total = MU * (WEIGHT if way == "across" else WEIGHT - UP)
    for strength, alpha, beta in lashings:
        a, b = math.radians(alpha), math.radians(beta)
        lead = math.cos(b) if way == "across" else math.sin(b)
        # the Code tabulates these to two places
        total += strength * round(math.cos(a) * lead + MU * math.sin(a), 2)
    assert total == pytest.approx(printed, abs=1.0)


def unit(lashings: list[Lashing], way: str, mu: float = MU) -> SpringSet:
    """The unit on deck, its lashings pulling with their strengths along +y (across) or +x (along), and down."""
    up = np.array([0.0, 0.0, 1.0])
    corners = [np.array([x, y, -HEIGHT / 2]) for x in (-3.0, 3.0) for y in (-WIDTH / 2, WIDTH / 2)]
    links = [Spring(0, [Attachment(p, up)], 2.5e8, friction=mu, tangential_ratio=0.82) for p in corners]
    # low down on the middle of the side they lead to, where they make the least of tipping
    foot = np.array([0.0, WIDTH / 2, -HEIGHT / 2]) if way == "across" else np.array([3.0, 0.0, -HEIGHT / 2])
    for strength, alpha, beta in lashings:
        a, b = math.radians(alpha), math.radians(beta)
        for side in (-1.0, 1.0):
            lead = np.array([math.cos(a) * math.sin(b), math.cos(a) * math.cos(b), -math.sin(a)])
            lead[0 if way == "across" else 1] *= side
            # weak springs: at their strength however the unit settles
            links.append(Spring(1, [Attachment(foot, lead)], 1e4, preload=0.5 * strength * KN))
    return assemble(links, [3.0])


def limit(links: SpringSet, way: str) -> float:
    """The greatest force in kN, against the lashings, that leaves the unit where it is.

    What friction no longer takes draws the lashings' weak springs past their strength, and that is sliding.
    """
    down = -(WEIGHT if way == "across" else WEIGHT - UP) * KN

    def holds(force: float) -> bool:
        push = [0.0, -force * KN, down] if way == "across" else [-force * KN, 0.0, down]
        found = solve(links, np.array([push]))
        pulls = links.restraint == 1
        return not found.free[0] and not np.any(found.normal[0, pulls] > 1.002 * links.preload[pulls])

    low, high = 0.0, 2000.0
    assert holds(low)
    assert not holds(high)
    while high - low > 0.01:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


@pytest.mark.parametrize(("lashings", "way", "printed"), CASES)
def test_sliding(lashings: list[Lashing], way: str, printed: float) -> None:
    found = limit(unit(lashings, way), way)
    assert found == pytest.approx(printed, abs=1.0)
    assert found > (TRANSVERSE if way == "across" else LONGITUDINAL)


def test_tipping_without_lashings() -> None:
    """Printed: 312 x 1.2 = 374 kN m against 68 x 9.81 x 0.9 = 600 kN m; it stands without its lashings."""
    assert limit(unit([], "across", mu=2.0), "across") * HEIGHT / 2 == pytest.approx(600.0, abs=1.0)
