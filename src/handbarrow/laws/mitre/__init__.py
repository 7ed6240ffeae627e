"""Mitres: where the lines along a tube's outside meet the surface of what the tube is cut against.

Pure and vectorised. `outline` gives the stations round a section, `receiver` the surface of a member, `cope` the cut
(h at every station), `straight_cuts` the stand-ins for a hacksaw, `notch` the outlines for angle and flat.
"""
