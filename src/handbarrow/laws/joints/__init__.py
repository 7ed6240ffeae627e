"""Joints: the chord wall under a welded tube, plates, bolts and pins."""
