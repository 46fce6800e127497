"""What stands in the casebook's place while there is none, or while it doesn't open."""

from __future__ import annotations

from PyQt6.QtWidgets import QHBoxLayout, QLabel

from cliptag.desk import look
from cliptag.desk.casebook.model import BookModel
from cliptag.desk.casebook.pieces import Page, button, words_label
from cliptag.desk.fields import quiet

_WHAT = (
    "The casebook keeps your clients: the clips that each one sends, week by week, your reviews of "
    "them, what was sent back when, and what each client agreed to. It tells each morning what "
    "waits."
)
_WHERE = (
    "It is a plain folder on this computer, which can be read without cliptag. The clips show "
    "people: it should lie on a disk that is encrypted. To have it elsewhere, set CLIPTAG_CASEBOOK "
    "to a folder before cliptag starts."
)


class StartPage(Page):
    """Offers to begin a casebook."""

    def __init__(self, model: BookModel) -> None:
        super().__init__("Begin a casebook", widest=40, is_centred=True)
        title = QLabel("Begin a casebook")
        title.setProperty("role", "title")
        title.setWordWrap(True)
        self.begin = button("Begin it here", model.begin, role="main")
        line = QHBoxLayout()
        line.addWidget(self.begin)
        line.addStretch(1)
        for words in (title, words_label(_WHAT), words_label(f"Folder: {model.folder}", "strong")):
            self.body.addWidget(words)
        self.body.addLayout(line)
        self.body.addSpacing(look.space(0.5))
        self.body.addWidget(quiet(_WHERE))


class BrokenPage(Page):
    """Says why the casebook doesn't open, and offers to repair it."""

    def __init__(self, model: BookModel) -> None:
        super().__init__("The casebook doesn't open", widest=40, is_centred=True)
        title = QLabel("The casebook doesn't open")
        title.setProperty("role", "title")
        title.setWordWrap(True)
        self._why = words_label("")
        self.repair = button("Repair it", model.repair, role="main")
        line = QHBoxLayout()
        line.addWidget(self.repair)
        line.addWidget(button("Try again", model.look_again))
        line.addStretch(1)
        for words in (title, self._why):
            self.body.addWidget(words)
        self.body.addLayout(line)
        self.body.addWidget(
            quiet(
                "Repair deletes nothing: a damaged file is set aside, and the casebook is made "
                "anew from the clients' folders."
            )
        )

    def say(self, sentence: str) -> None:
        """Tell why."""
        self._why.setText(sentence)
