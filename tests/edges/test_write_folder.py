"""Writing the folder: whole files only, nothing outside it, no old sheet left, nothing of the user's taken away."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from factories import make_job
from handbarrow.job.values import Job
from handbarrow.sheets import folder, pack
from handbarrow.sheets.choice import Choice
from handbarrow.sheets.folder import safe_name, write_choice, write_folder
from handbarrow.sheets.folder_portions import fresh
from missing_parts import without

DAY = "2026-06-01"


def quiet(says: str, done: int, of: int) -> None:
    assert says
    assert 0 <= done <= of


@pytest.fixture
def job() -> Job:
    return make_job(2)


def files_of(into: Path) -> set[str]:
    return {p.relative_to(into).as_posix() for p in into.rglob("*") if p.is_file()}


def test_folder_holds_pack_data_tables_and_drawings(job: Job, tmp_path: Path) -> None:
    into = tmp_path / "out" / "trailer"
    told: list[tuple[str, int, int]] = []
    paths = write_folder(job, into, lambda *step: told.append(step), DAY)
    names = files_of(into)
    assert {"pack.pdf", "job.json", "tables.xlsx", "tables/parts.csv", "tables/bends.csv", "files.txt"} <= names
    for part, end in (("outer-hoop", "start"), ("outer-hoop", "end"), ("drawbar", "start")):
        assert {f"drawings/wraps/{part}-{end}.svg", f"drawings/wraps/{part}-{end}.dxf"} <= names
    for part in ("outer-hoop", "hood-bow", "drawbar"):
        assert {f"drawings/cards/{part}.svg", f"drawings/cards/{part}.dxf"} <= names
    assert {p.relative_to(into).as_posix() for p in paths} == names - {"files.txt"}
    assert paths[0].name == "pack.pdf"
    assert told[-1][1] == told[-1][2] == len(paths)
    assert json.loads((into / "job.json").read_text(encoding="utf-8"))["units"] == 2
    assert [p.name for p in into.parent.iterdir()] == ["trailer"], "the folder beside is taken away"


def test_same_job_and_date_write_the_same_bytes(job: Job, tmp_path: Path) -> None:
    write_folder(job, tmp_path / "a", quiet, DAY)
    write_folder(job, tmp_path / "b", quiet, DAY)
    assert files_of(tmp_path / "a") == files_of(tmp_path / "b")
    for name in files_of(tmp_path / "a"):
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes(), name


def test_a_print_after_a_change_is_the_same_as_one_into_an_empty_folder(job: Job, tmp_path: Path) -> None:
    changed = make_job(3)
    write_folder(changed, tmp_path / "fresh", quiet, DAY)
    write_folder(job, tmp_path / "used", quiet, DAY)
    write_folder(changed, tmp_path / "used", quiet, DAY)  # nothing of the other job may be remembered
    for name in files_of(tmp_path / "fresh") - {"files.txt"}:
        assert (tmp_path / "used" / name).read_bytes() == (tmp_path / "fresh" / name).read_bytes(), name


def test_sheets_of_parts_that_are_gone_are_taken_away_but_nothing_of_the_users(job: Job, tmp_path: Path) -> None:
    into = tmp_path / "trailer"
    write_folder(job, into, quiet, DAY)
    (into / "notes.txt").write_text("mine")
    (into / "drawings/cards/drawbar.dxf").write_text("changed by hand")
    write_folder(without(job, "drawbar"), into, quiet, DAY)
    assert (into / "notes.txt").read_text() == "mine"
    assert (into / "drawings/cards/drawbar.dxf").read_text() == "changed by hand"
    assert not (into / "drawings/cards/drawbar.svg").exists()
    assert not (into / "drawings/wraps/drawbar-start.dxf").exists()
    assert (into / "drawings/cards/outer-hoop.svg").exists()


def test_a_fault_on_the_way_changes_nothing(job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    into = tmp_path / "trailer"
    write_folder(job, into, quiet, DAY)
    before = {name: (into / name).read_bytes() for name in files_of(into)}

    def broken(*_: object) -> bytes:
        raise pack.PackError("does not fit")

    monkeypatch.setattr(pack, "bound_pack", broken)
    with pytest.raises(pack.PackError):
        write_folder(replace(job, units=3), into, quiet, DAY)
    assert {name: (into / name).read_bytes() for name in files_of(into)} == before
    assert [p.name for p in tmp_path.iterdir()] == ["trailer"]


def test_a_link_does_not_lead_the_writing_out_of_the_folder(job: Job, tmp_path: Path) -> None:
    into, outside = tmp_path / "trailer", tmp_path / "outside"
    into.mkdir()
    outside.mkdir()
    (into / "drawings").symlink_to(outside)
    with pytest.raises(FileExistsError, match="leads out"):
        write_folder(job, into, quiet, DAY)
    assert list(outside.iterdir()) == []


def test_a_link_in_place_of_a_file_is_replaced_not_followed(job: Job, tmp_path: Path) -> None:
    into, outside = tmp_path / "trailer", tmp_path / "precious.txt"
    into.mkdir()
    outside.write_text("precious")
    (into / "job.json").symlink_to(outside)
    write_folder(job, into, quiet, DAY)
    assert outside.read_text() == "precious"
    assert not (into / "job.json").is_symlink()


def test_a_list_that_names_files_outside_takes_nothing_away(job: Job, tmp_path: Path) -> None:
    into, outside = tmp_path / "trailer", tmp_path / "precious.txt"
    into.mkdir()
    outside.write_text("precious")
    digest = folder.hashlib.sha256(b"precious").hexdigest()
    (into / "files.txt").write_text(f"{digest}  ../precious.txt\n{digest}  {outside}\nrubbish\n")
    write_folder(job, into, quiet, DAY)
    assert outside.read_text() == "precious"


def test_a_file_in_place_of_the_folder_is_refused(job: Job, tmp_path: Path) -> None:
    (tmp_path / "trailer").write_text("a file")
    with pytest.raises(OSError):
        write_folder(job, tmp_path / "trailer", quiet, DAY)
    assert (tmp_path / "trailer").read_text() == "a file"


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "a/b", "C:\\x", ".hidden", "", "x" * 300, "naïve", "a\0b", "..", "-rf"]
)
def test_names_of_parts_become_plain_file_names(name: str) -> None:
    safe = safe_name(name)
    assert safe
    assert len(safe) <= 80
    assert safe[0] not in ".-"
    assert not set(safe) & set('/\\:\0<>|"?* ')


def test_parts_whose_names_differ_in_signs_only_get_files_of_their_own() -> None:
    used: set[str] = set()
    assert [fresh(p, used) for p in ("a-b", "A-b", "a-b")] == ["a-b", "A-b-2", "a-b-3"]


# ------------------------------------------------------------------------------------------------ chosen sheets
def test_a_pack_of_chosen_sheets_is_the_only_file_written_and_goes_with_the_next_whole_pack(
    job: Job, tmp_path: Path
) -> None:
    into, choice = tmp_path / "trailer", Choice(station="saw")
    assert write_choice(job, into, quiet, DAY, choice) == [into / "pack-station-saw.pdf"]
    assert files_of(into) == {"pack-station-saw.pdf"}
    write_folder(job, into, quiet, DAY)
    before = {name: (into / name).read_bytes() for name in files_of(into)}
    write_choice(job, into, quiet, DAY, Choice(part="drawbar"))
    after = {name: (into / name).read_bytes() for name in files_of(into)}
    assert set(after) - set(before) == {"pack-part-drawbar.pdf"}
    assert {name for name in before if after[name] != before[name]} == {"files.txt"}, "the list of files has it too"
    assert after["files.txt"].startswith(before["files.txt"])
    assert [p.name for p in tmp_path.iterdir()] == ["trailer"]
    write_folder(job, into, quiet, DAY)
    assert "pack-part-drawbar.pdf" not in files_of(into), "no old sheet stays on the bench"
    assert "pack-station-saw.pdf" in files_of(into), "it was there before the folder had a list: not ours to take away"


def test_a_choice_without_sheets_writes_nothing(job: Job, tmp_path: Path) -> None:
    with pytest.raises(pack.PackError, match="no sheet of that choice"):
        write_choice(job, tmp_path / "trailer", quiet, DAY, Choice(part="drawbar", station="buying"))
    assert list(tmp_path.iterdir()) == []
