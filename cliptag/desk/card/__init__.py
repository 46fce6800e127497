"""The card in which a note is written, and the one for the general impression."""

from cliptag.desk.card.impression import ImpressionCard
from cliptag.desk.card.note_card import NoteCard
from cliptag.desk.card.tips import KeyedTip

__all__ = ["ImpressionCard", "KeyedTip", "NoteCard"]
