"""Cutting bars: plans of least cost with a proven lower bound."""
