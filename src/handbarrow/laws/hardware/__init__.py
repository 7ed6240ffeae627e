"""Fasteners and their holes."""
