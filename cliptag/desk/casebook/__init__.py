"""The casebook on the desk: what a day asks, clients, their weeks, consent and clips."""

from cliptag.desk.casebook.room import CasebookRoom

__all__ = ["CasebookRoom"]
