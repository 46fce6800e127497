"""A form inside a page: a plate with fields, the button that does it, and one to leave it."""

from __future__ import annotations

import datetime as dt

from PyQt6.QtCore import QDate, Qt, pyqtSignal
from PyQt6.QtGui import QPaintEvent
from PyQt6.QtWidgets import (
    QAbstractSpinBox,
    QComboBox,
    QDateEdit,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from cliptag.desk import look
from cliptag.desk.casebook.pieces import Page, button, empty_out, let_tab_follow, takers_in
from cliptag.desk.fields import DropDown, paint_drop_arrow, row


class Form(QFrame):
    """``submit`` is what the main button does; a form stays until that went well."""

    left = pyqtSignal()
    """The form is done with, or was left."""

    def __init__(self, title: str, verb: str, *, is_danger: bool = False) -> None:
        super().__init__()
        self.setObjectName("form")
        self.setAccessibleName(title)
        self._is_danger = is_danger
        label = QLabel(title)
        label.setProperty("role", "page")
        label.setWordWrap(True)
        self.fields = QVBoxLayout()
        self.do = button(verb, self.submit, role="main")
        self.cancel = button("Cancel", self.left.emit, tip="Leave this as it was (Esc)")
        foot = QHBoxLayout()
        foot.addWidget(self.do)
        foot.addWidget(self.cancel)
        foot.addStretch(1)
        layout = QVBoxLayout(self)
        layout.addWidget(label)
        layout.addLayout(self.fields)
        layout.addLayout(foot)
        self._restyle()
        look.look().changed.connect(self._restyle)

    def submit(self) -> None:
        """Do it."""
        raise NotImplementedError

    def begin(self) -> None:
        """Give the keyboard to the first field."""
        let_tab_follow(self)
        takers_in(self)[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def finish(self, _answer: object = None) -> None:
        """It went well."""
        self.left.emit()

    def add(self, name: str, field: QWidget, help_words: str = "") -> QWidget:
        """Put a field under those that are there, with its name above it; gives both."""
        holder = row(name, field, help_words)
        self.fields.addWidget(holder)
        return holder

    def _restyle(self) -> None:
        colours, margin = look.palette(), look.space(0.9)
        token = "danger" if self._is_danger else "accent"
        self.setStyleSheet(
            f"#form {{ background: {colours.plate}; border: 1px solid {getattr(colours, token)};"
            f" border-radius: {look.space(0.3)}px; }}"
        )
        layout = self.layout()
        assert layout is not None
        layout.setContentsMargins(margin, margin, margin, margin)


class FormPage(Page):
    """A page for one form."""

    def __init__(self) -> None:
        super().__init__("Add a client", widest=40)
        self.form: Form | None = None

    @property
    def is_busy(self) -> bool:
        return self.form is not None

    def open_form(self, form: Form) -> None:
        self.close_form()
        self.form = form
        self.body.addWidget(form)

    def close_form(self) -> None:
        self.form = None
        empty_out(self.body)


def line_field(text: str = "", hint: str = "") -> QLineEdit:
    """A line to write in."""
    field = QLineEdit(text)
    field.setPlaceholderText(hint)
    field.setAcceptDrops(False)
    return field


def text_field(text: str = "", hint: str = "", lines: int = 3) -> QPlainTextEdit:
    """Several lines to write in; Tab leads on."""
    field = QPlainTextEdit(text)
    field.setPlaceholderText(hint)
    field.setTabChangesFocus(True)
    field.setFixedHeight(look.space(lines * 1.1 + 1.0))
    field.setAcceptDrops(False)
    viewport = field.viewport()
    assert viewport is not None
    viewport.setAcceptDrops(False)
    return field


class _DateField(QDateEdit):
    """Has a plain arrow: the style's own breaks the field's edge."""

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        super().paintEvent(event)
        paint_drop_arrow(self)


def date_field(day: dt.date) -> QDateEdit:
    """A day, to type or to choose in a calendar."""
    field = _DateField(QDate(day.year, day.month, day.day))
    field.setStyleSheet(
        f"QDateEdit::drop-down {{ border: none; width: {look.space(1.4)}px; }}"
        "QDateEdit::down-arrow { image: none; width: 0; }"
    )
    field.setDisplayFormat("d MMMM yyyy")
    field.setCalendarPopup(True)
    field.setMaximumWidth(look.space(12))
    return field


def day_of(field: QDateEdit) -> dt.date:
    """The day in a field."""
    day = field.date()
    return dt.date(day.year(), day.month(), day.day())


def count_field(count: int, least: int, most: int) -> QSpinBox:
    """A number, to type or to change by the arrow keys."""
    field = QSpinBox()
    field.setRange(least, most)
    field.setValue(count)
    field.setButtonSymbols(QAbstractSpinBox.ButtonSymbols.NoButtons)
    field.setMaximumWidth(look.space(6))
    return field


class _OwnWords(DropDown):
    """The line inside is called as the whole is: it is what a screen reader comes to."""

    def setAccessibleName(self, name: str | None) -> None:  # noqa: N802 - Qt's name
        super().setAccessibleName(name)
        line = self.lineEdit()
        if line is not None:
            line.setAccessibleName(name)


def words_or_own(words: list[str], text: str = "") -> QComboBox:
    """A line to write in, with a few usual words to choose."""
    box = _OwnWords()
    box.setEditable(True)
    box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
    box.addItems(words)
    box.setCurrentText(text)
    line = box.lineEdit()
    assert line is not None
    line.setAcceptDrops(False)
    return box
