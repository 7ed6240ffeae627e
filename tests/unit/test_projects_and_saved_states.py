"""A project is a folder; every state of its files is kept and can be brought back. Expectations: closed form."""

from __future__ import annotations

import datetime
import json
from itertools import count
from pathlib import Path

import pytest

from desk import project_folder
from handbarrow.web.project import Note, Project, Projects
from handbarrow.web.refusals import RefusedError
from handbarrow.web.versions import Content

START = datetime.datetime(2026, 5, 31, 8, 0, tzinfo=datetime.UTC)


def opened(root: Path, name: str = "cart") -> Project:
    seconds = count()
    return Projects(root, lambda: START + datetime.timedelta(seconds=next(seconds))).project(name)


def changed(project: Project, was: bytes, now: bytes) -> int:
    state = project.state()
    assert was in state.content.design
    content = Content(state.content.design.replace(was, now), state.content.workshop)
    return project.save(state, content, Note("size", {"name": "bed_length", "was": "", "now": ""})).number


def bed(project: Project) -> bytes:
    return next(line for line in project.state().content.design.splitlines() if b"bed_length:" in line).strip()


def test_a_folder_with_one_design_and_one_workshop_is_a_project_whatever_their_names(tmp_path: Path) -> None:
    folder = project_folder(tmp_path)
    (folder / "design.yaml").rename(folder / "Wagen für den Markt.yml")
    (folder / "notes.yaml").write_text("milk: 2\n")
    (tmp_path / "photos").mkdir()
    (tmp_path / "two").mkdir()
    for name in ("a.yaml", "b.yaml"):
        (tmp_path / "two" / name).write_text("# old\nhandbarrow: design 1\n")
    projects = Projects(tmp_path)
    assert projects.names() == ["cart"]
    assert [finding.code for finding in projects.unclear()] == ["project-unclear"]
    assert projects.project("cart").files()[0].name == "Wagen für den Markt.yml"
    with pytest.raises(RefusedError, match="2 design files and 0 workshop files"):
        projects.project("two").state()


@pytest.mark.parametrize(
    "name", ["..", ".", "", "cart/..", "../cart", "/etc", "cart\0", "CART", ".hidden", "link", "a" * 300]
)
def test_only_the_very_name_of_a_folder_leads_to_it(tmp_path: Path, name: str) -> None:
    outside = project_folder(tmp_path / "outside")
    root = tmp_path / "root"
    project_folder(root)
    project_folder(root, ".hidden")
    (root / "link").symlink_to(outside)
    with pytest.raises(RefusedError) as told:
        Projects(root).project(name)
    assert told.value.status == 404


def test_the_first_look_keeps_the_files_as_they_are(tmp_path: Path) -> None:
    folder = project_folder(tmp_path)
    before = (folder / "design.yaml").read_bytes()
    project = opened(tmp_path)
    assert project.state().number == 1
    assert (folder / "design.yaml").read_bytes() == before
    kept = project.versions.content(project.versions.all()[0])
    assert kept == project.state().content
    assert project.versions.all()[0].time == "2026-05-31T08:00:00+00:00"


def test_undo_and_redo_walk_along_the_changes_and_a_new_change_ends_the_way_forward(tmp_path: Path) -> None:
    project_folder(tmp_path)
    project = opened(tmp_path)
    project.state()
    for length in (1100, 1200, 1300):
        changed(project, bed(project), b"bed_length: %d" % length)
    assert project.step(4, again=False).number == 5
    assert bed(project) == b"bed_length: 1200"
    assert project.step(5, again=False).number == 6
    assert bed(project) == b"bed_length: 1100"
    project.step(6, again=True)
    assert bed(project) == b"bed_length: 1200"
    changed(project, b"bed_length: 1200", b"bed_length: 1250")
    with pytest.raises(RefusedError, match="nothing was undone"):
        project.step(8, again=True)
    for wanted in (b"bed_length: 1200", b"bed_length: 1100", b"bed_length: 1000"):
        project.step(project.state().number, again=False)
        assert bed(project) == wanted
    with pytest.raises(RefusedError, match="nothing to undo"):
        project.step(project.state().number, again=False)


def test_undo_is_refused_to_somebody_who_has_not_seen_the_newest_state(tmp_path: Path) -> None:
    project_folder(tmp_path)
    project = opened(tmp_path)
    changed(project, b"bed_length: 1000", b"bed_length: 1100")
    with pytest.raises(RefusedError) as told:
        project.step(1, again=False)
    assert told.value.status == 409
    assert bed(project) == b"bed_length: 1100"


