"""Fatigue by nominal stress: categories, damage of a spectrum, kilometres and years."""
