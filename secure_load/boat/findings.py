"""What inspections found of a restraint, and what it takes off its strength."""

from __future__ import annotations

import math

from .models import BoatFile, Finding, Restraint, restraint_ids


def open_findings(restraint: Restraint) -> list[Finding]:
    """Findings that have not been put right, in the order they were written."""
    return [f for f in restraint.finding if not f.fixed]


def factor_of(restraint: Restraint) -> float:
    """What is left of a restraint's strength, 0 to 1: the product of its open findings' factors.

    The product and not the least: where two findings speak of the same part both count, which is the cautious
    reading. A finding that a later one takes the place of is marked as fixed.
    """
    return math.prod(f.factor for f in open_findings(restraint))


def factor_for(boat: BoatFile, weight_id: str, restraint_id: str) -> float:
    """What is left of the strength of one restraint of one weight, 0 to 1. Raises LookupError, in words."""
    weight = next((w for w in boat.weight if w.id == weight_id), None)
    if weight is None:
        raise LookupError(f"there is no weight '{weight_id}'")
    ids = restraint_ids(weight)
    if restraint_id not in ids:
        raise LookupError(f"weight '{weight_id}' has no restraint '{restraint_id}'")
    return factor_of(weight.restraint[ids.index(restraint_id)])


def finding_words(finding: Finding) -> str:
    """A finding in a clause: day, what was seen, what it takes off."""
    left = f"; {100 * finding.factor:g} % of its strength counted on" if finding.factor < 1.0 else ""
    return f"{finding.date.isoformat()}: {finding.note}{left}{'; put right' if finding.fixed else ''}"
