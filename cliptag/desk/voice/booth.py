"""Speaking notes: which take is being recorded, for which note, and what becomes of it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Final, Literal

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.bug_log import log_bug
from cliptag.clip import digest_of
from cliptag.desk.document import Document
from cliptag.desk.state import DeskState
from cliptag.desk.voice.input import NO_MICROPHONE, SoundInput, open_input
from cliptag.desk.voice.recording import Recording
from cliptag.errors import CliptagError, ReviewError, VoiceError
from cliptag.review import Note, Review, Voice, edit
from cliptag.voice import (
    LogEntry,
    Piece,
    PlayheadLog,
    finish_take,
    left_takes,
    new_take,
    path_of_take,
    pieces_of,
    read_log,
    speech_spans,
    take_length_us,
    voice_folder,
)

RUNNING_NAME: Final = "commentary"
"""What a take over the whole clip is called."""


class Booth(QObject):
    """Records takes for the review on the desk.

    What is recorded belongs to the document that was on the desk when it began, also when another
    one is opened meanwhile.
    """

    changed = pyqtSignal()
    """``state`` is another."""
    heard_level = pyqtSignal(object)

    _cut = pyqtSignal(object, object, object, str)

    def __init__(
        self,
        state: DeskState,
        fresh_note: Callable[[int], Note],
        parent: QObject | None = None,
        *,
        open_microphone: Callable[[str], SoundInput | None] = open_input,
    ) -> None:
        """``fresh_note`` gives an empty note from a time of the clip on."""
        super().__init__(parent)
        self._desk = state
        self._fresh_note = fresh_note
        self._open_microphone = open_microphone
        self._recording: Recording | None = None
        self._log: PlayheadLog | None = None
        self._note_id: str | None = None
        self._document: Document | None = None
        self._is_cutting = False
        self._threads: list[threading.Thread] = []
        self.microphone = ""
        """The name of the one to use; empty: the system's usual one."""
        state.opened.connect(self._opened)
        self._cut.connect(self._take_pieces)

    @property
    def state(self) -> Literal["idle", "note", "running", "cutting"]:
        """What it is doing."""
        if self._recording is not None:
            return "running" if self._log is not None else "note"
        return "cutting" if self._is_cutting else "idle"

    @property
    def note_id(self) -> str | None:
        """The note that is being spoken."""
        return self._note_id

    @property
    def length_us(self) -> int:
        """How much of the present take is recorded."""
        return self._recording.now_us if self._recording else 0

    def toggle_note(self) -> None:
        """Speak the chosen note, or a new one about the shown frame; or stop."""
        if self._recording is not None:
            self.stop()
            return
        document = self._desk.document
        if document is None:
            return
        self._desk.playhead.pause()
        note = self._desk.chosen_note
        if note is None:
            note = self._fresh_note(self._desk.playhead.time_us)
            document.do(edit.with_note(document.review, note), "new spoken note")
            self._desk.choose(note.id)
        if self._begin(document, note.id) is not None:
            self._note_id = note.id
            self.changed.emit()

    def toggle_running(self) -> None:
        """Speak over the whole clip, while it plays and stands still at will; or stop."""
        if self._recording is not None:
            self.stop()
            return
        document = self._desk.document
        recording = None if document is None else self._begin(document, RUNNING_NAME)
        if recording is None:
            return
        self._log = PlayheadLog(recording.path)
        playhead = self._desk.playhead
        for signal in (playhead.jumped, playhead.playing_changed, playhead.speed_changed):
            signal.connect(self._note_what_is_shown)
        self._desk.rung_changed.connect(self._note_what_is_shown)
        self._desk.choose(None)
        self._note_what_is_shown()
        self._desk.say(
            "Speak while the clip plays or stands still: each pause ends a note, on the place that "
            "is chosen as you begin it."
        )
        self.changed.emit()

    def stop(self) -> None:
        """End the present take."""
        if self._recording is not None:
            self._recording.stop()

    def recover(self) -> int:
        """Keep what a crash left of this review's takes; gives how many there were."""
        document = self._desk.document
        if document is None:
            return 0
        found = 0
        for recording in left_takes(voice_folder(document.path)):
            try:
                take = finish_take(recording)
            except VoiceError as error:
                self._desk.warned.emit(str(error))
                continue
            if take is not None:
                found += 1
                self._adopt(document, take)
        return found

    def close(self) -> None:
        """End the present take and wait for all of it."""
        if self._recording is not None:
            self._recording.close()
        for thread in self._threads:
            thread.join()

    def _begin(self, document: Document, name: str) -> Recording | None:
        microphone = self._open_microphone(self.microphone)
        if microphone is None:
            self._desk.warned.emit(NO_MICROPHONE)
            return None
        try:
            path = new_take(voice_folder(document.path), name)
            recording = Recording(microphone, path, self)
        except VoiceError as error:
            self._desk.warned.emit(str(error))
            return None
        recording.heard_level.connect(self.heard_level)
        recording.failed.connect(self._desk.warned)
        recording.ended.connect(self._ended)
        self._recording, self._document = recording, document
        if not recording.begin():
            self._desk.warned.emit(
                f"The microphone {microphone.name} can't be used: another program may hold it, or "
                "the system doesn't allow it. Choose another one."
            )
        return recording

    def _opened(self) -> None:
        if self._document is not self._desk.document:
            self.stop()

    def _note_what_is_shown(self) -> None:
        recording, log = self._recording, self._log
        if recording is None or log is None:
            return
        playhead = self._desk.playhead
        log.add(
            LogEntry(
                take_us=recording.now_us,
                clip_us=max(0, playhead.clock_us),
                speed=playhead.speed if playhead.is_playing else 0.0,
                region=self._desk.rung,
            )
        )

    def _ended(self, take: Path | None) -> None:
        recording, document, note_id = self._recording, self._document, self._note_id
        log, self._log = self._log, None
        self._recording = self._document = self._note_id = None
        if log is not None:
            log.close()
            playhead = self._desk.playhead
            for signal in (playhead.jumped, playhead.playing_changed, playhead.speed_changed):
                signal.disconnect(self._note_what_is_shown)
            self._desk.rung_changed.disconnect(self._note_what_is_shown)
        if recording is not None:
            recording.deleteLater()
        if take is not None and document is self._desk.document and document is not None:
            if log is not None:
                self._cut_into_notes(document, take)
            elif note_id is not None:
                self._give(document, note_id, take)
            if recording is not None and recording.was_clipped:
                self._desk.warned.emit(
                    "The voice was too loud in places and is distorted there: turn the microphone "
                    "down or go farther from it, and speak it again."
                )
        self.changed.emit()

    def _adopt(self, document: Document, take: Path) -> None:
        """Give a take that a crash left to its note, where that has none; else only keep it."""
        name = take.stem.rsplit("-", 1)[0]
        if name == RUNNING_NAME:
            self._cut_into_notes(document, take)
            return
        note = next((n for n in document.review.notes if n.id == name), None)
        if note is not None and note.voice is None:
            self._give(document, note.id, take)

    def _give(self, document: Document, note_id: str, take: Path) -> None:
        try:
            voice = voice_of(take, document.path)
            document.do(edit.with_voice(document.review, note_id, voice), "speak note")
        except CliptagError as error:
            self._desk.warned.emit(f"{error} What you said is in {take}.")

    def _cut_into_notes(self, document: Document, take: Path) -> None:
        duration_us = self._desk.clip.duration_us if self._desk.clip else 0

        def work() -> None:
            pieces: tuple[Piece, ...] = ()
            trouble = ""
            try:
                spans = speech_spans(take, take_length_us(take))
                pieces = pieces_of(spans, read_log(take), duration_us)
            except CliptagError as error:
                trouble = str(error)
            except Exception:
                trouble = log_bug()
            self._cut.emit(document, take, pieces, trouble)

        self._is_cutting = True
        thread = threading.Thread(target=work, name="desk pauses", daemon=True)
        self._threads.append(thread)
        thread.start()

    def _take_pieces(
        self, document: Document, take: Path, pieces: tuple[Piece, ...], trouble: str
    ) -> None:
        self._is_cutting = False
        self.changed.emit()
        if document is not self._desk.document:
            return
        if trouble or not pieces:
            nothing = f"No speech was heard in the recording; it is kept as {take.name}."
            self._desk.warned.emit(trouble or nothing)
            return
        try:
            review = self._with_pieces(document.review, document.path, take, pieces)
        except CliptagError as error:
            self._desk.warned.emit(str(error))
            return
        document.do(review, "spoken commentary")
        count = len(pieces)
        self._desk.say(f"Your commentary became {count} spoken note{'s' * (count != 1)}.")

    def _with_pieces(
        self, review: Review, review_path: Path, take: Path, pieces: tuple[Piece, ...]
    ) -> Review:
        path, digest = path_of_take(take, review_path), digest_of(take)
        for piece in pieces:
            voice = Voice(
                path=path,
                start_us=piece.start_us,
                end_us=piece.end_us,
                digest=digest,
                is_over_play=piece.is_over_play,
            )
            note = self._fresh_note(piece.clip_start_us)
            review = edit.with_note(review, note)
            review = edit.with_note_fields(
                review,
                note.id,
                region=piece.region,
                end_us=max(piece.clip_start_us, piece.clip_end_us),
                voice=voice,
            )
        return review


def voice_of(take: Path, review_path: Path) -> Voice:
    """All of a take. Raises VoiceError, ClipError or ReviewError."""
    length_us = take_length_us(take)
    try:
        return Voice(
            path=path_of_take(take, review_path),
            start_us=0,
            end_us=length_us,
            digest=digest_of(take),
        )
    except ValueError as error:
        raise ReviewError(f"The take {take.name} can't be used: {error}.") from error
