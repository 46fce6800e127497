"""Covering faces on the desk: what was found, what is in doubt, and placing by hand."""

from cliptag.desk.cover.page import CoverPage

__all__ = ["CoverPage"]
