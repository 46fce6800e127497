"""Every error that cliptag raises on purpose.

CliptagError
  ClipError            a clip can't be read
    ClipNotFoundError  there is no such file              (also FileNotFoundError)
  ReviewError          a review can't be used
    ReviewFormatError  a review file is damaged           (also ValueError)
    ReviewSchemaError  a review file is of another schema (also ValueError)
  MeasureError         a number can't be computed         (also ValueError)
    TrackingCancelled  the person stopped it
  VoiceError           a take can't be recorded, read or turned into words
  CaptionError         a caption file can't be used       (also ValueError)
  CoverError           faces can't be found or covered
    CoverCancelled     the person stopped the search
  PairingError         two reviews can't be compared   (also ValueError)
  ExportError          a take-home can't be written
    ExportCancelled    the person stopped it
    ConsentError       the client's consent doesn't cover it
    UncoveredError     a face might be open in it
  CasebookError        the casebook can't be used as asked
    CasebookSchemaError  a newer program wrote it         (also ValueError)

Each carries one plain sentence: what is wrong, and what to do next. The command line and the
window print that sentence and nothing else.
"""

from __future__ import annotations


class CliptagError(Exception):
    """Root of all errors raised on purpose; ``str(error)`` is a sentence for a person."""


class ClipError(CliptagError):
    """A clip can't be read."""


class ClipNotFoundError(ClipError, FileNotFoundError):
    """There is no file at the given path."""

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else ""


class ReviewError(CliptagError):
    """A review can't be used as asked."""


class ReviewFormatError(ReviewError, ValueError):
    """A review file is damaged: the sentence names the line or the field."""


class ReviewSchemaError(ReviewError, ValueError):
    """A review file was written for another schema number than this program knows."""


class MeasureError(CliptagError, ValueError):
    """A number can't be computed from these points."""


class TrackingCancelled(MeasureError):  # noqa: N818 - it is a wish, not a fault
    """The person stopped following points through the clip."""


class VoiceError(CliptagError):
    """A take can't be recorded, read or turned into words."""


class CaptionError(CliptagError, ValueError):
    """A caption file can't be used."""


class CoverError(CliptagError):
    """Faces can't be found or covered as asked."""


class CoverCancelled(CoverError):  # noqa: N818 - it is a wish, not a fault
    """The person stopped the search for faces."""


class PairingError(CliptagError, ValueError):
    """Reviews can't be compared as asked."""


class ExportError(CliptagError):
    """A take-home can't be written."""


class ExportCancelled(ExportError):  # noqa: N818 - it is a wish, not a fault
    """The person stopped the export; nothing was left behind."""


class ConsentError(ExportError):
    """The client's consent doesn't cover what was asked; nothing was made."""


class UncoveredError(ExportError):
    """Faces are to be covered, and on some frames nobody knows whether they are."""


class CasebookError(CliptagError):
    """The casebook can't be used as asked; what is in it is as it was."""


class CasebookSchemaError(CasebookError, ValueError):
    """A casebook was written by a newer cliptag."""
