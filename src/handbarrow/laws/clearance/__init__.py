"""Exact distances between solids, standing and on the way."""
