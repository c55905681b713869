"""Ways along the lines of a sheet, from the end of a size's own line back to its start."""

import heapq
from typing import Dict, List, Optional, Sequence, Set, Tuple

from sewkit.sheet.nest_graph import EVERYBODY, NOBODY, Graph

# What a millimetre on the way costs: along a size's own line next to nothing, along lines
# of all sizes the plain length, along another size a little more; a gap of one millimetre
# as much as a detour of thirty.
_OWN, _ALL, _OTHER, _GAP = 0.02, 1.0, 1.05, 30.0
# What it costs to turn off a line half-way (mm); the second is tried where the first gives
# no full outline.
TURNS = (1000.0, 0.0)
# Where more links than this meet is a hatch, and no corner of a piece: twenty sizes that
# share a point leave it by forty.
_CROWD = 60

# A link of the graph, and whether it is passed from its first node to its second.
Step = Tuple[int, bool]


class Search:
    """Finds ways over a graph.

    Args:
        owner: for each line the number of its group, ``EVERYBODY`` or ``NOBODY``.
        apart: a group is one size: its own lines are favoured, and gaps are bridged only
            between them and lines of all sizes.
        sure: as in ``nest_close.close``.
        hidden: for each line whether the file hides it; no way of lines that are seen takes one.
    """

    def __init__(
        self, graph: Graph, owner: Sequence[int], apart: bool, sure: bool, hidden: Sequence[bool] = ()
    ) -> None:
        self.shut: Set[int] = set()
        self.unseen = {number for number, one in enumerate(hidden) if one}
        self.graph, self.apart, self.sure = graph, apart, sure
        self.whose = [owner[link.line] if link.line >= 0 else NOBODY for link in graph.links]
        self.beside = [tuple(owner[n] for n in link.beside if n >= 0) for link in graph.links]
        self.nodes = [(link.first, link.second) for link in graph.links]
        self.sizes = [float(link.size) for link in graph.links]
        self.lines = [link.line for link in graph.links]
        ends = graph.ends
        self.at_end = [
            tuple(node in ends.get(link.line, ()) for node in (link.first, link.second))
            for link in graph.links
        ]

    def ways(self, mine: Set[int], first: int, last: int, owner: int, turn: float) -> List[List[Step]]:
        """Ways from node ``last`` to node ``first``: the cheapest by every link it can leave by.

        ``mine``: lines already in the outline; no way passes over any of them.  ``turn``:
        what it costs to turn off a line half-way.
        """
        barred = set().union(*(self.graph.on[line] for line in mine)) - {first}
        self.shut = set() if mine & self.unseen else self.unseen
        if all(self.lines[number] in mine for number in self.graph.at[first]):
            return []
        found: List[List[Step]] = []
        if len(self.graph.at[last]) > _CROWD:
            return found
        for number in self.graph.at[last]:
            forward = self.nodes[number][0] == last
            node = self.nodes[number][1 if forward else 0]
            if self.lines[number] in mine or node in barred or not self._may(number, owner):
                continue
            way = self._way((number, forward), first, barred, owner, turn)
            if way is not None and way not in found:
                found.append(way)
        return found

    def _may(self, number: int, owner: int) -> bool:
        """Gaps are bridged only between lines of the size or of all sizes; what is shut is not passed."""
        if self.lines[number] in self.shut or self.shut.intersection(self.graph.links[number].beside):
            return False
        if self.lines[number] >= 0 or (self.apart and not self.sure):
            return True
        return all(whose in (owner, EVERYBODY) for whose in self.beside[number])

    def _cost(self, number: int, owner: int) -> float:
        if self.lines[number] < 0:
            return _GAP * self.sizes[number]
        whose = self.whose[number]
        if whose == owner and self.apart and self.sure:
            return _OWN * self.sizes[number]
        return (_ALL if whose == EVERYBODY else _OTHER) * self.sizes[number]

    def _turns_off(self, step: Step, following: Step, owner: int) -> bool:
        """Whether a way turns off one line into another half-way along it.

        Only onto a size's own line, at its end, is that the thing to do.
        """
        (one, forward), (two, onward) = step, following
        if self.lines[one] == self.lines[two] or min(self.lines[one], self.lines[two]) < 0:
            return False
        at_end = self.at_end[one][1 if forward else 0], self.at_end[two][0 if onward else 1]
        if self.apart and owner in (self.whose[one], self.whose[two]):
            return (self.whose[one] == owner and not at_end[0]) or (
                self.whose[two] == owner and not at_end[1]
            )
        return not (at_end[0] and at_end[1])

    def _way(self, start: Step, goal: int, barred: Set[int], owner: int, turn: float) -> Optional[List[Step]]:
        """The cheapest way that begins with a step and ends at a node (Dijkstra 1959)."""
        nodes, at = self.nodes, self.graph.at
        best: Dict[Step, float] = {start: 0.0}
        came: Dict[Step, Step] = {}
        queue = [(0.0, start)]
        while queue:
            cost, step = heapq.heappop(queue)
            node = nodes[step[0]][1 if step[1] else 0]
            if node == goal:
                return _traced(came, step)
            if cost > best[step]:
                continue
            for number in at[node]:
                forward = nodes[number][0] == node
                if nodes[number][1 if forward else 0] in barred or number == step[0]:
                    continue
                if not self._may(number, owner):
                    continue
                ahead = (number, forward)
                reached = cost + self._cost(number, owner)
                if turn and reached < best.get(ahead, reached + 1.0):
                    reached += turn if self._turns_off(step, ahead, owner) else 0.0
                if reached < best.get(ahead, float("inf")):
                    best[ahead] = reached
                    came[ahead] = step
                    heapq.heappush(queue, (reached, ahead))
        return None


def _traced(came: Dict[Step, Step], step: Step) -> List[Step]:
    way = [step]
    while step in came:
        step = came[step]
        way.append(step)
    return way[::-1]
