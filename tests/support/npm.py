"""Packages from npm that tests ask, installed once into a cache folder outside the source tree.

Where a program isn't on the machine, the test that asked is skipped and says why.
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import tempfile
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

import platformdirs
import pytest


def program(name: str) -> str:
    """Where a program is."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} isn't installed, so what comes from npm can't be asked")
    return found


@lru_cache(maxsize=4)
def packages_of(folder: Path) -> Path:
    """The folder in which the packages of a folder's ``package.json`` are installed."""
    wanted = (folder / "package.json").read_bytes()
    caches = Path(platformdirs.user_cache_dir("cliptag-tests"))
    kept = caches / f"{folder.name}-{hashlib.sha256(wanted).hexdigest()[:12]}"
    if kept.exists():
        return kept
    npm = program("npm")
    caches.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=caches) as fresh:
        (Path(fresh) / "package.json").write_bytes(wanted)
        flags = ("--no-audit", "--no-fund", "--no-package-lock", "--ignore-scripts")
        done = subprocess.run(
            [npm, "install", *flags], cwd=fresh, capture_output=True, text=True, timeout=300
        )
        if done.returncode:
            pytest.skip(f"npm can't install what is asked: {done.stderr.strip()[-300:]}")
        with suppress(OSError):  # another test run was first
            Path(fresh).rename(kept)
        Path(fresh).mkdir(exist_ok=True)
    return kept
