"""What is followed and how well; stop and go on; what keeps the movement from being measured."""

from __future__ import annotations

from PyQt6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.fields import quiet
from cliptag.desk.following import Following
from cliptag.desk.movement.telling import how_well
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.state import DeskState

_NO_POINTS = (
    "No point is followed yet. Take the tool Follow (K), go to a frame on which all is well seen, "
    "and place the points there, such as hip, knee and ankle: they are then followed through the "
    "clip, and this page tells of the movement."
)
_NO_LOAD = (
    " The load is not among them, and the wrist stands in for it: place the load too (K), and the "
    "moments are surer."
)


class StatusBox(QWidget):
    """The head of the page."""

    def __init__(self, state: DeskState, reviewing: Reviewing) -> None:
        super().__init__()
        self._state = state
        self._following: Following | None = None
        self.words = quiet("")
        self.trouble = quiet("")
        self.trouble.setProperty("role", "trouble")
        self.bar = QProgressBar()
        self.bar.setRange(0, 100)
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName("Following the points")
        self.stop = QPushButton("Stop")
        self.stop.setToolTip("Stop following the points; nothing that is known is lost")
        self.go_on = QPushButton("Go on")
        self.go_on.setToolTip("Follow the points to the end")
        self.stop.clicked.connect(self._stop)
        self.go_on.clicked.connect(self._go_on)
        self.left, self.right = QPushButton("To the left"), QPushButton("To the right")
        for button, way in ((self.left, "left"), (self.right, "right")):
            button.setAccessibleName(f"The client faces {way}")
            button.setToolTip(f"The client faces {way}, as you see it in the picture")
        self.left.clicked.connect(lambda: reviewing.set_facing("left"))
        self.right.clicked.connect(lambda: reviewing.set_facing("right"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(look.space(0.3))
        layout.addWidget(self.words)
        working = QHBoxLayout()
        working.addWidget(self.bar, 1)
        working.addWidget(self.stop)
        working.addWidget(self.go_on)
        layout.addLayout(working)
        layout.addWidget(self.trouble)
        facing = QHBoxLayout()
        facing.addWidget(self.left)
        facing.addWidget(self.right)
        facing.addStretch(1)
        layout.addLayout(facing)

    def show_state(self) -> None:
        """Show how far it is."""
        following, document = self._state.following, self._state.document
        self._listen_to(following)
        if following is None or document is None:
            return
        review, followed = document.review, following.followed
        is_running = following.is_running and not following.is_stopped
        if not review.tracked:
            self.words.setText(_NO_POINTS)
        elif is_running:
            self.words.setText("The points are being followed; you can go on working.")
        elif following.is_stopped:
            self.words.setText("Stopped: what stands here is from before.")
        elif followed is not None:
            is_guessed = review.movement == "lift" and "load" not in followed.tracks.points
            self.words.setText(how_well(followed.tracks) + (_NO_LOAD if is_guessed else ""))
        else:
            self.words.setText("The points could not be followed: the bar below says why.")
        self.bar.setVisible(is_running)
        self.stop.setVisible(is_running)
        self.go_on.setVisible(following.is_stopped and bool(review.tracked))
        trouble = followed.trouble if followed is not None and not is_running else ""
        self.trouble.setText(trouble)
        self.trouble.setVisible(bool(trouble))
        for button in (self.left, self.right):
            button.setVisible(bool(review.tracked) and review.facing is None and not is_running)

    def _listen_to(self, following: Following | None) -> None:
        if following is self._following:
            return
        self._following = following
        if following is not None:
            following.progressed.connect(self._progress)
        self._progress(0.0)

    def _stop(self) -> None:
        if self._following is not None:
            self._following.stop()

    def _go_on(self) -> None:
        if self._following is not None:
            self._following.resume()

    def _progress(self, part: float) -> None:
        self.bar.setValue(round(100 * part))
