"""How stiff each restraint is, and how strong where the strength room has it from the same figures.

Stiffness comes from the part: a pad E_c A / t with its shape factor (Lindley), timber across the grain E A / t,
a screw its slip modulus K_ser (EN 1995-1-1 7.1), a batten the bending of a beam, a line E A / L. Parts in series
add their give. None of it is known well; a stiffness the owner measured is used as it is.
"""

from __future__ import annotations

from secure_load.boat.models import Batten, Bed, Bolt, Bond, Cleat
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor, pad
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


def across_the_grain(timber: str, service: Service, area: float, depth: float) -> float:
    """E_perp A / t of a piece of timber pressed across its grain; area in m2, depth in m; N/m."""
    modulus = timber_strengths(timber, service).moe * factor("e-perp-over-e")
    return modulus * area / depth


def bed_stiffness(bed: Bed, service: Service, size: tuple[float, float]) -> float:
    """A bed of size [a, b] in m: its pad, if any, on its timber; N/m."""
    if bed.stiffness_N_per_mm is not None:
        return bed.stiffness_N_per_mm * PER_MM
    a, b = size
    if bed.timber is not None:
        under = across_the_grain(bed.timber, service, a * b, assumed("bed-thickness").number * MM)
    else:
        under = assumed("rigid-stiffness").number * PER_MM
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
    assert cleat.timber is not None
    assert cleat.depth_mm is not None
    slip = count * screw_slip_modulus(screws.density, screws.diameter)
    return in_series(slip, across_the_grain(cleat.timber, service, area, cleat.depth_mm * MM))


def batten_stiffness(batten: Batten, service: Service, screws: Fastening, count: int) -> float:
    """A batten: a beam between its ends, on screws taken to give as much along as across; N/m."""
    if batten.stiffness_N_per_mm is not None:
        return batten.stiffness_N_per_mm * PER_MM
    assert batten.timber is not None
    assert batten.span_mm is not None
    assert batten.width_mm is not None
    assert batten.depth_mm is not None
    modulus = timber_strengths(batten.timber, service).moe
    beam = beam_stiffness(modulus, batten.span_mm * MM, batten.width_mm * MM, batten.depth_mm * MM, "uniform")
    return in_series(beam, count * screw_slip_modulus(screws.density, screws.diameter))


def bolt_stiffness(bolt: Bolt, screws: Fastening) -> float:
    """Bolts through a weight, taken to give alike in all ways: K_ser of each; N/m."""
    if bolt.stiffness_N_per_mm is not None:
        return bolt.stiffness_N_per_mm * PER_MM
    return bolt.count * screw_slip_modulus(screws.density, screws.diameter)


def bond_stiffness(bond: Bond) -> float:
    """A bonded patch: as stiff as a bed on metal unless it was measured; N/m."""
    if bond.stiffness_N_per_mm is not None:
        return bond.stiffness_N_per_mm * PER_MM
    return assumed("rigid-stiffness").number * PER_MM
