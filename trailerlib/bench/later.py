"""What may wait a little, so that what matters most is on the screen first."""

from __future__ import annotations

import asyncio
from collections.abc import Callable


class Later:
    """Things to do a little later, by name: of many of one name in a row only the last is done."""

    def __init__(self) -> None:
        self._waiting: dict[str, asyncio.TimerHandle] = {}

    def do(self, name: str, delay_s: float, work: Callable[[], None]) -> None:
        """Do it after a while, in place of what waits under that name; at once where nothing runs later.

        Parameters
        ----------
        name : what is done
        delay_s : [s] after how long
        work : what to call
        """
        earlier = self._waiting.pop(name, None)
        if earlier is not None:
            earlier.cancel()
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            work()
        else:
            self._waiting[name] = loop.call_later(delay_s, work)

    def drop(self) -> None:
        """Do nothing of what still waits."""
        for handle in self._waiting.values():
            handle.cancel()
