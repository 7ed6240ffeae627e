"""Power comes and goes: a save that is killed at any line leaves the old file or the new one, whole."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from desk import project_folder

KILLS = 200


@pytest.mark.skipif(sys.platform == "win32", reason="needs fork and SIGKILL")
def test_a_save_killed_two_hundred_times_leaves_the_old_or_the_new_file_whole(tmp_path: Path) -> None:
    folder = project_folder(tmp_path)
    program = Path(__file__).parents[1] / "killed_saves.py"
    done = subprocess.run([sys.executable, program, folder, str(KILLS)], capture_output=True, text=True, check=True)
    told = json.loads(done.stdout)
    assert told["lines"] > 50, "a save runs through many lines"
    assert [was_killed for was_killed, _ in told["told"]] == [True] * KILLS
    assert len([name for name in told["left"] if "writing" in name]) <= 1, "what was cut off is cleared away"
    found = Counter(verdict for _, verdict in told["told"])
    assert set(found) == {"old", "new"}, found
    assert found["old"] > 20 and found["new"] > 5, "killed before and after the file was put in place"
