"""Joints: welds, walls of tubes under others, how long welds last; from what the frame's solution puts through them."""

from __future__ import annotations

from handbarrow.findings import Finding
from handbarrow.job.frame_checks import solved
from handbarrow.job.frame_ties import pieces_of_runs
from handbarrow.job.frame_values import Check, Subject
from handbarrow.job.joint_bolts import bolt_checks
from handbarrow.job.joint_fatigue import fatigue_checks
from handbarrow.job.joint_forces import tied
from handbarrow.job.joint_lines import seams
from handbarrow.job.joint_plates import plate_checks
from handbarrow.job.joint_walls import wall_checks
from handbarrow.job.joint_welds import Ground, weld_checks, weld_states
from handbarrow.job.mitre_surfaces import Scene

__all__ = ["checks"]


def checks(job: Subject) -> tuple[tuple[Check, ...], list[Finding]]:
    """Return the checks of all joints, worst copy and case of each pair of parts; and no findings."""
    ways = solved(job)
    if not ways:
        return (), []
    scene = Scene(job.product)
    ground = Ground(job, scene, pieces_of_runs(scene))
    ties = [tied(way) for way in ways]
    found = [seam for some in ties for seam in seams(job, some)]
    states = weld_states(ground, found)
    every = [one for some in ties for one in some]
    held = (*plate_checks(ground, every, found), *bolt_checks(job, ways, every))
    return (*weld_checks(job, states), *wall_checks(ground, found), *held, *fatigue_checks(ground, states)), []
