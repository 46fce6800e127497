"""A thread in which only the newest of several wishes is fulfilled."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from typing import Generic, TypeVar

_Wish = TypeVar("_Wish")


class NewestWish(Generic[_Wish]):
    """Calls ``fulfil`` with wishes, one after the other, in a thread of its own.

    A wish that is still waiting when another one comes is forgotten. ``at_end`` is called in the
    thread as the last thing. A bug in either is told as of any thread, and this one lives on.
    """

    def __init__(
        self,
        name: str,
        fulfil: Callable[[_Wish], None],
        at_end: Callable[[], None] = lambda: None,
    ) -> None:
        self._fulfil = fulfil
        self._at_end = at_end
        self._wake = threading.Condition()
        self._waiting: list[_Wish] = []
        self._is_closing = False
        self._is_busy = False
        self._thread = threading.Thread(target=self._run, name=name, daemon=True)
        self._thread.start()

    @property
    def is_closing(self) -> bool:
        return self._is_closing

    @property
    def is_running(self) -> bool:
        """Whether its thread has not ended yet."""
        return self._thread.is_alive()

    @property
    def is_waiting(self) -> bool:
        """Whether a newer wish waits for the present one to be done."""
        return bool(self._waiting)

    @property
    def is_busy(self) -> bool:
        """Whether any wish waits or is being fulfilled."""
        return self._is_busy or self.is_waiting

    def ask(self, wish: _Wish) -> None:
        """Have this fulfilled, unless another wish comes before its turn."""
        with self._wake:
            self._waiting[:] = [wish]
            self._wake.notify()

    def end(self) -> None:
        """Forget what waits; the thread ends by itself when it is done with the present wish."""
        with self._wake:
            self._is_closing = True
            self._waiting.clear()
            self._wake.notify()

    def close(self) -> None:
        """End, and wait for the thread."""
        self.end()
        self._thread.join()

    def _run(self) -> None:
        while True:
            with self._wake:
                self._is_busy = False
                self._wake.wait_for(lambda: self._is_closing or bool(self._waiting))
                if self._is_closing:
                    break
                wish = self._waiting.pop()
                self._is_busy = True
            self._guarded(lambda wish=wish: self._fulfil(wish))  # type: ignore[misc]
        self._guarded(self._at_end)

    def _guarded(self, call: Callable[[], None]) -> None:
        try:
            call()
        except Exception:
            caught = *sys.exc_info(), threading.current_thread()
            threading.excepthook(threading.ExceptHookArgs(caught))
