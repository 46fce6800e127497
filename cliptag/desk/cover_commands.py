"""What commands do to the covered areas; the page is opened for it where it isn't."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cliptag.desk.cover import CoverPage
    from cliptag.desk.pages import Pages


class CoverCommands:
    """The page comes when it is first asked for."""

    def __init__(self, pages: Callable[[], Pages]) -> None:
        self._pages = pages

    def place_head(self) -> None:
        """Cover a head on the shown frame."""
        self._brought().place_new("head")

    def place_other(self) -> None:
        """Cover something on the shown frame that nobody shall see."""
        self._brought().place_new("other")

    def to_next(self) -> None:
        """Show the next stretch to look at."""
        self._brought().model.next_doubt()

    def is_fine(self) -> None:
        """The stretch that is shown has no open face."""
        self._brought().model.is_fine()

    def _brought(self) -> CoverPage:
        from cliptag.desk.cover import CoverPage

        page = self._pages().page("cover")
        assert isinstance(page, CoverPage)
        if not page.isVisible():
            self._pages().toggle("cover")
        return page
