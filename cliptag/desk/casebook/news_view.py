"""What came of the last thing that took long, with what can be done about it right there."""

from __future__ import annotations

from PyQt6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.casebook.deeds import Deeds
from cliptag.desk.casebook.model import BookModel
from cliptag.desk.casebook.news import News
from cliptag.desk.casebook.pieces import button, empty_out, words_label


class NewsView(QFrame):
    """A plate at the head of a page; away while there is nothing to tell."""

    def __init__(self, model: BookModel, deeds: Deeds) -> None:
        super().__init__()
        self._model, self._deeds = model, deeds
        self.setObjectName("plate")
        self.setAccessibleName("What came of it")
        self._lines = QVBoxLayout()
        layout = QVBoxLayout(self)
        layout.addLayout(self._lines)
        model.told.connect(self._show)
        look.look().changed.connect(self._restyle)
        self._restyle()
        self._show()

    def _show(self) -> None:
        empty_out(self._lines)
        self.setVisible(bool(self._model.news))
        for news in self._model.news:
            self._lines.addWidget(self._line(news))
        if not self._model.news:
            return
        foot = QHBoxLayout()
        foot.addStretch(1)
        if self._model.can_mend:
            foot.addWidget(button("Repair", self._model.repair, role="main"))
        foot.addWidget(button("Put away", self._model.clear_news, key="put away news"))
        self._lines.addLayout(foot)

    def _line(self, news: News) -> QWidget:
        line = QWidget()
        layout = QHBoxLayout(line)
        layout.setContentsMargins(0, 0, 0, 0)
        sentence = f"\u25b2 {news.sentence}" if news.is_trouble else news.sentence
        layout.addWidget(words_label(sentence, "trouble" if news.is_trouble else ""), 1)
        deeds, client, folder = self._deeds, news.client, news.folder
        if news.wants_consent:
            name = f"Record consent of {client}"
            run = lambda: deeds.ask_consent(client)  # noqa: E731 - said once, used once
            layout.addWidget(button("Record consent", run, name=name, key=f"consent {client}"))
        if folder is not None:
            name = f"Show the folder {folder.name}"
            layout.addWidget(
                button("Show", lambda: deeds.show_file(folder), name=name, role="link")
            )
        return line

    def _restyle(self) -> None:
        colours, margin = look.palette(), look.space(0.6)
        self.setStyleSheet(
            f"#plate {{ background: {colours.plate}; border: 1px solid {colours.hairline};"
            f" border-left: {max(2, look.space(0.2))}px solid {colours.accent};"
            f" border-radius: {look.space(0.25)}px; }}"
        )
        layout = self.layout()
        assert layout is not None
        layout.setContentsMargins(margin, margin, margin, margin)
