"""The page on which the coach sets what is preferred; each choice counts at once."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QSignalBlocker, Qt
from PyQt6.QtWidgets import QAbstractSpinBox, QDoubleSpinBox, QLineEdit, QSlider, QWidget

from cliptag.desk.fields import Choice, TickBox, drop_down, heading, own_name, quiet, row, show_in
from cliptag.desk.preferences import FASTEST_CPS, SLOWEST_CPS, PreferenceStore
from cliptag.desk.side_panel import SidePanel
from cliptag.desk.voice import input_names
from cliptag.words import LANGUAGES

_TEXT_SIZES: Final = {1.0: "Usual", 1.25: "Large", 1.5: "Larger", 2.0: "Largest"}


class PreferencesPage(SidePanel):
    """What is said to the client first, then how the desk looks."""

    def __init__(self, store: PreferenceStore, host: QWidget) -> None:
        super().__init__("Preferences", host)
        self._store = store
        choose = store.set
        self._coach = QLineEdit()
        self._coach.setMaxLength(200)
        self._coach.editingFinished.connect(lambda: choose(coach=self._coach.text().strip()))
        self._captions = Choice(
            {"small": "Small", "usual": "Usual", "large": "Large"},
            lambda value: choose(caption_size=value),
        )
        self._speed = QSlider(Qt.Orientation.Horizontal)
        self._speed.setRange(SLOWEST_CPS, FASTEST_CPS)
        self._speed.setPageStep(1)
        self._speed.valueChanged.connect(lambda value: choose(reading_cps=value))
        self._speed_words = quiet("")
        self._holds = TickBox("The video stands still on a new note")
        self._holds.toggled.connect(lambda value: choose(holds=value))
        self._language = drop_down(
            [(code, own_name(code)) for code in LANGUAGES], lambda value: choose(language=value)
        )
        self._purpose = Choice(
            {None: "Anything", "messenger": "Messenger", "home": "Screen", "archive": "Archive"},
            lambda value: choose(purpose=value),
        )
        self._most_mb = QDoubleSpinBox()
        self._most_mb.setRange(1.0, 10_000.0)
        self._most_mb.setDecimals(0)
        self._most_mb.setSuffix(" MB")
        self._most_mb.setButtonSymbols(QAbstractSpinBox.ButtonSymbols.NoButtons)
        self._most_mb.setKeyboardTracking(False)
        self._most_mb.valueChanged.connect(lambda value: choose(most_mb=value))
        self._clean = TickBox("Make a video without captions on it too")
        self._clean.toggled.connect(lambda value: choose(clean=value))
        self._microphone = drop_down(_microphones(), lambda name: choose(microphone=name))
        self._speech_model = QLineEdit()
        self._speech_model.setPlaceholderText("none: you type your captions")
        self._speech_model.editingFinished.connect(
            lambda: choose(speech_model=self._speech_model.text().strip())
        )
        self._scheme = Choice(
            {"system": "As the system", "light": "Light", "dark": "Dark"},
            lambda value: choose(scheme=value),
        )
        self._contrast = Choice(
            {"normal": "Usual", "strong": "Strong"}, lambda value: choose(contrast=value)
        )
        self._text = Choice(_TEXT_SIZES, lambda value: choose(text_size=value))
        self._sound = TickBox("Play the clip's sound")
        self._sound.toggled.connect(lambda value: choose(sound=value))
        self._lay_out()
        store.changed.connect(self._show)
        self._show()

    def _lay_out(self) -> None:
        add = self.body.addWidget
        add(heading("What the client sees"))
        add(row("Your name", self._coach, "Put on every new review; each one can have another."))
        add(row("Size of captions", self._captions))
        add(row("Reading speed", self._speed))
        add(self._speed_words)
        add(row("Holds", self._holds, "As long as its captions need; each note can have another."))
        words = "Of all words but your own, for a client whose review names no other."
        add(row("Client's language", self._language, words))
        add(heading("What you send"))
        words = "For all but the first, you are told the size before the video is made."
        add(row("Made for", self._purpose, words))
        add(row("At most, for a messenger", self._most_mb))
        words = "It has your marks; the client can show its captions or put them away."
        add(row("Clean video", self._clean, words))
        add(heading("Your voice"))
        add(row("Microphone", self._microphone))
        words = "The folder of a speech model writes down what you say, on this computer alone."
        add(row("Speech model", self._speech_model, words))
        add(heading("The desk"))
        add(row("Colours", self._scheme))
        add(row("Contrast", self._contrast))
        add(row("Size of text", self._text))
        add(row("Sound", self._sound))
        self.body.addStretch(1)

    def _show(self) -> None:
        now = self._store.now
        fields = (self._coach, self._speed, self._holds, self._sound, self._most_mb, self._clean)
        blockers = [QSignalBlocker(field) for field in fields]
        if not self._coach.hasFocus():
            self._coach.setText(now.coach)
        self._captions.show_value(now.caption_size)
        self._speed.setValue(now.reading_cps)
        self._speed_words.setText(
            f"Captions stay so long that a client who reads {now.reading_cps} characters a second "
            f"can read them. {FASTEST_CPS} suits most adults; fewer give more time."
        )
        self._holds.setChecked(now.holds)
        self._sound.setChecked(now.sound)
        self._purpose.show_value(now.purpose)
        self._most_mb.setValue(now.most_mb)
        self._most_mb.setEnabled(now.purpose == "messenger")
        self._clean.setChecked(now.clean)
        show_in(self._microphone, now.microphone)
        if not self._speech_model.hasFocus():
            self._speech_model.setText(now.speech_model)
        show_in(self._language, now.language)
        self._scheme.show_value(now.scheme)
        self._contrast.show_value(now.contrast)
        self._text.show_value(now.text_size)
        for blocker in blockers:
            blocker.unblock()


def _microphones() -> list[tuple[str, str]]:
    return [("", "The system's usual one"), *((name, name) for name in input_names())]
