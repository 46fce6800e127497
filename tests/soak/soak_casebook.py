"""Kill a casebook's changes hundreds of times, at its own lines and at random moments.

    python tests/soak/soak_casebook.py [--apart 10] [--rounds 40]

Prints, for each kind of change, how often it was killed and what was lost: acknowledged changes
that aren't there, and what the check finds wrong before and after the repair.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ZYGOTE = Path(__file__).parents[1] / "support" / "casebook_zygote.py"
SCRIPTS = ("clients", "clips", "consent", "states", "erasing", "mending")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--apart", type=int, default=10, help="lines between two kills")
    parser.add_argument("--rounds", type=int, default=40, help="kills at random moments")
    options = parser.parse_args()
    killed = lost = 0
    for script in SCRIPTS:
        for mode, count in (("lines", options.apart), ("times", options.rounds)):
            with tempfile.TemporaryDirectory() as top:
                homes = {f"XDG_{k}_HOME": f"{top}/home/{k}" for k in ("DATA", "STATE", "CACHE")}
                command = [sys.executable, str(ZYGOTE), mode, f"{top}/z", f"{top}/tiny", script]
                done = subprocess.run(
                    [*command, str(count)],
                    stdout=subprocess.PIPE,
                    text=True,
                    check=True,
                    env=os.environ | homes | {"HOME": f"{top}/home"},
                )
            told = [json.loads(line) for line in done.stdout.splitlines()]
            bad = [t for t in told if t["lost"] or any(a.startswith("error") for a in t["acked"])]
            dead = sum(t["killed"] for t in told)
            killed, lost = killed + dead, lost + len(bad)
            print(f"{script:10} {mode:6} {dead:5} killed, {len(bad)} with a loss", flush=True)
            for one in bad[:5]:
                print("   ", one, flush=True)
    print(f"{killed} killed, {lost} with a loss")
    sys.exit(bool(lost))


if __name__ == "__main__":
    main()
