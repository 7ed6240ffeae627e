"""Fillet welds: throat, length along a cope, stresses from end forces, EN 1993-1-8."""
