"""Weights and their restraints as springs and failure modes."""
