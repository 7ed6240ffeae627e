"""A second process that helps to write a folder: the same files with it, without it, and if it fails on the way."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from factories import make_job
from handbarrow.findings import Finding, Severity
from handbarrow.job.values import Job
from handbarrow.sheets import second as room
from handbarrow.sheets.folder import write_folder
from handbarrow.sheets.folder_portions import PACK, folder_makes, folder_portions
from handbarrow.sheets.forking import Forked, may_fork
from handbarrow.sheets.second import EARLY, OWN, Portions, at_hand, second_process

DAY = "2026-06-01"


def quiet(says: str, done: int, of: int) -> None:
    assert says


def contents(into: Path) -> dict[str, bytes]:
    return {p.relative_to(into).as_posix(): p.read_bytes() for p in into.rglob("*") if p.is_file()}


def warning(wrong: str) -> Finding:
    return Finding(
        code="hole-near-edge", where="parts", wrong=wrong, expected="none", fix="none", severity=Severity.WARNING
    )


@pytest.fixture(autouse=True)
def two_processors(monkeypatch: pytest.MonkeyPatch) -> None:
    """And this process, which may have threads of earlier tests or not, is not copied unless a test wants it."""
    monkeypatch.setattr(room, "_processors", lambda: 2)
    monkeypatch.setattr(room, "may_fork", lambda: False)


@pytest.fixture(scope="module")
def job() -> Job:
    return make_job(2)


@pytest.fixture(scope="module")
def alone(job: Job, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    into = tmp_path_factory.mktemp("alone") / "trailer"
    write_folder(job, into, quiet, DAY)
    return contents(into)


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names of the portions that a second process made."""
    made: list[str] = []
    load = room.pickle.load

    def told(stream: object) -> object:
        out = load(stream)
        made.append("a portion")
        return out

    monkeypatch.setattr(room.pickle, "load", told)
    return made


def test_two_processes_write_the_very_same_files(
    job: Job, alone: dict[str, bytes], tmp_path: Path, asked: list[str]
) -> None:
    with second_process():
        write_folder(job, tmp_path / "trailer", quiet, DAY)
    assert contents(tmp_path / "trailer") == alone
    assert asked, "it made some of them"


def test_what_is_begun_before_the_checks_is_made_of_the_same_job(
    job: Job, alone: dict[str, bytes], tmp_path: Path, asked: list[str]
) -> None:
    with second_process() as second:
        assert second
        second.begin(replace(job, findings=()), DAY, False)
        write_folder(job, tmp_path / "trailer", quiet, DAY)
    assert contents(tmp_path / "trailer") == alone
    assert asked, "it made some of them"


def test_findings_that_come_later_stand_on_the_sheets_and_in_the_data(job: Job, tmp_path: Path) -> None:
    late = Finding(
        code="hole-near-edge",
        where="parts",
        wrong="a late word",
        expected="none",
        fix="none",
        severity=Severity.WARNING,
    )
    checked = replace(job, findings=(*job.findings, late))
    write_folder(checked, tmp_path / "alone", quiet, DAY)
    with second_process() as second:
        assert second
        second.begin(job, DAY, False)
        write_folder(checked, tmp_path / "two", quiet, DAY)
    assert contents(tmp_path / "two") == contents(tmp_path / "alone")
    assert b"a late word" in (tmp_path / "two/job.json").read_bytes()


@pytest.mark.parametrize("other", ["units", "day", "language"])
def test_nothing_of_another_job_comes_into_the_folder(
    other: str, job: Job, alone: dict[str, bytes], tmp_path: Path
) -> None:
    begun = make_job(3) if other == "units" else job
    if other == "language":
        begun = replace(job, workshop=replace(job.workshop, language="fr"))
    with second_process() as second:
        assert second
        second.begin(begun, "2025-01-01" if other == "day" else DAY, False)
        write_folder(job, tmp_path / "trailer", quiet, DAY)
    assert contents(tmp_path / "trailer") == alone


def test_a_second_process_that_is_gone_changes_nothing(job: Job, alone: dict[str, bytes], tmp_path: Path) -> None:
    with second_process() as second:
        assert second
        second._process.kill()
        second._process.wait()
        write_folder(job, tmp_path / "trailer", quiet, DAY)
    assert contents(tmp_path / "trailer") == alone


def test_a_second_process_that_dies_on_the_way_changes_nothing(
    job: Job, alone: dict[str, bytes], tmp_path: Path
) -> None:
    def dies(says: str, done: int, of: int) -> None:
        if second and done:
            second._process.kill()

    with second_process() as second:
        write_folder(job, tmp_path / "trailer", dies, DAY)
    assert contents(tmp_path / "trailer") == alone


