"""Frames in space: displacements, forces, stresses, frequencies; and what moves where a frame is not held."""
