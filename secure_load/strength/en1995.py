"""EN 1995-1-1 section 8.1.4: splitting at a joint.

Source: EN 1995-1-1:2004+A1:2008 (Eurocode 5). A characteristic strength (5 % exclusion): divide by the
material factor and multiply by k_mod before comparing with anything; never mix with NDS allowable values.
"""

from __future__ import annotations

import math

from secure_load.strength import _guard
from secure_load.strength.units import MILLIMETRE, Metre, Newton


def splitting(b: Metre, h: Metre, h_e: Metre, w: float = 1.0) -> Newton:
    """Characteristic shear on either side of a joint at which a member splits along its line of fasteners.

    F_90 = 14 b w sqrt(h_e / (1 - h_e / h))  [N, mm]; EN 1995-1-1 8.1.4, eq. 8.4. The Code prints it
    for softwood; there is no other for hardwood. b: thickness along the fasteners; h: depth in the direction of
    the load; h_e: from the loaded edge to the farthest fastener, less than h; all m. w: 1 but for punched plates.

    >>> round(splitting(0.040, 0.060, 0.030))
    4338
    """
    b_mm = _guard.positive("thickness of the member", b, "m") / MILLIMETRE
    h_mm = _guard.positive("depth of the member", h, "m") / MILLIMETRE
    e_mm = _guard.positive("distance from the loaded edge", h_e, "m") / MILLIMETRE
    if e_mm >= h_mm:
        raise ValueError(f"distance from the loaded edge must be less than the depth {h:g} m, got {h_e:g}")
    return 14.0 * b_mm * _guard.positive("plate factor w", w) * math.sqrt(e_mm / (1.0 - e_mm / h_mm))
