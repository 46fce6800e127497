"""The window: the climb at the left, the stage, the strip under both, the bar at the foot."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from PyQt6.QtCore import QByteArray, QSize, Qt
from PyQt6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QGuiApplication,
    QResizeEvent,
)
from PyQt6.QtWidgets import (
    QGridLayout,
    QLineEdit,
    QMainWindow,
    QPlainTextEdit,
    QStackedWidget,
    QWidget,
)

from cliptag.clip import cautions_from_facts
from cliptag.desk import look
from cliptag.desk.actions import Actions
from cliptag.desk.bar import Bar
from cliptag.desk.card import NoteCard
from cliptag.desk.card_room import CardRoom
from cliptag.desk.climb import ClimbView
from cliptag.desk.commands import Commands
from cliptag.desk.controls import Controls, ToolRow
from cliptag.desk.empty_desk import EmptyDesk
from cliptag.desk.export_job import export_options
from cliptag.desk.exporting import Exporter
from cliptag.desk.foot_row import FootRow
from cliptag.desk.head_row import HeadRow
from cliptag.desk.keeping import Keeper
from cliptag.desk.keyboard import KeyManners
from cliptag.desk.pages import Pages
from cliptag.desk.pairing import SUFFIX as PAIRING_SUFFIX
from cliptag.desk.pairing import PairRoom
from cliptag.desk.parts import files_in, give_keyboard, holds, leave_files_to_the_window
from cliptag.desk.phrases import PhraseBook
from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.preview import Preview
from cliptag.desk.remembered import Remembered
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.shell import DeskShell
from cliptag.desk.sound import ClipSound
from cliptag.desk.stage import StageView
from cliptag.desk.state import DeskState
from cliptag.desk.strip import StripView
from cliptag.desk.voice import Booth, Drafting, RunningRow
from cliptag.paint import ensure_painter_ready

if TYPE_CHECKING:
    from cliptag.desk.casebook import CasebookRoom

_FIRST_SIZE: Final = QSize(1280, 800)
_STRIP_PART: Final = 0.25
"""Of the window's height, at most."""


