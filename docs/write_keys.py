"""Write the table of keys into the user guide beside this script."""

from __future__ import annotations

import os
import re
from itertools import groupby
from pathlib import Path
from unittest.mock import MagicMock

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PyQt6.QtWidgets import QApplication

from cliptag.desk.actions import Actions, Shell
from cliptag.desk.commands import Command
from cliptag.desk.pairing.actions import PairActions, PairShell
from cliptag.desk.pairing.arranging import Arranging
from cliptag.desk.pairing.going import Going
from cliptag.desk.pairing.state import PairState
from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.state import DeskState

GUIDE = Path(__file__).parent / "user-guide.md"
PLACE = re.compile(r"(?<=<!-- keys -->\n).*(?=<!-- end of keys -->)", re.DOTALL)


def main() -> None:
    application = QApplication([])
    state = DeskState()
    shell = MagicMock(spec=Shell)
    commands = Actions(state, Reviewing(state, PreferenceStore()), shell).table()
    pair = PairState()
    both = PairActions(pair, Arranging(pair), Going(pair), MagicMock(spec=PairShell))
    commands += both.table()
    GUIDE.write_text(PLACE.sub(lambda _: tables(commands), GUIDE.read_text("utf-8")), "utf-8")
    application.quit()


def tables(commands: tuple[Command, ...]) -> str:
    """A Markdown table for each menu."""
    parts = []
    for group, members in groupby(commands, lambda command: command.group):
        lines = [f"| {c.words} | {' or '.join(f'`{key}`' for key in c.keys)} |" for c in members]
        parts.append("\n".join((f"| {group} | |", "|---|---|", *lines)))
    return "\n" + "\n\n".join(parts) + "\n\n"


if __name__ == "__main__":
    main()
