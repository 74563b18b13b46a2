"""What may wait a little, so that what matters most is on the screen first."""

from __future__ import annotations

import asyncio
import gc
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager


class Later:
    """Things to do a little later, by name: of many of one name in a row only the last is done.

    Moves may come on several threads, each with a loop of its own: the first of a page on the kernel's main one, those
    after it on another. So nothing is cancelled: what waits finds, when its time has come, that it is not the last any
    more.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._last: dict[str, object] = {}

    def do(self, name: str, delay_s: float, work: Callable[[], None]) -> None:
        """Do it after a while, in place of what waits under that name; at once where nothing runs later.

        Parameters
        ----------
        name : what is done
        delay_s : [s] after how long
        work : what to call
        """
        if not self.perhaps(name, delay_s, work):
            work()

    def perhaps(self, name: str, delay_s: float, work: Callable[[], None]) -> bool:
        """The same of what need not be done: not at all where nothing runs later.

        Parameters
        ----------
        name : what is done
        delay_s : [s] after how long
        work : what to call

        Returns
        -------
        Whether it will be.
        """
        mine = object()
        with self._lock:
            self._last[name] = mine
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return False
        loop.call_later(delay_s, self._if_last, name, mine, work)
        return True

    def drop(self) -> None:
        """Do nothing of what still waits."""
        with self._lock:
            self._last.clear()

    def _if_last(self, name: str, mine: object, work: Callable[[], None]) -> None:
        with self._lock:
            last = self._last.get(name) is mine
        if last:
            work()


@contextmanager
def undisturbed() -> Iterator[None]:
    """Rubbish is collected afterwards: in a kernel with many libraries it can take longer than the answer itself."""
    on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if on:
            gc.enable()
