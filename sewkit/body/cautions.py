"""Cautions for children's clothes and for the sheets themselves; good practice, no legal advice."""

from typing import Tuple

from sewkit.body.body import Body


def cautions(body: Body) -> Tuple[str, ...]:
    """What to say beside a child's pieces; nothing for an adult."""
    return ()
