"""The program with less rights than the tests have: nobody's to write everywhere, read-only disks, full disks.

Nothing is read-only to root, and tests often run as root: so a child process gives up just that right before it starts.
It stays the same user and can read all it could. Read-only and full disks are mounted where only the child sees them.
"""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
# Linux, prctl(2) and capabilities(7): what root may do in spite of a file's mode, dropped for good.
_DROP_FROM_BOUNDING_SET, _DAC_OVERRIDE, _DAC_READ_SEARCH = 24, 1, 2


def _bound_by_modes() -> None:
    """In a child about to start: files' modes hold for root, too."""
    if os.geteuid() == 0:
        libc = ctypes.CDLL(None, use_errno=True)
        for right in (_DAC_OVERRIDE, _DAC_READ_SEARCH):
            libc.prctl(_DROP_FROM_BOUNDING_SET, right, 0, 0, 0)


def ran(
    arguments: Sequence[str], cwd: Path, code: str = "", env: Mapping[str, str] | None = None, before: str = ""
) -> tuple[int, str]:
    """Run the program, bound by files' modes: its status and all it told, in which no fault of its own may be.

    code: Python to run before it. before: shell commands as root where only this process sees what they mount.
    """
    whole = f"import sys\n{code}\nfrom sim.command.main import main\nsys.exit(main(sys.argv[1:]))"
    command = [sys.executable, "-c", whole, *arguments]
    here = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", **(env or {})}
    if before:
        command = ["unshare", "--mount", "sh", "-ec", f'{before}\nexec "$@"', "sh", *command]
    drop = None if before else _bound_by_modes
    done = subprocess.run(
        command, cwd=cwd, env=here, capture_output=True, text=True, timeout=600, preexec_fn=drop, check=False
    )
    told = done.stdout + done.stderr
    assert "Traceback" not in told, told
    assert "fault of stopload" not in told, told
    return done.returncode, told


@pytest.fixture(scope="session")
def modes_hold(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Skip where a child cannot be bound by files' modes: no POSIX, or root on a system without capabilities."""
    if os.name != "posix":
        pytest.skip("files have no modes here")
    folder = tmp_path_factory.mktemp("modes")
    folder.chmod(0o555)
    trial = f"open({str(folder / 'written')!r}, 'w')"
    done = subprocess.run([sys.executable, "-c", trial], capture_output=True, preexec_fn=_bound_by_modes, check=False)
    folder.chmod(0o755)
    if done.returncode == 0:
        pytest.skip("root cannot give up its right to write everywhere here")


@pytest.fixture(scope="session")
def may_mount(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Skip where a disk cannot be mounted for one process alone."""
    folder = tmp_path_factory.mktemp("disk")
    if shutil.which("unshare") is None:
        pytest.skip("no mounting here")
    trial = ["unshare", "--mount", "sh", "-ec", f"mount -t tmpfs -o size=64k none '{folder}'"]
    if subprocess.run(trial, capture_output=True, check=False).returncode:
        pytest.skip("nobody but root may mount, and not everywhere")


def read_only(folder: Path) -> str:
    """Shell words that make a folder a read-only disk for one process."""
    return f"mount --bind '{folder}' '{folder}'\nmount -o remount,bind,ro '{folder}'"


def small_disk(folder: Path, size: str) -> str:
    """Shell words that make a folder a disk of that size."""
    return f"mount -t tmpfs -o size={size} none '{folder}'"