@pytest.mark.parametrize("start", ["raise SystemExit(3)", "print('no answer of ours')", "not Python"])
def test_a_second_process_that_answers_nonsense_changes_nothing(
    start: str, job: Job, alone: dict[str, bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(room, "START", start)
    with second_process() as second:
        assert second
        write_folder(job, tmp_path / "trailer", quiet, DAY)
    assert contents(tmp_path / "trailer") == alone


def test_a_system_that_starts_no_process_writes_the_folder_alone(
    job: Job, alone: dict[str, bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "executable", str(tmp_path / "no-such-python"))
    with second_process() as second:
        assert second is None
        write_folder(job, tmp_path / "trailer", quiet, DAY)
    assert contents(tmp_path / "trailer") == alone


def test_no_second_process_where_it_is_of_no_use(monkeypatch: pytest.MonkeyPatch) -> None:
    with second_process(wanted=False) as second:
        assert second is None
    monkeypatch.setattr(room, "_processors", lambda: 1)
    with second_process() as second:
        assert second is None


def test_it_serves_one_folder_and_ends_with_its_block(job: Job) -> None:
    usual = gc.get_threshold()
    with second_process() as second:
        assert second
        assert at_hand() is second
        assert at_hand() is None
        second.begin(job, DAY, False)
        process = second._process
        assert gc.get_threshold() != usual
    assert gc.get_threshold() == usual
    assert process.returncode is not None
    assert process.stdin and process.stdin.closed
    assert at_hand() is None


COPIED = """
import sys
from pathlib import Path
from factories import make_job
from handbarrow.sheets import second as room
from handbarrow.sheets.folder import write_folder

room._processors = lambda: 2
with room.second_process() as second:
    job = make_job(2)
    second.begin(job, "2026-06-01", False)
    kind, load, answers = type(second._process).__name__, room.pickle.load, []
    room.pickle.load = lambda stream: answers.append(load(stream)) or answers[-1]
    if sys.argv[2] == "kill":
        second._process.kill()
    write_folder(job, Path(sys.argv[1]), lambda *told: None, "2026-06-01")
print(kind, len(answers) > 0, second._process.returncode)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="only there a process is copied")
@pytest.mark.parametrize("fate", ["helps", "kill"])
def test_a_copy_of_a_process_with_a_single_thread_writes_the_very_same_files(
    fate: str, alone: dict[str, bytes], tmp_path: Path
) -> None:
    paths = os.pathsep.join(sys.path)
    done = subprocess.run(  # a clean Python: this one has threads
        [sys.executable, "-W", "error", "-c", COPIED, str(tmp_path / "trailer"), fate],
        env={**os.environ, "PYTHONPATH": paths, "OPENBLAS_NUM_THREADS": "1"},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.stdout == f"Forked {fate == 'helps'} -9\n", done.stderr
    assert contents(tmp_path / "trailer") == alone


def test_a_copy_is_not_made_of_a_process_with_threads() -> None:
    enough = threading.Event()
    other = threading.Thread(target=enough.wait)
    other.start()
    try:
        assert not may_fork()
    finally:
        enough.set()
        other.join()


def test_what_a_copy_writes_comes_back_and_it_ends_by_itself() -> None:
    """Nothing but the streams: no exit handler, no output of this process happens twice."""
    copy = Forked(lambda asked, answers: answers.write(asked.readline().upper()))
    copy.stdin.write(b"hut\n")
    copy.stdin.flush()
    assert copy.stdout.read() == b"HUT\n"
    assert copy.wait() == 0
    copy.kill()
    copy.stdin.close()
    copy.stdout.close()


def test_a_copy_whose_work_fails_ends_with_a_fault() -> None:
    copy = Forked(lambda asked, answers: 1 / 0)
    assert copy.stdout.read() == b""
    assert copy.wait() == 1
    copy.stdin.close()
    copy.stdout.close()


def test_a_fault_in_a_piece_is_told_by_this_process(job: Job, tmp_path: Path) -> None:
    """A sign that no font has: the pack cannot be printed, whoever tries."""
    from handbarrow.sheets.blocks import PackError

    odd = replace(job, design=replace(job.design, name="Trailer \U0001300f"))
    with pytest.raises(PackError), second_process():
        write_folder(odd, tmp_path / "trailer", quiet, DAY)
    assert list(tmp_path.iterdir()) == []


def makes(job: Job) -> dict[str, Callable[[], object]]:
    return folder_makes(job, DAY, folder_portions(job, DAY, False))


def test_nothing_that_the_second_process_may_make_depends_on_findings(job: Job) -> None:
    names = set(makes(job))
    assert {*EARLY, *OWN} <= names
    assert PACK not in names
    loud = replace(job, findings=(*job.findings, warning("odd")))
    quietly, loudly = makes(replace(job, findings=())), makes(loud)
    for name in names - set(OWN):
        assert quietly[name]() == loudly[name](), name


def told(portions: Portions, order: list[str], ready_with: str) -> dict[str, Callable[[], object]]:
    """What makes portions and notes it; with one of them, the portion `a` comes from elsewhere."""

    def make(name: str) -> str:
        order.append(name)
        if name == ready_with:
            with portions.answered("a") as deliver:
                deliver("a from elsewhere")
        return name

    return {name: (lambda name=name: make(name)) for name in ("a", "b", "c", "job.json", "d")}  # type: ignore[misc]


def test_while_a_portion_is_made_elsewhere_others_are_made_here() -> None:
    portions, order = Portions(), []
    portions.announce(["a"])
    assert portions.claim() == "a"
    portions.offer(told(portions, order, "c"))
    assert portions.take("a") == ["a from elsewhere"]
    assert order == ["b", "c"]
    assert portions.claim() == "d", "what is this process's own is not claimed"
    assert portions.claim() is None


def test_nothing_that_the_second_process_can_do_keeps_the_pack_waiting() -> None:
    portions, order = Portions(), []
    portions.announce(["a"])
    assert portions.claim() == "a"
    portions.offer(told(portions, order, "job.json"))
    assert portions.take("a", "b") == ["a from elsewhere", "b"]
    assert order == ["b", "job.json"]
    assert portions.claim() == "c"


def test_a_portion_that_was_claimed_and_never_came_is_made_here() -> None:
    portions = Portions()
    portions.offer({"a": lambda: "made here"})
    with pytest.raises(EOFError), portions.answered(portions.claim() or ""):
        raise EOFError
    assert portions.take("a") == ["made here"]
