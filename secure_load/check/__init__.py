"""Samples the load cases, evaluates every restraint and judges each weight."""
