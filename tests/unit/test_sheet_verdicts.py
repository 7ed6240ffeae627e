"""Whether a printed sheet still counts, from its code, today's job and the job data that were kept."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from factories import make_job
from handbarrow.job.values import Job
from handbarrow.sheets import earlier
from handbarrow.sheets.answer import answer
from handbarrow.sheets.codes import code_of, read_code, short_form, slug
from handbarrow.sheets.earlier import MOST_KEPT
from handbarrow.sheets.folder import listed_files, write_folder
from handbarrow.sheets.jobdata import job_document, job_text
from handbarrow.sheets.verdict import judge
from missing_parts import without

DAY = "2026-06-01"


def quiet(*step: object) -> None:
    assert len(step) == 3


def changed(job: Job, *, by: float = -10.0, digest: str = "abcdef012345") -> Job:
    """The outer hoop cut shorter, in a design of another digest."""
    parts = tuple(
        replace(p, cut_length=p.cut_length + by) if p.id == "outer-hoop" and p.cut_length else p for p in job.parts
    )
    return replace(job, parts=parts, design=replace(job.design, digest=digest, revision="C"))


def test_a_shorter_hoop_makes_its_own_card_wrong_and_leaves_the_others_right() -> None:
    old, new = make_job(), changed(make_job())
    before, after = job_document(old), job_document(new)
    hoop = judge(code_of(old, "outer-hoop"), after, before)
    assert (hoop.state, hoop.known, hoop.still_right) == ("superseded", True, False)
    (change,) = hoop.parts["outer-hoop"]
    assert (change.kind, change.now - change.was) == ("cut length", pytest.approx(-10.0))  # type: ignore[operator]
    bow = judge(code_of(old, "hood-bow"), after, before)
    assert (bow.state, bow.still_right, bow.others) == ("superseded", True, ("outer-hoop",))
    lines = "\n".join(answer(code_of(old, "outer-hoop"), hoop, new, "out"))
    assert "SUPERSEDED" in lines and "revision C" in lines
    assert "cut length: 3491 mm, now 3481 mm" in lines
    assert "this sheet is still right" in "\n".join(answer(code_of(old, "hood-bow"), bow, new, "out"))


def test_sheets_of_the_batch_are_judged_by_what_they_show() -> None:
    old, new = make_job(), changed(make_job())
    before, after = job_document(old), job_document(new)
    assert "outer-hoop" in judge(code_of(old, "+parts"), after, before).parts
    assert judge(code_of(old, "+wraps"), after, before).still_right
    assert judge(code_of(old, "+materials"), after, before).still_right
    assert not judge(code_of(old, "+cover"), after, before).still_right
    other = job_document(replace(new, cutting=replace(new.cutting, bars=new.cutting.bars[1:])))
    assert judge(code_of(old, "+cutting"), other, before).batch == ("cutting",)


def test_a_sheet_of_one_assembly_is_judged_by_that_assemblys_parts() -> None:
    job = make_job()
    old = replace(job, parts=tuple(replace(p, assembly="Hood") if p.id == "hood-bow" else p for p in job.parts))
    before, after = job_document(old), job_document(changed(old))
    hoop = old.part("outer-hoop").assembly
    others = {part.assembly for part in old.parts} - {hoop}
    assert not judge(code_of(old, f"+weld.{slug(hoop)}"), after, before).still_right
    assert others
    for name in others:
        found = judge(code_of(old, f"+weld.{slug(name)}"), after, before)
        assert (dict(found.parts), found.batch) == ({}, ())
        assert not found.still_right, "limits and words of weld sheets are not in the job data"
        assert "not all of this sheet was compared" in "\n".join(answer(code_of(old, "+weld.x"), found, job, "out"))
    assert not judge(code_of(old, "+weld.renamed"), after, before).still_right, "an unknown name narrows nothing"


def test_wraps_for_a_shop_file_that_changed_are_not_called_right_for_the_papers_thickness_may_be_another() -> None:
    old = make_job()
    new = replace(old, workshop=replace(old.workshop, digest="abcdef012345"))
    before, after = job_document(old), job_document(new)
    assert not judge(code_of(old, "+wraps"), after, before).still_right
    assert judge(code_of(old, "outer-hoop"), after, before).still_right


def test_another_steel_or_another_law_makes_a_card_wrong() -> None:
    old = make_job()
    stock = old.part("outer-hoop").stock
    steel = replace(old.workshop.stock[stock], steel="other")
    shop = replace(old.workshop, digest="abcdef012345", stock={**old.workshop.stock, stock: steel})
    (change,) = judge(code_of(old, "outer-hoop"), job_document(replace(old, workshop=shop)), job_document(old)).parts[
        "outer-hoop"
    ]
    assert change.kind == "stock"
    hoop = old.part("outer-hoop")
    assert hoop.card is not None
    rows = tuple(replace(row, law=replace(row.law, test_bends=9)) for row in hoop.card.rows)
    parts = tuple(replace(p, card=replace(hoop.card, rows=rows)) if p.id == hoop.id else p for p in old.parts)
    new = replace(old, parts=parts, design=replace(old.design, digest="abcdef012345"))
    kinds = {c.kind for c in judge(code_of(old, "outer-hoop"), job_document(new), job_document(old)).parts[hoop.id]}
    assert kinds == {"dies"}


def test_a_sheet_for_another_number_of_units_says_that_the_pieces_changed() -> None:
    old, new = make_job(8), make_job(10)
    found = judge(code_of(old, "drawbar"), job_document(new), None)
    assert (found.state, found.known) == ("superseded", True)
    (change,) = found.parts["drawbar"]
    assert (change.kind, change.was, change.now) == ("quantity", 8, 10)
    plan = judge(code_of(old, "+cutting"), job_document(new), None)
    assert not plan.still_right


def test_without_the_older_job_it_is_not_known_what_changed() -> None:
    old, new = make_job(), changed(make_job())
    found = judge(code_of(old, "drawbar"), job_document(new), None)
    assert (found.state, found.known, found.still_right) == ("superseded", False, False)
    lines = "\n".join(answer(code_of(old, "drawbar"), found, new, "my-folder"))
    assert "what changed is not known" in lines
    assert "my-folder" in lines


def test_same_files_with_other_numbers_are_the_work_of_another_version_of_the_program() -> None:
    old, new = make_job(), changed(make_job(), digest=make_job().design.digest)
    found = judge(code_of(old, "outer-hoop"), job_document(new), job_document(old))
    assert (found.state, found.program) == ("superseded", True)
    assert judge(code_of(old, "hood-bow"), job_document(new), job_document(old)).state == "current"


def test_a_part_that_is_gone_is_said_and_one_never_made_is_no_sheet_of_this_design() -> None:
    old = make_job()
    new = without(changed(old), "drawbar")
    new = replace(new, design=replace(new.design, digest="abcdef012345"))
    for older in (job_document(old), None):
        (change,) = judge(code_of(old, "drawbar"), job_document(new), older).parts["drawbar"]
        assert change.kind == "gone"
    assert judge(code_of(old, "no-such"), job_document(new), job_document(old)).state == "no sheet of this design"
    other = replace(old, design=replace(old.design, name="Other", digest="0" * 12))
    found = judge(code_of(other, "drawbar"), job_document(new), None)
    assert found.state == "no sheet of this design"
    assert "NO SHEET OF THIS DESIGN" in "\n".join(answer(code_of(other, "drawbar"), found, new, "out"))


# ------------------------------------------------------------------------------------------------ kept in the folder
def test_job_data_of_earlier_digests_are_kept_whole_and_found_by_either_form_of_the_code(tmp_path: Path) -> None:
    into, old = tmp_path / "out", make_job(2)
    write_folder(old, into, quiet, DAY)
    assert not (into / "earlier").exists()
    write_folder(old, into, quiet, DAY)
    assert not (into / "earlier").exists(), "nothing is earlier than itself"
    new = changed(old)
    write_folder(new, into, quiet, DAY)
    (kept,) = (into / "earlier").iterdir()
    assert kept.name == f"{old.design.digest}-{old.workshop.digest}.json"
    assert kept.read_text() == job_text(job_document(old, checks=True))
    code = code_of(old, "outer-hoop")
    short = read_code(short_form(code))
    assert short is not None
    for one in (code, short):
        assert earlier.found(into, listed_files(into), one) == job_document(old, checks=True)
    assert earlier.newest(into, listed_files(into)) == job_document(new, checks=True)
    write_folder(old, into, quiet, DAY)
    assert [p.name for p in (into / "earlier").iterdir()] == [f"abcdef012345-{old.workshop.digest}.json"]


def test_job_data_changed_by_hand_are_not_taken_for_what_was_printed(tmp_path: Path) -> None:
    into, old = tmp_path / "out", make_job(2)
    write_folder(old, into, quiet, DAY)
    text = (into / "job.json").read_text()
    (into / "job.json").write_text(text.replace("3491", "3492"))
    write_folder(changed(old), into, quiet, DAY)
    assert not (into / "earlier").exists()
    assert earlier.found(into, listed_files(into), code_of(old, "drawbar")) is None


def test_only_the_last_few_are_kept_newest_first(tmp_path: Path) -> None:
    into, job = tmp_path / "out", make_job(1)
    into.mkdir()
    listed: dict[str, str] = {}
    for number in range(MOST_KEPT + 5):
        one = changed(job, digest=f"{number:012x}")
        raw = job_text(job_document(one)).encode()
        kept = earlier.keep(into, listed, one)
        for name, content in kept.fresh.items():
            (into / name).parent.mkdir(exist_ok=True)
            (into / name).write_bytes(content)
        (into / "job.json").write_bytes(raw)
        listed = {**kept.digests, "job.json": earlier.hashlib.sha256(raw).hexdigest()}
        assert len(kept.digests) == min(number, MOST_KEPT)
    names = [name for name in listed if name != "job.json"]
    assert [name.split("/")[1][:12] for name in names] == [f"{n:012x}" for n in range(MOST_KEPT + 3, 3, -1)]


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"schema": 1, "design": 3}', "\x00", '{"schema": 2}'])
def test_a_file_that_is_no_job_is_passed_over(text: str, tmp_path: Path) -> None:
    (tmp_path / "job.json").write_text(text)
    digest = earlier.hashlib.sha256(text.encode()).hexdigest()
    assert earlier.newest(tmp_path, {"job.json": digest}) is None
    assert earlier.keep(tmp_path, {"job.json": digest}, make_job(1)).digests == {}
