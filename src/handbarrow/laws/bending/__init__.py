"""Bending of tube and bar: the die's law, springback, marks, order of bends, and bending in simulation."""
