"""NDS 2018, sections 12.2, 12.4 and 11.3: fasteners pulled out of timber, and pulled and sheared at once.

Source: American Wood Council, ANSI/AWC NDS-2018, National Design Specification for Wood Construction,
chapters 11 and 12. The figures are allowable (working) values for normal, ten-year load duration: multiply by
the load duration and service factors with `adjusted`; never divide by a further safety factor and never mix
with Wood Handbook averages or EN 1995 characteristic values.
"""

from __future__ import annotations

import math
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from secure_load.strength import _guard
from secure_load.strength.units import INCH, POUND_FORCE_PER_INCH, Metre, Newton, NewtonPerMetre

Floats = npt.NDArray[np.float64]
FastenerKind = Literal["lag_screw", "wood_screw", "nail"]


def lag_withdrawal_per_m(G: float, D: Metre) -> NewtonPerMetre:
    """Reference withdrawal of a lag (coach) screw per metre of thread in side grain.

    W = 1800 G^(3/2) D^(3/4)  [lbf/in, D in inches]; NDS 2018 12.2.1, eq. 12.2-1.

    G: specific gravity, ovendry mass and volume (0.05 .. 1.4). D: unthreaded shank diameter, m.
    Count the thread in the main member without the tapered tip. Result in N/m.

    >>> round(lag_withdrawal_per_m(0.50, 0.25 * 0.0254) * 0.0254 / 4.4482216, 1)  # Table 12.2A: 225 lbf/in
    225.0
    """
    _guard.specific_gravity(G)
    _guard.positive("lag screw diameter", D, "m")
    return 1800.0 * G**1.5 * (D / INCH) ** 0.75 * POUND_FORCE_PER_INCH


def wood_screw_withdrawal_per_m(G: float, D: Metre) -> NewtonPerMetre:
    """Reference withdrawal of a cut- or rolled-thread wood screw per metre of thread in side grain.

    W = 2850 G^2 D  [lbf/in, D in inches]; NDS 2018 12.2.2, eq. 12.2-2.

    G: specific gravity, ovendry (0.05 .. 1.4). D: nominal (shank) diameter, m. Result in N/m.

    >>> round(wood_screw_withdrawal_per_m(0.67, 0.190 * 0.0254) * 0.0254 / 4.4482216, 1)  # Table 12.2B: 243
    243.1
    """
    _guard.specific_gravity(G)
    _guard.positive("wood screw diameter", D, "m")
    return 2850.0 * G**2 * (D / INCH) * POUND_FORCE_PER_INCH


def head_pull_through(G: float, head_diameter: Metre, side_thickness: Metre) -> Newton:
    """Reference load that pulls a round head through the wooden side member.

    W_H = 690 pi D_H G^2 t_ns for t_ns <= 2.5 D_H, and 1725 pi D_H^2 G^2 beyond  [lbf, in];
    NDS 2018 12.2.5, eq. 12.2-6a and 12.2-6b. Table 12.2F goes from D_H 0.234 to 0.500 in and t_ns 5/16 to 1-1/2 in;
    round heads only: a hexagonal head or a washer bears across the grain (`bolts.washer_bearing`).

    G: specific gravity of the side member (0.05 .. 1.4). Head diameter and net thickness under the head, m.
    N. Use the thickness left below a countersunk head, not the whole plank.

    >>> round(head_pull_through(0.50, 0.010, 0.019))
    710
    """
    _guard.specific_gravity(G)
    head = _guard.positive("head diameter", head_diameter, "m") / INCH
    net = _guard.not_negative("thickness under the head", side_thickness, "m") / INCH
    pounds = 690.0 * math.pi * head * G**2 * min(net, 2.5 * head)
    return pounds * INCH * POUND_FORCE_PER_INCH


def withdrawal(per_m: NewtonPerMetre, thread_length: Metre) -> Newton:
    """Reference withdrawal of one fastener, W p; NDS 2018 12.2.1.1.

    ``per_m`` from one of the formulas above (N/m), ``thread_length`` the threaded length within the main
    member, m. About two thirds of a wood screw is threaded; a lag screw's tapered tip does not count.

    >>> withdrawal(40000.0, 0.025)
    1000.0
    """
    per_m = _guard.not_negative("withdrawal per metre", per_m, "N/m")
    return per_m * _guard.not_negative("thread in the main member", thread_length, "m")


