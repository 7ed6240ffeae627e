"""What `sheets` says at its end: what was made, and what a person does next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from handbarrow.job.values import Job
from handbarrow.language import Words, say

__all__ = ["summary_lines"]

LABELS = Words(
    "summary",
    {
        "parts": "parts",
        "cutting": "cutting",
        "unit": "one unit",
        "materials": "materials",
        "results": "results",
        "tube": "{count} tube",
        "bar": "{count} bar",
        "plate": "{count} plate",
        "sheet": "{count} sheet",
        "bought": "{count} bought",
    },
)


def summary_lines(job: Job, files: Sequence[Path], into: Path) -> list[str]:
    """Return the lines for the terminal."""
    labelled = list(_facts(job))
    wide = max(len(label) for label, _ in labelled)
    return [
        "",
        say(
            "{design}, revision {revision} ({digest}), {units} units for {shop}",
            design=job.design.name, revision=job.design.revision, digest=job.design.digest, units=job.units,
            shop=job.workshop.name,
        ),
        *(f"  {label:<{wide}}  {text}" for label, text in labelled),
        "",
        say("{count} files in {folder}:", count=len(files), folder=into),
        *[f"  {name}" for name in _headline_files(files, into)],
        "",
        *_next(job, into),
        _proven(job),
        say("Test each unit under load; local codes and licensed engineers go before this program."),
    ]  # fmt: skip


def _proven(job: Job) -> str:
    """What the sheets on loads and checks say and what they do not, in one line."""
    if not job.design.uses.carries:
        return say("Not checked: strength, joints, balance, brakes. The design does not say what it carries.")
    return say("The cover counts the checks; the sheets “Loads and checks” say what fails and what was not checked.")


def _facts(job: Job) -> Iterator[tuple[str, str]]:
    whole, shown, kinds = job.masses[-1], job.workshop.shown, job.by_kind()
    counts = [
        LABELS[kind].format(count=len(kinds[kind]))
        for kind in ("tube", "bar", "plate", "sheet", "bought")
        if kind in kinds
    ]
    yield (
        LABELS["parts"],
        say(
            "{count} different: {kinds}; {bent} of them bent",
            count=len(job.parts), kinds=", ".join(counts), bent=sum(p.card is not None for p in job.parts),
        ),
    )  # fmt: skip
    yield LABELS["cutting"], _cutting(job)
    mass = shown.mass(whole.mass_kg, with_unit=True)
    if whole.missing:
        yield LABELS["unit"], say("{mass} without {parts}", mass=mass, parts=", ".join(whole.missing))
    else:
        yield LABELS["unit"], mass
    if job.price is None:
        yield LABELS["materials"], say("open (prices are missing)")
    else:
        yield LABELS["materials"], f"{job.price:,.2f} {job.workshop.currency}"
    results = ", ".join(f"{name} {shown.length(value)}" for name, value in job.product.results.items())
    yield LABELS["results"], f"({shown.length_unit}) {results}"


def _cutting(job: Job) -> str:
    pieces = sum(p.quantity for p in job.parts if p.kind in ("tube", "bar")) * job.units
    bars = sum(b.count for b in job.cutting.bars if b.source == "shop")
    off_cuts = sum(b.count for b in job.cutting.bars if b.source == "rack")
    if all(b.proven for b in job.cutting.bounds):
        return say(
            "{pieces} pieces; new bars: {bars}; off-cuts: {off_cuts}; proven best",
            pieces=pieces, bars=bars, off_cuts=off_cuts,
        )  # fmt: skip
    return say(
        "{pieces} pieces; new bars: {bars}; off-cuts: {off_cuts}; not proven best, the pack says how near",
        pieces=pieces, bars=bars, off_cuts=off_cuts,
    )  # fmt: skip


def _next(job: Job, into: Path) -> list[str]:
    dies = sorted({row.die for p in job.parts if p.card for row in p.card.rows if row.law.is_guess})
    test = (
        say(
            "  3. Make the test pieces first and compare the bend with its card: the law of {dies} is only a first "
            "guess.",
            dies=", ".join(dies),
        )
        if dies
        else say("  3. Make the test pieces first and compare the bend with its card.")
    )
    return [
        say("Next:"),
        say("  1. Print {pack} at 100 % and measure the 100 mm rule on a wrap page.", pack=into / "pack.pdf"),
        say("  2. Buy what the materials page lists; take the off-cuts that the cutting plan names."),
        test,
        say("  4. Cut, mark and bend one unit; measure it against its check sizes; then the batch."),
    ]


def _headline_files(files: Sequence[Path], into: Path) -> list[str]:
    top = [str(p.relative_to(into)) for p in files if p.suffix in (".pdf", ".json", ".xlsx", ".csv")]
    dxf, svg = sum(p.suffix == ".dxf" for p in files), sum(p.suffix == ".svg" for p in files)
    return [*top, say("drawings: {dxf} DXF, {svg} SVG", dxf=dxf, svg=svg)]
