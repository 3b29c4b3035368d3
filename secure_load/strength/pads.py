"""Rubber pads and beds: how stiff they are.

Sources: A. N. Gent and P. B. Lindley, "The compression of bonded rubber blocks", Proc. Instn Mech. Engrs 173
(1959); P. B. Lindley, Engineering Design with Natural Rubber (MRPRA); A. N. Gent, "On the relation between
indentation hardness and Young's modulus", Rubber Chem. Technol. 31 (1958). For faces that cannot slip
(bonded, or rough and well loaded): a greased face is softer. Small strains: the caller keeps compression
below some 10 to 15 %.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from secure_load.strength import _guard
from secure_load.strength.units import Metre, NewtonPerMetre, Pascal

Array = NDArray[np.floating[Any]]


def shape_factor(length: Metre, width: Metre, thickness: Metre) -> float:
    """Loaded area over force-free area of a rectangular pad: a b / (2 t (a + b)); Gent and Lindley (1959).

    >>> round(shape_factor(0.100, 0.050, 0.006), 3)
    2.778
    """
    a = _guard.positive("pad length", length, "m")
    b = _guard.positive("pad width", width, "m")
    return a * b / (2.0 * _guard.positive("pad thickness", thickness, "m") * (a + b))


def compression_modulus(E0: Pascal, k: float, S: float, E_bulk: Pascal | None = None) -> Pascal:
    """Modulus of a pad in compression: E_c = E0 (1 + 2 k S^2), and 1/E = 1/E_c + 1/E_bulk for a thin one.

    Lindley; Gent and Lindley (1959). E0: Young's modulus, Pa. k: numerical factor of the compound (0.4 .. 1).
    S: shape factor. E_bulk: bulk modulus, Pa; leave it out for S below about 3. Pa.

    >>> round(compression_modulus(4.45e6, 0.57, 2.0, 1090e6) / 1e6, 2)
    24.19
    """
    _guard.positive("Young's modulus of the rubber", E0, "Pa")
    k = _guard.within("compression factor k", k, 0.0, 1.0)
    E_c = E0 * (1.0 + 2.0 * k * _guard.not_negative("shape factor", S) ** 2)
    if E_bulk is None:
        return E_c
    return 1.0 / (1.0 / E_c + 1.0 / _guard.positive("bulk modulus", E_bulk, "Pa"))


def pad_stiffness(E: Pascal, area: float, thickness: Metre) -> NewtonPerMetre:
    """Stiffness of a pad: E A / t, with E from `compression_modulus`; area in m2, thickness in m. N/m.

    >>> round(pad_stiffness(24.0e6, 0.005, 0.006) / 1e6)
    20
    """
    area = _guard.positive("pad area", area, "m2")
    return _guard.positive("pad modulus", E, "Pa") * area / _guard.positive("pad thickness", thickness, "m")


def sudden_load(static: Array, gap: Array, stiffness: Array) -> Array:
    """Peak force, N, of a weight that moves ``gap`` before springs take it up: f + sqrt(f^2 + 2 k s f).

    Energy balance of a mass on a linear spring without loss, S. Timoshenko, Strength of Materials: the force f it
    bears at rest, nil or more, times 1 + sqrt(1 + 2 s/d) with d = f / k. At no gap the answer is 2 f: a load put on
    at once, not lowered on. Arrays that broadcast; gap in m, stiffness in N/m.

    >>> sudden_load(np.array([100.0, 100.0, 0.0]), np.array([0.0, 0.012, 0.012]), np.array(1e5)).tolist()
    [200.0, 600.0, 0.0]
    """
    _guard.not_negative("gap", float(np.min(gap, initial=0.0)), "m")
    return static + np.sqrt(static**2 + 2.0 * stiffness * gap * static)
