"""What would mend a weight: a search for the least work that brings it to green, each proposal checked in full."""

from secure_load.remedies.proposals import remedies, with_remedies
from secure_load.verdict.models import Remedy

__all__ = ["Remedy", "remedies", "with_remedies"]
