"""Answer which tubes on sale would do."""

from __future__ import annotations

import csv
import io
import json
import math
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from handbarrow.cli import loading, show
from handbarrow.cli.spreading import Files, try_all
from handbarrow.language import said, say

if TYPE_CHECKING:
    from handbarrow.design.values import Design
    from handbarrow.job.tube_choices import Tried
    from handbarrow.workshop.values import Workshop

__all__ = ["MOST_BUILT", "Asked", "answer", "find"]

MOST_BUILT = 12
"""So many combinations are built in full at most; of more, a first look tells which ones."""

Roles = Mapping[str, str]


class Asked(NamedTuple):
    """What was asked for.

    Attributes:
        roles: Roles to change; empty: all for which there is more than one stock.
        whole: Every combination; else only one step down and up for each role.
        most: At most so many combinations.
        jobs: Processes; 0: one for each core.
        cluster: Address of a Dask scheduler, or empty.
        into: Tables (CSV) and charts (SVG) of all that was tried.
    """

    roles: Sequence[str]
    whole: bool
    most: int
    jobs: int
    cluster: str
    into: Sequence[Path]


def answer(design: Path, workshop: Path, asked: Asked, *, as_json: bool) -> int:
    """Try the combinations, print what is worth a look, write the table and the chart; return the exit code."""
    from handbarrow.job.tube_choices import as_drawn, choosable_roles

    files = Files(
        loading.read_bytes(design).decode(), str(design), loading.read_bytes(workshop).decode(), str(workshop)
    )
    job, findings = loading.load_job(design, workshop, 1)
    if job is None:
        show.findings(findings, as_json=as_json, stream=sys.stdout if as_json else sys.stderr)
        return 1
    roles = _roles(job.design, asked.roles, choosable_roles(job.design, job.workshop))
    drawn = as_drawn(job.design, roles)
    wanted = _combinations(job.design, job.workshop, roles, asked)
    with show.progress(quiet=as_json) as step:
        found = find(files, wanted, drawn, asked, step)
    for path in asked.into:
        loading.write_whole(path, _file(path, found, drawn, job.workshop.currency).encode())
    if as_json:
        json.dump({"drawn": drawn, "tried": [asdict(one) for one in found]}, sys.stdout, indent=2, ensure_ascii=False)
        sys.stdout.write("\n")
    else:
        _print(found, drawn, job.workshop)
    return 0


def find(
    files: Files, wanted: Sequence[Roles], drawn: Roles, asked: Asked, step: Callable[[str, int, int], object]
) -> list[Tried]:
    """Build a few combinations; of many, take a first look at all and build what is worth it.

    Args:
        files: The two files.
        wanted: The combinations.
        drawn: What is drawn.
        asked: How many processes, which cluster.
        step: Is told how far it is.
    """
    from handbarrow.job.tube_choices import worth_building

    many = asked.whole and len(wanted) > MOST_BUILT
    found = _done(try_all(files, wanted, asked.jobs, asked.cluster, first_look=many), len(wanted), step)
    built = 0
    while many and built < MOST_BUILT:  # what turns out worse in full may bring others to the front
        worth = worth_building(found, drawn, MOST_BUILT - built)
        if not worth:
            break
        anew = _done(try_all(files, worth, asked.jobs, asked.cluster), len(worth), step)
        known = {tuple(one.stock.items()): one for one in anew}
        found = [known.get(tuple(one.stock.items()), one) for one in found]
        built += len(worth)
    return found


def _done(portions: Iterable[list[Tried]], count: int, step: Callable[[str, int, int], object]) -> list[Tried]:
    out: list[Tried] = []
    step(said("trying tubes"), 0, count)
    for portion in portions:
        out += portion
        step(said("trying tubes"), len(out), count)
    return out


def _roles(design: Design, asked: Sequence[str], known: Sequence[str]) -> tuple[str, ...]:
    """The roles to change.

    Raises:
        click.UsageError: If one is not there, or there is nothing else on sale for it.
    """
    for role in asked:
        if role not in known:
            names = ", ".join(known) or "-"
            raise click.UsageError(
                say("no choice of stock for the role {role!r}; there is for: {names}", role=role, names=names)
            )
    if not (asked or known):
        raise click.UsageError(say("the workshop has no other stock for any role of this design"))
    return tuple(asked or known)