def end_grain_factor(kind: FastenerKind, action: Literal["withdrawal", "lateral"]) -> float:
    """End-grain factor C_eg; NDS 2018 12.5.2 with 12.2.2.2 and 12.2.3.

    Withdrawal: lag screw 0.75, wood screw and nail 0 (the code forbids it). Lateral: 0.67 for all.

    >>> end_grain_factor("wood_screw", "withdrawal")
    0.0
    """
    _guard.one_of("fastener kind", kind, ("lag_screw", "wood_screw", "nail"))
    _guard.one_of("action", action, ("withdrawal", "lateral"))
    if action == "lateral":
        return 0.67
    return 0.75 if kind == "lag_screw" else 0.0


def adjusted(reference: Newton, C_D: float, C_M: float, C_delta: float = 1.0, C_eg: float = 1.0) -> Newton:
    """Adjusted design value of one fastener: reference x C_D C_M C_delta C_eg; NDS 2018 Table 11.3.1.

    C_D load duration (0.9 .. 2.0, connections not above 1.6), C_M wet service (0 .. 1), C_delta geometry (0
    .. 1), C_eg end grain (0 .. 1). The caller brings the figures from the catalogue. Temperature, diaphragm
    and toe-nail factors are 1 here; the group factor C_g is 1 for D < 1/4 in, and for larger fasteners
    where one stands in each row along the load, as in a cleat pressed across its length.

    >>> round(adjusted(1000.0, C_D=1.6, C_M=0.7))
    1120
    """
    reference = _guard.not_negative("reference design value", reference, "N")
    # NDS 11.3.2: connections take no impact factor above 1.6, whatever the members take.
    _guard.within("load duration factor C_D", C_D, 0.9, 1.6)
    _guard.within("wet service factor C_M", C_M, 0.0, 1.0)
    _guard.within("geometry factor C_delta", C_delta, 0.0, 1.0)
    return reference * C_D * C_M * C_delta * _guard.within("end grain factor C_eg", C_eg, 0.0, 1.0)


def interaction_wood_screw(Z: Any, Wp: Any, shear: Any, pull: Any) -> Floats:
    """Utilisation of lag or wood screws in shear and pull at once; NDS 2018 12.4.1, eq. 12.4-1.

    Z_alpha' = W'p Z' / (W'p cos^2 alpha + Z' sin^2 alpha) at an angle alpha to the wood surface. With R the
    resultant, R / Z_alpha' = (shear^2/Z' + pull^2/W'p) / R. Where the screw pulls better than it shears, the
    printed formula can give less for shear with a little pull than for the same shear alone; the result is
    therefore never taken below shear/Z' or pull/W'p (our own step, on the safe side; it changes nothing at the
    ends).

    All arguments broadcast (numpy): Z, Wp in N (>= 0), shear in N (its size counts), pull in N (pushing in,
    below 0, counts as none). A load where the strength is nil gives inf.

    >>> interaction_wood_screw(100.0, 200.0, [50.0, 0.0], [0.0, 50.0]).tolist()
    [0.5, 0.25]
    >>> float(interaction_wood_screw(100.0, 200.0, 80.0, 60.0).round(3))
    0.82
    """
    z, w, s, p = _interaction_arguments(Z, Wp, shear, pull)
    resultant = np.hypot(s, p)
    by_shear, by_pull = _ratio(s, z), _ratio(p, w)
    scale = np.where(resultant > 0.0, resultant, 1.0)
    together = by_shear * (s / scale) + by_pull * (p / scale)
    return np.maximum(np.maximum(by_shear, by_pull), np.nan_to_num(together, nan=np.inf, posinf=np.inf))


def _interaction_arguments(Z: Any, Wp: Any, shear: Any, pull: Any) -> tuple[Floats, Floats, Floats, Floats]:
    z, w, s, p = (np.asarray(a, dtype=np.float64) for a in (Z, Wp, shear, pull))
    for quantity, values in (("adjusted lateral value Z'", z), ("adjusted withdrawal value W'p", w)):
        if np.any(values < 0.0) or np.any(np.isnan(values)):
            raise ValueError(f"{quantity} must be 0 N or more everywhere")
    for quantity, values in (("shear on the fastener", s), ("pull on the fastener", p)):
        if not np.all(np.isfinite(values)):
            raise ValueError(f"{quantity} must be finite everywhere")
    return z, w, np.abs(s), np.maximum(p, 0.0)


def _ratio(load: Floats, strength: Floats) -> Floats:
    load, strength = np.broadcast_arrays(load, strength)
    out = np.where(load > 0.0, np.inf, 0.0)
    np.divide(load, strength, out=out, where=strength > 0.0)
    return out
