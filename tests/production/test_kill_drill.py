"""Killed at a hundred random moments, the book is whole every time."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

DRILL = Path(__file__).resolve().parents[1] / "drill.py"


@pytest.mark.slow
def test_a_hundred_kills_leave_nothing_half_done(tmp_path):
    answer = subprocess.run(  # noqa: S603  our own script
        [sys.executable, str(DRILL), str(tmp_path), "100", "1240"],
        capture_output=True,
        text=True,
        check=False,
        timeout=900,
    )
    assert answer.returncode == 0, answer.stderr[-3000:]
    counted = json.loads(answer.stdout.strip().splitlines()[-1])
    assert sum(counted.values()) == 100
    for action in ("backup", "restore", "load", "release"):
        assert counted.get(f"{action} undone", 0) > 0, counted
