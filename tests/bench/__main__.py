"""All benchmarks, one after the other: python -m tests.bench"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

for script in sorted(Path(__file__).parent.glob("bench_*.py")):
    print(f"\n== {script.stem.removeprefix('bench_')} ==", flush=True)
    subprocess.run([sys.executable, str(script)], check=True)
