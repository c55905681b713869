"""A swing from size to size, as one would say it at the table."""

from typing import Sequence, Tuple

from sewkit.pattern.swing import Window


def ends_in_words(window: Window, whole: float, until: str, since: str) -> Tuple[str, str]:
    """Where a swing leaves the old line and where it arrives.

    Args:
        whole: the edge's length (mm).
        until: the landmark that was asked for; empty for none.
        since: the landmark at which the swing before it arrived; empty for none.
    """
    start = _landmark(since) if since else "{:.0f} mm below its upper end".format(window.start)
    if until:
        return start, _landmark(until)
    at_end = window.stop >= whole - 1.0
    return start, "its lower end" if at_end else "{:.0f} mm below its upper end".format(window.stop)


def _landmark(until: str) -> str:
    return "{} below its upper end".format(until) if until[:1].isdigit() else "the " + until


def swing_sentence(
    start: str,
    stop: str,
    edge: str,
    swinging: Sequence[str],
    following: Sequence[str],
    first: str,
    second: str,
    share: float,
) -> str:
    """What was done on which pieces; those that follow have no such edge."""
    by = "" if share == 1.0 else " by {:.0f} %".format(share * 100)
    text = "From {} to {}, the {} of {} swings from size {} to size {}{}.".format(
        start, stop, edge, " and ".join(swinging), first, second, by
    )
    if following:
        verb = "follows" if len(following) == 1 else "follow"
        text += " {} {} at the same height.".format(" and ".join(following), verb)
    return text
