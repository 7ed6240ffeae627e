"""Run all benchmarks: `python -m benchmarks [PATH_TO_OPEN_INSTANCES]`."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from benchmarks import cutting, frame, tubes, whole


def main() -> None:
    given = sys.argv[1] if len(sys.argv) > 1 else os.environ.get("HANDBARROW_INSTANCES")
    whole.run()
    frame.run()
    tubes.run()
    cutting.run(Path(given) if given else None)


main()
