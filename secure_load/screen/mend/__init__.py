"""What would mend a weight: proposals, least work first."""
