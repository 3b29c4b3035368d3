"""The section, the plan, the rose, the curve and the heel strip."""
