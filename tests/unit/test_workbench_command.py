"""The command that opens the workbench: its address, its code, what it says when it cannot."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from desk import project_folder
from handbarrow.web.pairing import fresh_code
from handbarrow.web.serving import bound, network_names, share_for


@contextmanager
def running(root: Path, *more: str) -> Iterator[tuple[subprocess.Popen[str], list[str]]]:
    arguments = [sys.executable, "-m", "handbarrow.cli", "workbench", str(root), "--port", "0", "--no-open", *more]
    process = subprocess.Popen(arguments, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        assert process.stdout is not None
        lines = []
        for line in process.stdout:
            lines.append(line)
            if "Ctrl-C" in line:
                break
        yield process, lines
    finally:
        process.terminate()
        process.communicate()


def test_the_command_says_where_the_workbench_is_and_it_is_there(tmp_path: Path) -> None:
    project_folder(tmp_path)
    with running(tmp_path) as (_, lines):
        found = re.search(r"http://127\.0\.0\.1:\d+/", "".join(lines))
        assert found is not None
        with urllib.request.urlopen(f"{found[0]}api/p/cart/state") as answer:  # noqa: S310 - our own address
            assert answer.status == 200 and answer.headers["server"] is None
    assert "code" not in "".join(lines)


def test_sharing_prints_a_code_of_six_figures_and_an_address_for_other_devices(tmp_path: Path) -> None:
    with running(tmp_path, "--share") as (_, lines):
        assert re.search(r"\b\d{3} \d{3}\b", "".join(lines))


def test_a_folder_that_is_not_there_is_made(tmp_path: Path) -> None:
    with running(tmp_path / "new" / "folder"):
        assert (tmp_path / "new" / "folder").is_dir()


def test_a_port_that_is_taken_is_said_plainly(tmp_path: Path) -> None:
    with bound(0, shared=False) as taken:
        port = taken.getsockname()[1]
        done = subprocess.run(
            [sys.executable, "-m", "handbarrow.cli", "workbench", tmp_path, "--port", str(port), "--no-open"],
            capture_output=True,
            text=True,
        )
    assert done.returncode == 3
    assert f"port {port}" in done.stderr and "--port" in done.stderr


def test_a_folder_that_cannot_be_made_is_said_plainly(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    arguments = [
        sys.executable,
        "-m",
        "handbarrow.cli",
        "workbench",
        tmp_path / "file" / "x",
        "--port",
        "0",
        "--no-open",
    ]
    done = subprocess.run(arguments, capture_output=True, text=True)
    assert done.returncode == 3 and "cannot use" in done.stderr


def test_without_sharing_only_this_computer_is_listened_to() -> None:
    with bound(0, shared=False) as listening:
        assert listening.getsockname()[0] == "127.0.0.1"
    with bound(0, shared=True) as listening:
        assert listening.getsockname()[0] == "0.0.0.0"  # noqa: S104 - what sharing means


def test_codes_are_six_figures_and_differ() -> None:
    codes = {fresh_code() for _ in range(50)}
    assert len(codes) > 40 and all(re.fullmatch(r"\d{6}", code) for code in codes)
    assert share_for().hosts == network_names()


def test_no_name_on_the_network_is_this_computers_own_address() -> None:
    assert not any(name.startswith("127.") for name in network_names())
    assert socket.gethostname() in network_names()


@pytest.mark.parametrize("more", [["--port", "99999"], ["--port", "x"], ["a", "b"]])
def test_a_command_that_makes_no_sense_is_refused(more: list[str]) -> None:
    done = subprocess.run([sys.executable, "-m", "handbarrow.cli", "workbench", *more], capture_output=True, text=True)
    assert done.returncode == 2
