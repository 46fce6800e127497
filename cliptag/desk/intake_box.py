"""Whether the clip can be measured well, told on the page about it, with words to send."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtWidgets import QApplication, QLabel, QPushButton, QVBoxLayout, QWidget

from cliptag.bug_log import log_bug
from cliptag.desk import look
from cliptag.desk.fields import quiet
from cliptag.desk.state import DeskState
from cliptag.errors import CliptagError
from cliptag.words import words_of

if TYPE_CHECKING:
    from cliptag.intake import Intake


class IntakeCheck(QObject):
    """Checks one clip in a thread of its own, in a few seconds.

    Nobody waits for it: the thread holds it until it ends, whatever became of the page meanwhile.
    """

    came = pyqtSignal(object)
    """The Intake, or a sentence why there is none."""

    def __init__(self, clip_path: Path) -> None:
        super().__init__()
        self._clip_path = clip_path

    def start(self) -> None:
        """Begin; ``came`` tells the end."""
        # No daemon: Python's end would cut it off amid C++ code, which aborts the program.
        threading.Thread(target=self._run, name="desk intake").start()

    def _run(self) -> None:
        # Loaded here, in the thread: few openings of the desk ask for it.
        from cliptag.clip import open_clip
        from cliptag.intake import intake_of

        result: Intake | str
        try:
            with open_clip(self._clip_path) as clip:
                result = intake_of(clip)
        except CliptagError as error:
            result = str(error)
        except Exception:
            result = log_bug()
        self.came.emit(result)


class IntakeBox(QWidget):
    """One line for all, then what isn't fine; ``check`` starts it once for each clip."""

    def __init__(self, state: DeskState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._check: IntakeCheck | None = None
        self._intake: Intake | None = None
        self._verdict = QLabel()
        self._verdict.setProperty("role", "strong")
        self._verdict.setWordWrap(True)
        self._reasons = quiet("")
        self._copy = QPushButton("Copy what to ask the client")
        self._copy.setToolTip("Copy a message in the client's language, to be sent")
        self._copy.clicked.connect(self._copy_message)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(look.space(0.3))
        for widget in (self._verdict, self._reasons, self._copy):
            layout.addWidget(widget)
        self.setAccessibleName("To measure from")
        state.opened.connect(self._forget)
        self._show("")

    def check(self) -> None:
        """Check the clip on the desk, unless that was done or is on its way."""
        clip = self._state.clip
        if clip is None or self._check is not None:
            return
        self._show("Looking at the clip…")
        self._check = IntakeCheck(clip.path)
        self._check.came.connect(self._take)
        self._check.start()

    def _take(self, result: Intake | str) -> None:
        if self.sender() is not self._check:
            return
        if isinstance(result, str):
            self._show(result)
            return
        from cliptag.intake import GRADE_WORDS

        self._intake = result
        self._show(
            GRADE_WORDS[result.grade],
            "\n".join(
                f"{GRADE_WORDS[finding.grade]}: {finding.sentence}"
                for finding in result.findings
                if finding.grade != "fine"
            ),
        )

    def _show(self, verdict: str, reasons: str = "") -> None:
        self._verdict.setText(verdict)
        self._reasons.setText(reasons)
        self._reasons.setVisible(bool(reasons))
        self._copy.setVisible(self._intake is not None and self._intake.grade == "again")

    def _copy_message(self) -> None:
        document, clipboard = self._state.document, QApplication.clipboard()
        if document is None or clipboard is None or self._intake is None:
            return
        review = document.review
        clipboard.setText(self._intake.message(words_of(review.language or "en"), review.client))
        self._state.say("The words are copied: paste them into a message to the client.")

    def _forget(self) -> None:
        self._check, self._intake = None, None
        self._show("")
