"""How stiff each restraint is, and how strong where the strength room has it from the same figures.

Stiffness comes from the part: a pad E_c A / t with its shape factor (Lindley), timber across the grain E A / t,
a screw its slip modulus K_ser (EN 1995-1-1 7.1), a batten the bending of a beam, a line E A / L. Parts in series
add their give. None of it is known well; a stiffness the owner measured is used as it is.

All timber is taken as stiff as one soft wood, whatever it is, and so are screws in it. How load is shared between
ways of holding is known within a factor of two or three at best, and screws in timber yield before they break: a
share that keeps within the strengths is one the stow can take (lower-bound theorem of plastic design, any text on
the strength of materials). Harder timber then adds strength and draws no load to itself.
"""

from __future__ import annotations

from secure_load.boat.models import Batten, Bed, Bolt, Bond, Cleat
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor, pad, timber
from secure_load.catalogue.strengths import Service, timber_strengths
from secure_load.strength.fastenings import Fastening
from secure_load.strength.pads import compression_modulus, pad_stiffness, shape_factor
from secure_load.strength.slip import screw_slip_modulus
from secure_load.strength.timber import beam_stiffness

MM = 1e-3
PER_MM = 1e3


def in_series(*stiffness: float) -> float:
    """Stiffness of parts that bear one on another, N/m."""
    return 1.0 / sum(1.0 / each for each in stiffness)


def _timber_modulus(service: Service) -> float:
    """Modulus along the grain that all timber is taken to have, Pa."""
    return timber_strengths(str(assumed("stiffness-timber").value), service).moe


def across_the_grain(service: Service, area: float, depth: float) -> float:
    """E_perp A / t of a piece of timber pressed across its grain; area in m2, depth in m; N/m."""
    return _timber_modulus(service) * factor("e-perp-over-e") * area / depth


def screw_slip(diameter: float) -> float:
    """K_ser of one screw or bolt in timber, EN 1995-1-1 7.1; diameter in m; N/m."""
    return screw_slip_modulus(timber(str(assumed("stiffness-timber").value)).rho_mean, diameter)


def bed_stiffness(bed: Bed, service: Service, size: tuple[float, float]) -> float:
    """A bed of size [a, b] in m: its pad, if any, on its timber; N/m."""
    if bed.stiffness_N_per_mm is not None:
        return bed.stiffness_N_per_mm * PER_MM
    a, b = size
    under = across_the_grain(service, a * b, assumed("bed-thickness").number * MM)
    if bed.pad is None:
        return under
    row = pad(bed.pad.material)
    thickness = bed.pad.thickness_mm * MM
    modulus = compression_modulus(row.E0, row.k, shape_factor(a, b, thickness), row.E_bulk)
    return in_series(under, pad_stiffness(modulus, a * b, thickness))


def cleat_stiffness(cleat: Cleat, service: Service, screws: Fastening, count: int, area: float) -> float:
    """A cleat: the slip of its screws, behind the crushing of its own depth; area of contact in m2; N/m."""
    if cleat.stiffness_N_per_mm is not None:
        return cleat.stiffness_N_per_mm * PER_MM
    assert cleat.depth_mm is not None
    slip = count * screw_slip(screws.diameter)
    return in_series(slip, across_the_grain(service, area, cleat.depth_mm * MM))


def batten_stiffness(batten: Batten, service: Service, screws: Fastening, count: int) -> float:
    """A batten: a beam between its ends, on screws taken to give as much along as across; N/m."""
    if batten.stiffness_N_per_mm is not None:
        return batten.stiffness_N_per_mm * PER_MM
    assert batten.span_mm is not None
    assert batten.width_mm is not None
    assert batten.depth_mm is not None
    beam = beam_stiffness(
        _timber_modulus(service), batten.span_mm * MM, batten.width_mm * MM, batten.depth_mm * MM, "uniform"
    )
    return in_series(beam, count * screw_slip(screws.diameter))


def bolt_stiffness(bolt: Bolt, screws: Fastening) -> float:
    """Bolts through a weight, taken to give alike in all ways: K_ser of each; N/m."""
    if bolt.stiffness_N_per_mm is not None:
        return bolt.stiffness_N_per_mm * PER_MM
    return bolt.count * screw_slip(screws.diameter)


def bond_stiffness(bond: Bond) -> float:
    """A bonded patch: as stiff as a bed on metal unless it was measured; N/m."""
    if bond.stiffness_N_per_mm is not None:
        return bond.stiffness_N_per_mm * PER_MM
    return assumed("rigid-stiffness").number * PER_MM
