"""The commands as a person or a program runs them: answers, exit codes, and nothing half-written."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from handbarrow.sheets.choice import STATIONS

ROOT = Path(__file__).parents[2]
CART, SHOP = ROOT / "examples/handcart.yaml", ROOT / "examples/ridge-workshop.yaml"


def run(*arguments: str | Path, cwd: Path = ROOT, seed: str = "0") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "handbarrow.cli", *map(str, arguments)],
        cwd=cwd,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env=os.environ | {"PYTHONHASHSEED": seed},
    )


def spoilt(tmp_path: Path, old: str, new: str, source: Path = CART) -> Path:
    text = source.read_text()
    assert old in text
    path = tmp_path / "spoilt.yaml"
    path.write_text(text.replace(old, new, 1))
    return path


def test_a_sound_design_has_no_findings_and_is_not_called_safe() -> None:
    done = run("check", CART, "--workshop", SHOP, "--units", "4")
    assert (done.returncode, done.stderr) == (0, "")
    head, _, rest = done.stdout.partition("\n")
    assert head == "No findings."
    assert "Checks: " in rest and "not checked" in rest
    assert "plates" in rest.split("Not checked: ")[1] and "never replace" in rest
    alone = run("check", CART)
    assert alone.stdout == "No findings. Strength, balance and ride are not checked.\n"


def test_job_data_are_the_same_bytes_in_every_process() -> None:
    one, two = (run("data", CART, "--workshop", SHOP, "--units", "4", seed=seed) for seed in ("1", "77"))
    assert one.returncode == two.returncode == 0
    assert one.stdout == two.stdout
    assert json.loads(one.stdout)["units"] == 4


def test_a_file_that_is_not_there_is_said_plainly(tmp_path: Path) -> None:
    done = run("data", tmp_path / "none.yaml", "--workshop", SHOP)
    assert done.returncode == 3
    assert "cannot read" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_folder_given_for_a_file_is_said_plainly(tmp_path: Path) -> None:
    done = run("check", tmp_path)
    assert done.returncode == 3
    assert "Traceback" not in done.stderr


def test_a_command_not_understood_leaves_with_2() -> None:
    assert run("data", CART).returncode == 2
    assert run("fold").returncode == 2
    assert run("data", CART, "--workshop", SHOP, "--units", "many").returncode == 2


@pytest.mark.parametrize("units", ["0", "-3", "10001"])
def test_a_number_of_units_that_no_shop_builds_is_a_finding(units: str) -> None:
    done = run("data", CART, "--workshop", SHOP, "--units", units)
    assert done.returncode == 1
    assert "units-out-of-range" in done.stderr
    assert done.stdout == ""


def test_a_bad_design_writes_nothing_at_all(tmp_path: Path) -> None:
    bad = spoilt(tmp_path, "revision:", "revison:")
    into = tmp_path / "out"
    done = run("sheets", bad, "--workshop", SHOP, "--into", into)
    assert done.returncode == 1
    assert "unknown-key" in done.stderr
    assert "revision" in done.stderr
    assert "nothing was written" in done.stderr
    assert not into.exists()
    file = tmp_path / "job.json"
    assert run("data", bad, "--workshop", SHOP, "--into", file).returncode == 1
    assert not file.exists()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["spoilt.yaml"]


def test_findings_for_programs_are_json_with_file_line_and_column(tmp_path: Path) -> None:
    bad = spoilt(tmp_path, "revision:", "revison:")
    done = run("check", bad, "--workshop", SHOP, "--json")
    assert done.returncode == 1
    findings = json.loads(done.stdout)["findings"]
    wrong = next(f for f in findings if f["code"] == "unknown-key")
    line = next(i for i, text in enumerate(bad.read_text().splitlines(), 1) if text.startswith("revison"))
    assert (wrong["file"], wrong["line"], wrong["column"]) == (str(bad), line, 1)
    assert wrong["fix"]


def test_a_finding_about_the_shop_points_into_the_workshop_file(tmp_path: Path) -> None:
    text = SHOP.read_text()
    head, tail = text.split("\nprices:", 1)
    first = tail.strip().splitlines()[0]
    shop = tmp_path / "shop.yaml"
    shop.write_text(head + "\nprices:" + tail.replace(first, "", 1))
    done = run("check", ROOT / "examples/hut-trailer.yaml", "--workshop", shop, "--json")
    assert done.returncode == 0, "a missing price is a note"
    notes = [f for f in json.loads(done.stdout)["findings"] if f["code"] == "price-missing"]
    assert notes
    assert notes[0]["file"] == str(shop)


def test_a_starting_design_can_be_adapted_at_once_and_is_never_written_over(tmp_path: Path) -> None:
    done = run("start", "mine.yaml", "--like", "hut-trailer", "--workshop", "shop.yaml", cwd=tmp_path)
    assert done.returncode == 0
    assert run("check", "mine.yaml", "--workshop", "shop.yaml", cwd=tmp_path).returncode == 0
    before = (tmp_path / "mine.yaml").read_bytes()
    again = run("start", "mine.yaml", cwd=tmp_path)
    assert again.returncode == 3
    assert "exists" in again.stderr
    assert (tmp_path / "mine.yaml").read_bytes() == before
    assert run("start", "other.yaml", "--like", "barrow", cwd=tmp_path).returncode == 3


def test_the_whole_folder_is_written_and_the_summary_says_what_to_do_next(tmp_path: Path) -> None:
    into = tmp_path / "out"
    done = run("sheets", CART, "--workshop", SHOP, "--units", "4", "--into", into, "--date", "2026-05-31")
    assert done.returncode == 0, done.stderr
    for name in ("pack.pdf", "job.json", "tables.xlsx", "parts.csv", "cuts.csv", "bends.csv", "materials.csv"):
        assert next(into.rglob(name)).stat().st_size > 100
        assert name in done.stdout
    assert list(into.rglob("*.dxf"))
    assert "Next:" in done.stdout
    assert "what was not checked" in done.stdout
    assert json.loads((into / "job.json").read_text())["units"] == 4
    assert [p.name for p in tmp_path.iterdir()] == ["out"], "no temporary folder is left beside it"
    again = run("sheets", CART, "--workshop", SHOP, "--units", "4", "--into", into, "--date", "2026-05-31", "--json")
    assert again.returncode == 0
    assert str(into / "pack.pdf") in json.loads(again.stdout)["files"]


def test_a_folder_that_cannot_be_written_is_said_plainly(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file, not a folder")
    done = run("sheets", CART, "--workshop", SHOP, "--into", tmp_path / "taken")
    assert done.returncode == 3
    assert "Traceback" not in done.stderr
    assert (tmp_path / "taken").read_text() == "a file, not a folder"


def test_a_date_that_is_none_is_refused(tmp_path: Path) -> None:
    done = run("sheets", CART, "--workshop", SHOP, "--into", tmp_path / "out", "--date", "tomorrow")
    assert done.returncode == 3
    assert not (tmp_path / "out").exists()


def test_a_printed_sheet_is_current_until_its_part_changes(tmp_path: Path) -> None:
    design, into = tmp_path / "cart.yaml", tmp_path / "out"
    text = CART.read_text()
    design.write_text(text)
    assert run("data", design, "-w", SHOP, "-n", "4").returncode == 0
    sheets = ("sheets", design, "-w", SHOP, "-n", "4", "--into", into, "--date", "2026-05-31")
    assert run(*sheets).returncode == 0
    job = json.loads((into / "job.json").read_text())
    digests = f"{job['design']['digest'][:8]}/{job['workshop']['digest'][:8]}"
    parts = [part["id"] for part in job["parts"] if part.get("bends")]
    codes = {part: f"HANDBARROW/market-handcart/{part}/A/{digests}/4" for part in parts}

    def asked(part: str, *more: str | Path) -> subprocess.CompletedProcess[str]:
        return run("sheet", codes[part], design, "-w", SHOP, "--folder", into, *more)

    for part in parts:
        done = asked(part)
        assert (done.returncode, "CURRENT" in done.stdout) == (0, True), done.stdout + done.stderr
    assert "pieces in the batch: " in asked(parts[0], "--units", "5").stdout
    design.write_text(text.replace("bed_length: 1000", "bed_length: 1100"))
    answers = {part: asked(part) for part in parts}
    assert {done.returncode for done in answers.values()} == {1}
    assert any("cut length: " in done.stdout for done in answers.values())
    assert asked(parts[0], "--folder", tmp_path / "none").stdout.count("what changed is not known") == 1
    assert run(*sheets).returncode == 0
    assert len(list((into / "earlier").iterdir())) == 1
    for part, done in answers.items():
        assert asked(part).stdout == done.stdout, "what changed is known after the new sheets are printed, too"
        record = json.loads(asked(part, "--json").stdout)
        assert record["still_right"] == ("still right" in done.stdout)
    design.write_text("handbarrow: design 1")
    broken = asked(parts[0])
    assert (broken.returncode, broken.stdout) == (1, "")
    assert "error [" in broken.stderr


def test_chosen_sheets_are_a_pack_of_their_own(tmp_path: Path) -> None:
    asked = ("sheets", CART, "--workshop", SHOP, "--into", tmp_path / "out", "--date", "2026-05-31")
    done = run(*asked, "--station", "saw", "--paper", "A3")
    assert done.returncode == 0, done.stderr
    assert done.stdout == f"written: {tmp_path / 'out' / 'pack-station-saw-a3.pdf'}\n"
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["pack-station-saw-a3.pdf"]
    for option, name in (("--part", "no-such"), ("--station", "forge"), ("--assembly", "x"), ("--paper", "A9")):
        wrong = run(*asked, option, name)
        assert (wrong.returncode, wrong.stdout) == (2, "")
        assert name in wrong.stderr
    none = run(*asked, "--station", "saw", "--part", "wheel")
    assert none.returncode == 3
    assert "no sheet of that choice" in none.stderr
    assert len(list((tmp_path / "out").iterdir())) == 1


def test_help_names_every_station() -> None:
    said = run("sheets", "--help").stdout
    assert all(station in said for station in STATIONS)


@pytest.mark.parametrize("code", ["side-hoop", "", "a/4/1234567/89abcdef/00", "HANDBARROW/x/../A/zz/yy/4", "x" * 9000])
def test_a_code_mistyped_is_not_taken_for_a_sheet(code: str, tmp_path: Path) -> None:
    done = run("sheet", code, CART, "-w", SHOP, "--folder", tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert "not the code of a sheet" in done.stderr.replace("\n", " ")


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("not YAML", "handbarrow: design 1\nparts: [unclosed"),
        ("1 MB of nesting", "a: " + "[" * 900_000),
        ("a bomb", "a: &a [x, x]\nb: &b [*a, *a]\n" + "".join(
            f"c{i}: &c{i} [*{'b' if i == 0 else f'c{i - 1}'}, *{'b' if i == 0 else f'c{i - 1}'}]\n" for i in range(60)
        )),
        ("empty", ""),
        ("bytes", "\x00\x01\x02"),
    ],
)  # fmt: skip
def test_a_hostile_file_is_refused_with_findings(tmp_path: Path, name: str, text: str) -> None:
    path = tmp_path / "hostile.yaml"
    path.write_text(text)
    for arguments in (["check", path], ["check", path, "-w", SHOP], ["data", CART, "-w", path]):
        done = run(*arguments)
        assert done.returncode == 1, (name, done.stderr[-500:])
        assert "Traceback" not in done.stderr + done.stdout
        assert "error [" in done.stderr + done.stdout
