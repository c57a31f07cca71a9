"""Things that may wait until a control is let go."""

import asyncio
from collections.abc import Callable


class Later:
    """Does something once, when nobody has asked for it again for a while.

    Without an event loop, as in a plain script, it is done at once.
    """

    def __init__(self, action: Callable[[], None], after_s: float) -> None:
        self._action, self._after_s = action, after_s
        self._due: asyncio.TimerHandle | None = None

    def ask(self) -> None:
        """Ask for it; what was asked before is put off."""
        self.forget()
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self._action()
            return
        self._due = loop.call_later(self._after_s, self.now)

    def now(self) -> None:
        """Do it now."""
        self.forget()
        self._action()

    def forget(self) -> None:
        """Do not do it."""
        if self._due is not None:
            self._due.cancel()
            self._due = None
