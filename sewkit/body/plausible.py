"""What is doubtful in a body's measures, one sentence a doubt."""

from typing import NamedTuple, Optional, Tuple

from sewkit.body.body import Body


class Doubt(NamedTuple):
    """Something to look at before cloth is cut by it.

    Args:
        code: a short stable name.
        text: one sentence that names the measures, with their numbers, and what to do.
        measures: the names of those measures.
        holds: whether nothing is made for this body until somebody has looked.
    """

    code: str
    text: str
    measures: Tuple[str, ...]
    holds: bool


def doubts(body: Body, last: Optional[Body] = None) -> Tuple[Doubt, ...]:
    """All doubts about a body; ``last``: the sheet of the time before."""
    return ()