def test_every_saved_state_can_be_brought_back_byte_for_byte_also_by_another_run(tmp_path: Path) -> None:
    project_folder(tmp_path)
    project = opened(tmp_path)
    seen = {project.state().number: project.state().content}
    for length in range(1001, 1009):
        number = changed(project, bed(project), b"bed_length: %d" % length)
        seen[number] = project.state().content
    again = opened(tmp_path)
    for number, content in seen.items():
        assert again.restore(number).content == content
    assert again.state().number == len(seen) * 2
    again.step(again.state().number, again=False)
    assert again.state().content == seen[8]


def test_a_change_by_an_editor_becomes_a_saved_state_and_can_be_undone(tmp_path: Path) -> None:
    folder = project_folder(tmp_path)
    project = opened(tmp_path)
    before = project.state().content
    text = (folder / "workshop.yaml").read_text()
    (folder / "workshop.yaml").write_text(text.replace("kerf: 2", "kerf: 3"))
    assert project.state().number == 2
    assert project.versions.last() is not None
    assert (project.versions.all()[-1].what, dict(project.versions.all()[-1].values)) == (
        "beside",
        {"files": "workshop.yaml"},
    )
    assert project.step(2, again=False).content == before
    assert (folder / "workshop.yaml").read_text() == text


def test_a_change_on_the_disk_is_never_written_over(tmp_path: Path) -> None:
    folder = project_folder(tmp_path)
    project = opened(tmp_path)
    state = project.state()
    (folder / "design.yaml").write_bytes(state.content.design + b"# by hand\n")
    mine = Content(state.content.design.replace(b"1000", b"1100"), state.content.workshop)
    with pytest.raises(RefusedError, match="somebody else"):
        project.save(state, mine, Note("size", {}))
    assert (folder / "design.yaml").read_bytes().endswith(b"# by hand\n")


def test_two_programs_on_one_folder_count_their_states_together(tmp_path: Path) -> None:
    project_folder(tmp_path)
    one, other = opened(tmp_path), opened(tmp_path)
    changed(one, b"bed_length: 1000", b"bed_length: 1100")
    changed(other, b"bed_length: 1100", b"bed_length: 1200")
    changed(one, b"bed_length: 1200", b"bed_length: 1300")
    assert [version.number for version in other.versions.all()] == [1, 2, 3, 4]
    assert bed(other) == b"bed_length: 1300"


def test_a_line_cut_off_by_a_power_cut_is_passed_over_and_the_list_goes_on(tmp_path: Path) -> None:
    folder = project_folder(tmp_path)
    project = opened(tmp_path)
    changed(project, b"bed_length: 1000", b"bed_length: 1100")
    listed = folder / ".versions" / "states.txt"
    listed.write_bytes(listed.read_bytes()[:-20])
    again = opened(tmp_path)
    assert again.state().number == 2, "the files were changed, so they are a state of their own"
    changed(again, b"bed_length: 1100", b"bed_length: 1200")
    assert [version.number for version in again.versions.all()] == [1, 2, 3]
    assert again.restore(1).content.design.count(b"bed_length: 1000") == 1


def test_a_copy_that_somebody_changed_is_not_brought_back(tmp_path: Path) -> None:
    folder = project_folder(tmp_path)
    project = opened(tmp_path)
    first = project.state()
    changed(project, b"bed_length: 1000", b"bed_length: 1100")
    (folder / ".versions" / f"design-{first.content.digests[0]}.yaml").write_text("handbarrow: design 1\n")
    with pytest.raises(RefusedError, match="no saved state 1"):
        project.restore(1)


@pytest.mark.parametrize("digest", ["../../../etc/passwd", "zz", 7, None])
def test_a_list_that_was_tampered_with_leads_nowhere_else(tmp_path: Path, digest: object) -> None:
    folder = project_folder(tmp_path)
    opened(tmp_path).state()
    line = json.loads((folder / ".versions" / "states.txt").read_text())
    (folder / ".versions" / "states.txt").write_text(json.dumps(line | {"design": digest}) + "\n")
    assert opened(tmp_path).versions.all() == []
    assert opened(tmp_path).state().number == 1


def test_units_of_the_batch_are_remembered(tmp_path: Path) -> None:
    folder = project_folder(tmp_path)
    project = opened(tmp_path)
    assert project.units == 1
    project.set_units(12)
    assert opened(tmp_path).units == 12
    (folder / ".versions" / "units.txt").write_text("many")
    assert project.units == 1


def test_a_new_project_gets_a_folder_name_that_is_free_and_plain(tmp_path: Path) -> None:
    project_folder(tmp_path, "cart")
    projects = Projects(tmp_path)
    content = projects.project("cart").state().content
    names = [projects.create(title, content).name for title in ("Cart", "../../etc", "Hütte & Co", "***")]
    assert names == ["cart-2", "etc", "h-tte-co", "project"]
    assert projects.project("etc").state().content == content
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(["cart", *names])
