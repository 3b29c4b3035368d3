"""What a fastening is expected to break at: test values, without the factors that make them allowable.

For the story of what goes first and what follows, never for a working strength. Sources: AWC Technical Report
12, General Dowel Equations (5 % offset yield); USDA Wood Handbook chapter 8 (`wood_handbook`).
"""

from __future__ import annotations

import math

from secure_load.strength import _guard
from secure_load.strength.nds_lateral import Lateral, reduction_terms
from secure_load.strength.units import Metre, Newton, Radian

_TERM_OF = {"Im": 0, "Is": 0, "II": 1, "IIIm": 2, "IIIs": 2, "IV": 2}


def offset_yield(
    z: Lateral, D: Metre, theta: Radian = math.pi / 2, root_diameter: Metre | None = None
) -> tuple[Newton, str]:
    """Load at 5 % offset yield of one fastener in single shear, N, and the mode that governs it.

    P = Z R_d mode by mode, the least of them: AWC TR-12 gives Z = P / R_d with the reduction terms of NDS 2018
    Table 12.3.1B. P is the value of a short test: the load duration factor, which carries an allowable value
    from ten years to ten minutes, has no place on it. A joint goes on bearing beyond it; how much is not
    counted. ``z``, D, theta and root_diameter as given to `nds_lateral.lateral`.

    >>> from secure_load.strength.nds_lateral import lateral
    >>> z = lateral(0.005, 0.02, 0.03, 3e7, 3e7, 5e8, 0.0)
    >>> round(offset_yield(z, 0.005, 0.0)[0] / z.Z, 3)  # D = 0.197 in: K_D = 10 D + 0.5
    2.469
    """
    terms = reduction_terms(D, theta, root_diameter)
    yields = {mode: value * terms[_TERM_OF[mode]] for mode, value in z.modes.items()}
    mode = min(yields, key=yields.__getitem__)
    return _guard.not_negative("yield load", yields[mode], "N"), mode
