"""The pages at the desk's right side: one at a time, each made when it is first asked for."""

from __future__ import annotations

from typing import Literal, TypeAlias

from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtWidgets import QWidget

from cliptag.desk.clip_page import ClipPage
from cliptag.desk.commands import Commands
from cliptag.desk.help import KeysPage
from cliptag.desk.movement import MovementPage
from cliptag.desk.parts import leave_files_to_the_window
from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.preferences_page import PreferencesPage
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.side_panel import SidePanel
from cliptag.desk.stage import StageView
from cliptag.desk.state import DeskState

PageName: TypeAlias = Literal["clip", "keys", "preferences", "movement", "methods", "cover"]


class Pages(QObject):
    """About the clip, the movement, reference methods, the list of keys, the preferences."""

    changed = pyqtSignal()
    """A page was opened or closed."""

    def __init__(
        self,
        state: DeskState,
        reviewing: Reviewing,
        preferences: PreferenceStore,
        commands: Commands,
        host: QWidget,
        foot: QWidget,
        stage: StageView,
    ) -> None:
        """``foot`` is the row of the host under the picture, above the strip."""
        super().__init__(host)
        self._state, self._reviewing, self._preferences = state, reviewing, preferences
        self._commands, self._host, self._foot = [commands], host, foot
        self._stage = stage
        self._made: dict[PageName, SidePanel] = {}

    @property
    def shown(self) -> tuple[SidePanel, ...]:
        """The page that is open, if one is."""
        return tuple(page for page in self._made.values() if page.isVisible())

    @property
    def width(self) -> int:
        """The width at the right over which a page lies; 0 without one."""
        return max((page.width() for page in self.shown), default=0)

    @property
    def covered(self) -> int:
        """The width at the right that a page covers while the coach works on beside it."""
        page = self._made.get("movement")
        return page.width() if page is not None and page.isVisible() else 0

    @property
    def taken(self) -> int:
        """The width at the right that the stage leaves to a page."""
        page = self._made.get("cover")
        return page.width() if page is not None and page.isVisible() else 0

    def toggle(self, name: PageName) -> None:
        """Open a page in place of any other, or close it if it is open."""
        page = self.page(name)
        was_open = page.isVisible()
        self.put_away()
        if not was_open:
            page.bring()

    def put_away(self) -> bool:
        """Close the open page; gives whether one was open."""
        shown = self.shown
        for page in shown:
            page.put_away()
        return bool(shown)

    def page(self, name: PageName) -> SidePanel:
        """A page, open or not."""
        if name not in self._made:
            self._made[name] = self._make(name)
            self._made[name].brought.connect(self.changed)
            self._made[name].closed.connect(self.changed)
            leave_files_to_the_window(self._made[name])
        return self._made[name]

    def add_commands(self, commands: Commands) -> None:
        """List the keys of another part of the desk too."""
        self._commands.append(commands)
        made = self._made.pop("keys", None)
        if made is not None:
            made.put_away()
            made.deleteLater()

    def _make(self, name: PageName) -> SidePanel:
        if name == "clip":
            return ClipPage(self._state, self._host)
        if name == "movement":
            return MovementPage(self._state, self._reviewing, self._host, self._foot)
        if name == "methods":
            # Loaded here: the desk's start need not wait for tables that few ask for.
            from cliptag.desk.methods import MethodsPage

            return MethodsPage(self._state, self._reviewing, self._host, self._foot)
        if name == "cover":
            from cliptag.desk.cover import CoverPage

            make = self._commands[0].action("take_home_covered")
            return CoverPage(self._state, self._stage, make, self._host, self._foot)
        if name == "keys":
            return KeysPage(self._commands, self._host)
        return PreferencesPage(self._preferences, self._host)
