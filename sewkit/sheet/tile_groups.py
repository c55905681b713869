"""Which pages may be tiles of one sheet: of one size, and labelled as one set."""

from collections import Counter
from typing import Dict, List, Sequence, Tuple

from sewkit.sheet.drawn import Page
from sewkit.sheet.tile_labels import restarts

Groups = Tuple[Tuple[int, ...], ...]  # indexes of pages; every page is in one group

# Pages that differ by less are of one size (mm): what producers round, and a printer's whims.
# Papers that people print on differ by more: A4 and Letter by 5.9 and 17.6.
ONE_SIZE = 3.0


def same_size(pages: Sequence[Page]) -> Groups:
    """Pages of one size together, in the order of their first pages."""
    sizes = Counter((round(page.width, 1), round(page.height, 1)) for page in pages)
    leaders: List[Tuple[float, float]] = []
    for size, _ in sizes.most_common():
        if not any(_near(size, leader) for leader in leaders):
            leaders.append(size)
    found: Dict[Tuple[float, float], List[int]] = {}
    for number, page in enumerate(pages):
        size = (page.width, page.height)
        # Rounding may put a page just out of reach of the size it was counted with.
        leader = min(leaders, key=lambda one: abs(one[0] - size[0]) + abs(one[1] - size[1]))
        found.setdefault(leader, []).append(number)
    return tuple(tuple(group) for group in found.values())


def _near(one: Tuple[float, float], other: Tuple[float, float]) -> bool:
    return abs(one[0] - other[0]) <= ONE_SIZE and abs(one[1] - other[1]) <= ONE_SIZE


def page_groups(pages: Sequence[Page]) -> Groups:
    """Pages of one size; apart where their labels begin anew, as those of a second pattern do."""
    found: List[Tuple[int, ...]] = []
    for members in same_size(pages):
        starts = restarts(pages, members)
        stops = starts[1:] + (len(members),)
        found += [members[start:stop] for start, stop in zip(starts, stops)]
    return tuple(found)


def usual_page(pages: Sequence[Page], members: Sequence[int]) -> Page:
    """A page of the size that most of a group have."""
    sizes = Counter((round(pages[n].width, 1), round(pages[n].height, 1)) for n in members)
    size = sizes.most_common(1)[0][0]
    return next(pages[n] for n in members if (round(pages[n].width, 1), round(pages[n].height, 1)) == size)
