"""What is wrong with bolts and their holes."""

from __future__ import annotations

from handbarrow.design.values import Part
from handbarrow.findings import Finding, Severity
from handbarrow.job.bolt_stack import Layer
from handbarrow.language import Said, said
from handbarrow.laws.hardware.sizes import FastenerSize, clearance_hole

__all__ = ["grips_differ", "misses", "narrow", "no_hole", "no_length", "one_wall", "thread_there", "wide"]


def misses(part: Part, copy: int, name: str, gap: float | None) -> Finding:
    """A part that the bolt is to go through is not on its way."""
    if gap is None:
        wrong = said("the bolt of copy {copy} does not go through {name}", copy=copy, name=name)
    else:
        wrong = said(
            "between {name} and what the bolt of copy {copy} clamps there are {gap:.1f} mm of nothing",
            name=name,
            copy=copy,
            gap=gap,
        )
    return Finding(
        code="bolt-misses-part",
        where=f"{part.path}.bolted.through",
        wrong=wrong,
        expected=said("parts that lie on each other along the bolt, or `bridges` with the room that it is to bridge"),
        fix=said("move the bolt, mend `axis`, or say `bridges: ...` where a bush or a nut stands between"),
    )


def grips_differ(part: Part, least: float, most: float) -> Finding:
    """Copies of one bolt clamp more and less."""
    return Finding(
        code="bolt-grips-differ",
        where=f"{part.path}.bolted",
        wrong=said("copies of the bolt clamp {least:.1f} to {most:.1f} mm", least=least, most=most),
        expected=said("the same stack at every copy: all are bought in one length"),
        fix=said("make two parts of it, each with its own copies"),
        severity=Severity.WARNING,
    )


def no_length(part: Part, size: FastenerSize, grip: float) -> Finding:
    """No standard length does."""
    return Finding(
        code="bolt-length-missing",
        where=f"{part.path}.bolted",
        wrong=said("no {thread} bolt of standard length clamps {grip:.1f} mm", thread=size.name, grip=grip),
        expected=said(
            "a length of ISO 4014 or ISO 4017: {least:g} to {most:g} mm",
            least=size.screw_lengths[0],
            most=max(size.bolt_lengths[1], size.screw_lengths[1]),
        ),
        fix=said("take another thread, add washers, or a threaded rod with two nuts as a bought part"),
    )


def no_hole(part: Part, layer: Layer, size: FastenerSize, *, tapped: bool) -> Finding:
    """Nothing is drilled where the bolt goes."""
    key: str = f"tapped: {size.name}" if tapped else f"for: {size.name}"
    return Finding(
        code="bolt-without-hole",
        where=f"{part.path}.bolted",
        wrong=said("{piece} has no hole where the bolt goes through it", piece=layer.piece.part),
        expected=said("a hole whose middle lies within 1 mm of the bolt"),
        fix=said("add a hole to {piece} with `{key}`", piece=layer.piece.part, key=key),
        severity=Severity.WARNING,
    )


def _unfit(part: Part, wrong: Said, expected: Said, fix: Said) -> Finding:
    return Finding(
        code="bolt-hole-unfit",
        where=f"{part.path}.bolted",
        wrong=wrong,
        expected=expected,
        fix=fix,
        severity=Severity.WARNING,
    )


def thread_there(part: Part, layer: Layer, size: FastenerSize, *, tapped: bool) -> Finding:
    """A thread where the bolt must pass, or none where it is to hold."""
    piece = layer.piece.part
    if tapped:
        return _unfit(
            part,
            said("{piece} has no thread {thread} for the bolt", piece=piece, thread=size.name),
            said("a hole with `tapped: {thread}` in the last part", thread=size.name),
            said("change the hole, or take another `nut`"),
        )
    return _unfit(
        part,
        said("the hole of {piece} has a thread where the bolt must pass", piece=piece),
        said("a hole with `for: {thread}`; a thread only in the last part, with `nut: tapped`", thread=size.name),
        said("change the hole"),
    )


def narrow(part: Part, layer: Layer, size: FastenerSize) -> Finding:
    """The bolt does not go in."""
    wide = layer.seat.width if layer.seat else 0.0
    return _unfit(
        part,
        said("the hole of {piece} is {wide:g} mm wide", piece=layer.piece.part, wide=wide),
        said("at least {least:g} mm for {thread}", least=size.diameter, thread=size.name),
        said("write `for: {thread}` in the place of its size", thread=size.name),
    )


def one_wall(part: Part, layer: Layer) -> Finding:
    """Only one wall is drilled."""
    return _unfit(
        part,
        said("the hole of {piece} goes through one wall, the bolt through both", piece=layer.piece.part),
        said("a hole with `through: yes`"),
        said("add `through: yes`"),
    )


def wide(part: Part, layer: Layer, size: FastenerSize) -> Finding:
    """The washer covers too little."""
    seat = layer.seat.width if layer.seat else 0.0
    return _unfit(
        part,
        said("the hole of {piece} is {wide:g} mm wide", piece=layer.piece.part, wide=seat),
        said(
            "{medium:g} mm for {thread} (ISO 273, medium), {coarse:g} mm where it must have room",
            medium=clearance_hole(size),
            coarse=clearance_hole(size, "coarse"),
            thread=size.name,
        ),
        said("write `for: {thread}` in the place of its size", thread=size.name),
    )
