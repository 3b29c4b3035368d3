"""What would mend a weight: a search for the least work that brings it to green, each proposal checked in full."""

from secure_load.check.results import Remedy
from secure_load.remedies.proposals import remedies, with_remedies

__all__ = ["Remedy", "remedies", "with_remedies"]
