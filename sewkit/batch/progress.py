"""How far a cast has come, on one line of a terminal, with the time that remains."""

import sys
import time
from typing import Any, Callable, Optional

# Told when so many rows are done of so many, with what the last one was.
Told = Callable[[int, int, str], None]


class Progress:
    """Tells on standard error while somebody watches; otherwise it is silent.

    Args:
        of: how many rows there are to do.
        shown: whether to tell; None asks whether standard error is a terminal.
    """

    def __init__(self, of: int, shown: Optional[bool] = None) -> None:
        self._of = of
        self._shown = sys.stderr.isatty() if shown is None else shown
        self._began = time.monotonic()
        self._bar: Any = None

    def __enter__(self) -> "Progress":
        if self._shown and self._of:
            self._bar = _rich_bar(self._of)
            if self._bar is not None:
                self._bar.start()
            self.tell(0, "")
        return self

    def __exit__(self, *_: Any) -> None:
        if self._bar is not None:
            self._bar.stop()
        elif self._shown and self._of:
            print("\r{:<70}\r".format(""), end="", file=sys.stderr, flush=True)

    def tell(self, done: int, what: str) -> None:
        """Tell that so many are done, ``what`` the last."""
        if not (self._shown and self._of):
            return
        if self._bar is not None:
            self._bar.update(self._bar.task_ids[0], completed=done)
            return
        text = remaining(done, self._of, time.monotonic() - self._began)
        text += ", {} is done".format(what) if what else ""
        print("\r{:<70}".format(text[:70]), end="", file=sys.stderr, flush=True)


def remaining(done: int, of: int, seconds: float) -> str:
    """ "4 of 12 done, about 20 s to go"; the time once there is something to judge it by."""
    text = "{} of {} done".format(done, of)
    if not done or done >= of:
        return text
    left = seconds / done * (of - done)
    if left < 90:
        return "{}, about {:.0f} s to go".format(text, max(left, 1.0))
    return "{}, about {:.0f} min to go".format(text, left / 60)


def _rich_bar(of: int) -> Any:
    """A bar where the extra ``progress`` is installed; None elsewhere."""
    try:
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
        from rich.progress import Progress as Bar
    except ImportError:
        return None
    columns = (TextColumn("packs"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    bar = Bar(*columns, console=Console(stderr=True), transient=True)
    bar.add_task("packs", total=of)
    return bar