def _combinations(design: Design, workshop: Workshop, roles: Sequence[str], asked: Asked) -> list[dict[str, str]]:
    from handbarrow.job.tube_choices import as_drawn, choices, on_sale, steps

    if not asked.whole:
        return [as_drawn(design, roles), *(stock for _, _, stock in steps(design, workshop, roles))]
    count = math.prod(len(on_sale(design.stock[name], workshop)) for name in roles)
    if count > asked.most:
        raise click.UsageError(
            say("{count} combinations; take fewer roles with --role, or allow them with --most", count=count)
        )
    return list(choices(design, workshop, roles))


# ------------------------------------------------------------------------------------------------ what came of it
def _print(found: Sequence[Tried], drawn: Roles, workshop: Workshop) -> None:
    from handbarrow.job.tube_choices import front

    built = [one for one in found if one.built]
    worth = front(built)
    short = len(built) < len(found) or len(found) <= 2 * len(drawn) + 1
    rows = [one for one in built if short or one.stock == drawn or one in worth]
    lines = [(say("mass"), say("price"), say("margin"), say("decides"), say("stock"))]
    lines += [_row(one, drawn, workshop, one in worth) for one in rows]
    wide = [max(len(line[k]) for line in lines) for k in range(4)]
    for line in lines:
        sys.stdout.write(
            "  ".join(f"{text:<{w}}" for text, w in zip(line[:4], wide, strict=True)) + "  " + line[4] + "\n"
        )
    bad = sum(not one.can_be_made for one in found)
    sys.stdout.write(say("Tried: {count}; cannot be made: {bad}. * no other is lighter, cheaper and holds better.",
                         count=len(found), bad=bad) + "\n")  # fmt: skip
    if looks := len(found) - len(built):
        sys.stdout.write(
            say(
                "Built and shown: {built}. The other {looks} had a first look only, axes as drawn: room for bends "
                "and cuts are not checked. --into FILE.csv keeps them.",
                built=len(built), looks=looks,
            ) + "\n"
        )  # fmt: skip
    sys.stdout.write(
        say(
            "Mass of one unit, price of its bars by the metre, least margin of stress in the load cases: below 0 it "
            "fails, from 0.5 it holds. Joints, ride and what turns on what are not tried: check what you take."
        )
        + "\n"
    )


def _row(one: Tried, drawn: Roles, workshop: Workshop, worth: bool) -> tuple[str, str, str, str, str]:
    mass = "" if one.mass_kg is None else workshop.shown.mass(one.mass_kg, with_unit=True)
    price = "" if one.price is None else f"{one.price:.2f} {workshop.currency}"
    margin = say("not checked") if one.margin is None else f"{one.margin:+.2f}"
    changed = ", ".join(f"{role}: {label}" for role, label in one.stock.items() if drawn[role] != label)
    stock = changed or say("stock as drawn")
    if one.faults:
        return "", "", "", ", ".join(one.faults), stock
    return mass, price, margin, one.part, ("* " if worth else "") + stock


def _file(path: Path, found: Sequence[Tried], drawn: Roles, currency: str) -> str:
    """A chart if the name ends in .svg, else a table."""
    if path.suffix.lower() == ".svg":
        from handbarrow.drawings.choice_chart import choice_chart
        from handbarrow.drawings.svg import svg

        return svg(choice_chart(found, drawn, currency), texts=True)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([*drawn, "mass_kg", "price", "margin", "part", "case", "faults", "built"])
    for one in found:
        numbers = ["" if v is None else f"{v:.4f}" for v in (one.mass_kg, one.price, one.margin)]
        told = (one.part, one.case, " ".join(one.faults), "yes" if one.built else "no")
        writer.writerow([*(one.stock[role] for role in drawn), *numbers, *told])
    return out.getvalue()