class DeskWindow(QMainWindow):
    """Puts the parts together; what they show and change is in ``state``."""

    def __init__(self) -> None:
        super().__init__()
        ensure_painter_ready()
        self.is_elsewhere = False
        """Whether the casebook is shown instead of what is on the desk."""
        self.made_casebook: CasebookRoom | None = None
        self.preferences = PreferenceStore(parent=self)
        self._dress()
        self.remembered = Remembered()
        self.state = DeskState(self)
        self.sound = ClipSound(self.state)
        self.reviewing = Reviewing(self.state, self.preferences)
        self.bar = Bar()
        self.keeper = Keeper(self.state, self.bar, self.remembered, self)
        self.exporter = Exporter(self.state, self.bar, self.preferences, self)
        table = Actions(self.state, self.reviewing, DeskShell(self)).table()
        self.commands = Commands(self, table)
        self.phrases = PhraseBook()
        self.stage = StageView(
            self.state,
            new_hold_us=lambda: self.preferences.now.new_hold_us,
            export_options=lambda: export_options(self.preferences.now),
        )
        self.strip = StripView(self.state)
        self.controls = Controls(self.state, self.commands)
        self.preview = Preview(self.state, self.stage, self.commands, self.preferences, self.bar)
        self.tools = ToolRow(self.state, self.commands)
        self.climb = ClimbView(self.state, self.reviewing, self.phrases)
        self.booth = Booth(self.state, self.reviewing.fresh_note, self)
        self.drafting = Drafting(self.state, self)
        self.bar.add_corner(RunningRow(self.booth))
        self.card = NoteCard(self.state, self.phrases, booth=self.booth)
        self.pairing = PairRoom(self)
        self._empty = EmptyDesk(self.commands, self.open_path)
        self._head = HeadRow(self.state, self.commands)
        self._heads, self._stack = QStackedWidget(), QStackedWidget()
        self._body = QWidget()
        self._room = CardRoom(self.state, self.stage, self.card, self.commands, self._body)
        self._foot = FootRow((self.controls, self.preview.row), self.bar)
        self.pages = Pages(
            self.state,
            self.reviewing,
            self.preferences,
            self.commands,
            self._body,
            self._foot,
            self.stage,
        )
        self._may_leave = False
        self._said_of_file = ""
        self._build()
        self._listen()
        KeyManners(self)
        self._apply_preferences()
        self._restore_geometry()
        self._refresh()
        for trouble in (self.preferences.message, self.phrases.message):
            if trouble is not None:
                self.bar.warn(trouble)

    # -- what commands ask for ------------------------------------------------------------------

    @property
    def casebook(self) -> CasebookRoom:
        """The casebook; made when it is first asked for."""
        if self.made_casebook is None:
            # Loaded here: the desk's start need not wait for what not everybody uses.
            from cliptag.desk.casebook import CasebookRoom

            self.made_casebook = CasebookRoom(self)
            self._stack.addWidget(self.made_casebook.view)
            leave_files_to_the_window(self.made_casebook.view)
            self.made_casebook.changed.connect(self._refresh_commands)
        return self.made_casebook

    def show_casebook(self) -> None:
        """Show the casebook; what is on the desk stays there."""
        if self.is_elsewhere:
            return
        self.preview.stop()
        self.pages.put_away()
        self.booth.stop()
        self.state.playhead.pause()
        self.state.take_tool(None)
        self.state.choose(None)  # the card would lie over the casebook
        self.keeper.flush()
        room = self.casebook
        self.is_elsewhere = True
        self._show_place()
        room.bring()

    def show_stage(self) -> None:
        """Show what is on the desk."""
        self.is_elsewhere = False
        self._refresh()

    def open_path(self, path: Path) -> bool:
        """Put a clip, a photo or a review on the desk; gives whether that went well.

        A pairing that can be read comes when both of its reviews are measured.
        """
        self.bar.take_back(self._said_of_file)
        if path.name.endswith(PAIRING_SUFFIX):
            return self.pairing.open_file(path)
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            is_open = self.state.open(path)
        finally:
            QGuiApplication.restoreOverrideCursor()
        if not is_open:
            self._said_of_file = self.bar.sentence
        return is_open

    def clear(self) -> None:
        """Take everything off the desk."""
        self.state.close()

    def forget_recent(self) -> None:
        """Empty the list of recent files."""
        self.remembered.forget_recent()
        self._refresh()

    def step_back(self) -> None:
        """Esc: one thing less."""
        state, focus = self.state, self.focusWidget()
        pair = self.pairing.view
        if self.pages.put_away():
            pass
        elif self.is_elsewhere:
            if not self.casebook.step_back() and self._is_anything_open:
                self.show_stage()
        elif pair is not None and self.pairing.is_on:
            pair.step_back()
        elif self.preview.is_on:
            self.preview.stop()
        elif self.card.step_back():
            pass
        elif isinstance(focus, QLineEdit | QPlainTextEdit):
            self._to_stage()
        elif state.tool is not None:
            state.take_tool(None)
        elif state.chosen_mark is not None and state.chosen_note is not None:
            state.choose(state.chosen_note.id)
        elif state.chosen_note is not None:
            self.card.done()

    def next_part(self) -> None:
        """Give the keyboard to the next part of the desk that takes it."""
        parts, focus = self._parts(), self.focusWidget()
        here = next(
            (n for n, part in enumerate(parts) if focus and holds(part, focus)), len(parts) - 1
        )
        for part in (*parts[here + 1 :], *parts[: here + 1]):
            if part.isVisible() and give_keyboard(part):
                return

    def write_note(self) -> None:
        """Give the keyboard to the chosen note's text."""
        self.card.write()

    def write_impression(self) -> None:
        """Give the keyboard to the general impression."""
        self.climb.impression.write()

    def _make_room(self) -> None:
        """Where the whole picture must be seen beside a page, it gets smaller."""
        layout = self._work_page.layout()
        if layout is not None:
            layout.setContentsMargins(0, 0, self.pages.taken, 0)

    # -- putting together -----------------------------------------------------------------------

    def _build(self) -> None:
        self._stack.addWidget(self._empty)
        self._work_page = self._work()
        self._stack.addWidget(self._work_page)
        grid = QGridLayout(self._body)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        grid.addWidget(self._stack, 0, 0)
        grid.addWidget(self._foot, 1, 0)
        grid.addWidget(self.strip, 2, 0)
        grid.setRowStretch(0, 1)
        self.setCentralWidget(self._body)
        self._heads.addWidget(self._head)
        self.setMenuWidget(self._heads)
        leave_files_to_the_window(self._body)
        self.setAcceptDrops(True)

    def _work(self) -> QWidget:
        page = QWidget()
        grid = QGridLayout(page)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        grid.addWidget(self.climb, 0, 0, 2, 1)
        grid.addWidget(self.tools, 0, 1)
        grid.addWidget(self._room, 1, 1)
        grid.setRowStretch(1, 1)
        grid.setColumnStretch(1, 1)
        return page

    def _parts(self) -> tuple[QWidget, ...]:
        if self.is_elsewhere:
            return (*self.pages.shown, *self.casebook.parts, self.bar)
        pair = self.pairing.view
        if pair is not None and self.pairing.is_on:
            return (*self.pages.shown, *pair.parts, self.bar)
        work = (self.climb, self.stage, self.card, self.tools, self.controls, self.strip)
        return (*self.pages.shown, self._empty, *work, self.bar)

    def _listen(self) -> None:
        state = self.state
        state.said.connect(self.bar.say)
        self.strip.lanes_changed.connect(self._limit_strip)
        state.warned.connect(self.bar.warn)
        state.opened.connect(self._refresh)
        self.pairing.made.connect(self._add_pairing)
        self.pairing.changed.connect(self._refresh)
        self.pairing.settled.connect(self._show_title)
        state.opened.connect(self._tell_what_is_missing)
        state.reviewed.connect(self._refresh_commands)
        state.chosen.connect(self._refresh_commands)
        state.followed.connect(self._refresh_commands)
        self.stage.model.asked.connect(self._refresh_commands)
        self.preview.changed.connect(self._show_preview)
        self.pages.changed.connect(lambda: self._room.keep_off(self.pages.covered))
        self.pages.changed.connect(self._make_room)
        self.pages.changed.connect(lambda: self.tools.keep_off(self.pages.width - self.pages.taken))
        self.exporter.changed.connect(self._refresh_commands)
        self.exporter.refused.connect(
            lambda sentence, path: self.casebook.offer_consent(sentence, path)
        )
        self.keeper.settled.connect(self._show_title)
        self.preferences.changed.connect(self._apply_preferences)
        self.preferences.trouble.connect(self.bar.warn)
        self.climb.writing.connect(self.card.write)
        self.booth.changed.connect(self._apply_sound)
        state.opened.connect(self._keep_left_takes)
        self.card.finished.connect(self._to_stage)

    # -- showing --------------------------------------------------------------------------------

    def _refresh(self) -> None:
        is_open = self.state.document is not None
        if not is_open:
            self._empty.show_recent(self.remembered.recent)
        if self._is_anything_open:
            self.is_elsewhere = False
        self._show_place()
        if is_open:
            self._to_stage()
        self._show_title()

    @property
    def _is_anything_open(self) -> bool:
        return self.state.document is not None or self.pairing.is_on

    def _show_place(self) -> None:
        """The casebook if it is shown; else one review, two of them, or the empty desk."""
        pair, is_work = self.pairing.view, self.state.document is not None
        page: QWidget = self._work_page if is_work else self._empty
        head: QWidget = self._head
        if self.is_elsewhere:
            page, is_work = self.casebook.view, False
        elif pair is not None and self.pairing.is_on:
            page, head = pair, pair.head
        self._stack.setCurrentWidget(page)
        self._heads.setCurrentWidget(head)
        self._head.show_work(is_work)
        for part in (self.controls, self.strip):
            part.setVisible(is_work)
        self._refresh_commands()

    def _add_pairing(self) -> None:
        view = self.pairing.view
        assert view is not None
        self._stack.addWidget(view)
        self._heads.addWidget(view.head)
        self.pages.add_commands(view.commands)
        leave_files_to_the_window(view)
        view.exporter.changed.connect(self._refresh_commands)
        view.exporter.refused.connect(
            lambda sentence, path: self.casebook.offer_consent(sentence, path)
        )

    def _tell_what_is_missing(self) -> None:
        self.bar.take_back(self._said_of_file)
        clip = self.state.clip
        for caution in cautions_from_facts(clip.info) if clip else ():
            if caution.code == "cut_off":  # the others can wait until they are asked for
                self._said_of_file = caution.sentence
                self.bar.warn(caution.sentence)

    def _to_stage(self) -> None:
        self.stage.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_preview(self) -> None:
        is_open, is_on = self.state.document is not None, self.preview.is_on
        self.controls.setVisible(is_open and not is_on and not self.is_elsewhere)
        self.tools.setEnabled(not is_on)
        self._room.show_hints(not is_on)
        if not is_on:
            self._to_stage()

    def _refresh_commands(self) -> None:
        self.commands.refresh()

    def _show_title(self) -> None:
        clip, words = self.state.clip, self.keeper.words
        pair = self.pairing.view.state if self.pairing.view else None
        if pair is not None and pair.document is not None:
            stem = pair.document.path.name.removesuffix(PAIRING_SUFFIX)
            self.setWindowTitle(f"{stem} \u00b7 {pair.save_words} \u2013 cliptag")
            return
        name = f"{clip.path.name} \u00b7 {words} \u2013 cliptag" if clip else "cliptag"
        self.setWindowTitle(name)

    def _dress(self) -> None:
        now = self.preferences.now
        look.look().set(now.scheme, now.contrast, now.text_size)

    def _apply_preferences(self) -> None:
        now = self.preferences.now
        self._dress()
        self.state.coach = now.coach
        options = export_options(now)
        self.card.plan_for(options)
        self.strip.plan_for(options)
        self._apply_sound()
        self.booth.microphone = now.microphone
        model = Path(now.speech_model) if now.speech_model else None
        self.drafting.use(model, now.language)
        self.preview.player.sound.set_on(now.sound)
        self.controls.show_sound(now.sound)

    def _apply_sound(self) -> None:
        # The clip's own sound would be recorded too.
        is_hushed = self.booth.state in ("note", "running")
        self.sound.set_on(self.preferences.now.sound and not is_hushed)

    def _keep_left_takes(self) -> None:
        count = self.booth.recover()
        if count:
            takes = "A recording was" if count == 1 else f"{count} recordings were"
            self.bar.say(f"{takes} cut off when cliptag ended; what was said is kept.")

    def _restore_geometry(self) -> None:
        if not self.restoreGeometry(QByteArray(self.remembered.geometry)):
            screen = self.screen()
            room = screen.availableSize() if screen is not None else _FIRST_SIZE
            self.resize(_FIRST_SIZE.boundedTo(room))

    # -- events ---------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        super().resizeEvent(event)
        self._limit_strip()

    def _limit_strip(self) -> None:
        """The picture is what matters: in a low window the strip makes do with less."""
        least = self.strip.minimumSizeHint().height()
        self.strip.setMaximumHeight(max(least, round(_STRIP_PART * self.height())))

    def dragEnterEvent(self, event: QDragEnterEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and files_in(event.mimeData()):
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None:
            event.acceptProposedAction()
            if self.is_elsewhere:
                self.casebook.hold_files(event.position().toPoint())

    def dragLeaveEvent(self, event: QDragLeaveEvent | None) -> None:  # noqa: N802 - Qt's name
        if self.is_elsewhere:
            self.casebook.hold_files(None)

    def dropEvent(self, event: QDropEvent | None) -> None:  # noqa: N802 - Qt's name
        files = files_in(event.mimeData()) if event is not None else []
        if event is not None and files:
            event.acceptProposedAction()
            if self.is_elsewhere:
                self.casebook.take_files(files, event.position().toPoint())
                return
            self.open_path(files[0])
            if len(files) > 1:
                self.state.say(f"One clip at a time: {files[0].name} is open.")

    def closeEvent(self, event: QCloseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is None:
            return
        if not self._may_leave and self.exporter.is_running:
            self._ask_before_leaving(
                "The take-home is still being made.", "Stop it and leave", event
            )
        elif not self._may_leave and self.pairing.is_exporting:
            self._ask_before_leaving(
                "The comparison is still being made.", "Stop it and leave", event
            )
        elif not self._may_leave and self.made_casebook and self.made_casebook.is_busy:
            self._ask_before_leaving("The casebook is still at work.", "Stop it and leave", event)
        elif not self._may_leave and not self.keeper.flush():
            self._ask_before_leaving(
                "Your last changes are not in any file: free some space first.",
                "Leave without them",
                event,
            )
        else:
            self.exporter.close()
            self._close_casebook()
            self.pairing.close()
            self.remembered.keep_geometry(self.saveGeometry().data())
            self.keeper.forget_what_was_left()
            self.booth.close()
            self.drafting.close()
            self.card.close_threads()
            self.preview.player.close()
            self.sound.close()
            self.state.close()
            self.keeper.end()
            event.accept()

    def _close_casebook(self) -> None:
        room = self.made_casebook
        is_used = room is not None and (self.is_elsewhere or room.on_stage is not None)
        self.remembered.keep_casebook(is_used)
        if room is not None:
            room.close()

    def leave(self) -> None:
        """Close without asking: what is being exported is stopped, what can be saved is saved."""
        self._may_leave = True
        self.close()

    def _ask_before_leaving(self, sentence: str, words: str, event: QCloseEvent) -> None:
        event.ignore()
        self.bar.offer(sentence, words, self.leave)
