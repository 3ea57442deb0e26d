"""The search for a way in over cells of swings: halved until a way is sure, or sure not to be.

A cell of swings has an *inner* set of reaches, free throughout (outlines thickened by as much as
arm and outline can move against each other within the cell), and an *outer* set that contains each
reach free anywhere in it (thinned by as much). A way through inner sets is safe at every swing; no
way through outer sets means that none exists. Cells where the two disagree are halved.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from itertools import pairwise
from math import radians
from typing import TYPE_CHECKING

from underset.geometry.intervals import Interval, Union, intersect
from underset.geometry.wayin_reaches import Place, Scene, free_at, part_with

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from underset.geometry.linkage import Arm

COARSE = radians(4.0)
FINEST = radians(0.0125)
"""Decision: halving stops at 0.0125 degree, which is 0.2 mm at the end of a 1.6 m arm."""

HALVINGS = 3000

Link = tuple[int, Interval]
"""A cell by its number and one interval of its reaches."""


@dataclass(slots=True)
class Cell:
    """Swings from low to high: reaches free throughout, and reaches free somewhere.

    Both are worked out when they are first asked for: most cells are never come to.
    """

    scene: Scene
    low: float
    high: float
    throughout: Union | None = None
    somewhere: Union | None = None

    def inner(self) -> Union:
        """Reaches free at every swing of the cell."""
        if self.throughout is None:
            self.throughout = free_at(self.scene, *self._spread())
        return self.throughout

    def outer(self) -> Union:
        """Reaches that may be free at some swing of the cell."""
        if self.somewhere is None:
            middle, half = self._spread()
            self.somewhere = free_at(self.scene, middle, -half) if half else self.inner()
        return self.somewhere

    def halves(self) -> list[Cell]:
        """The two cells that together are this one."""
        middle = 0.5 * (self.low + self.high)
        return [Cell(self.scene, self.low, middle), Cell(self.scene, middle, self.high)]

    def _spread(self) -> tuple[float, float]:
        return 0.5 * (self.low + self.high), 0.5 * (self.high - self.low)


def sure_chain(
    cells: list[Cell], places: tuple[Place, Place], halvings: int = HALVINGS
) -> list[Link]:
    """Halve cells until a chain of inner sets is found, or none of outer sets is left: no link.

    No link comes back as well where nothing is sure after so many halvings. The inner sets are
    asked first: where they give a way, none of the outer sets is worked out.
    """
    for _ in range(halvings):
        ends = _ends(cells, places)
        sure = _chain(Cell.inner, cells, ends)
        if sure:
            return sure
        hoped = _chain(Cell.outer, cells, ends)
        if not hoped:
            break
        _halve_break(cells, hoped)
    return []


def cells_of(scene: Scene, arm: Arm, start: float, end: float) -> list[Cell]:
    """Cells over the whole range of swings, with start and end as exact cells of no width."""
    low, high = min(arm.swing_low, start, end), max(arm.swing_high, start, end)
    stops = sorted({low, high, start, end})
    cells = [Cell(scene, s, s) for s in stops[:1] if s in (start, end)]
    for a, b in pairwise(stops):
        count = int((b - a) / COARSE) + 1
        marks = [a + (b - a) * i / count for i in range(count)] + [b]
        cells += [Cell(scene, p, q) for p, q in pairwise(marks)]
        if b in (start, end):
            cells.append(Cell(scene, b, b))
    return cells


def _end(cells: list[Cell], place: Place) -> Link:
    """Exact cell and interval of parked or goal."""
    number = next(i for i, c in enumerate(cells) if c.low == c.high == place[0])
    part = part_with(cells[number].inner(), place[1])
    return (number, part or (place[1], place[1]))


def _ends(cells: list[Cell], places: tuple[Place, Place]) -> tuple[Link, Link]:
    return _end(cells, places[0]), _end(cells, places[1])


def _chain(
    reaches: Callable[[Cell], Union], cells: list[Cell], ends: tuple[Link, Link]
) -> list[Link]:
    """Shortest chain of overlapping intervals from start to end; empty where there is none."""
    start, end = ends
    came: dict[Link, Link | None] = {start: None}
    queue = deque([start])
    while queue:
        link = queue.popleft()
        if link == end:
            return _unwound(came, link)
        for after in _touching(reaches, cells, link):
            if after not in came:
                came[after] = link
                queue.append(after)
    return []


def _touching(reaches: Callable[[Cell], Union], cells: list[Cell], link: Link) -> Iterator[Link]:
    """Intervals of the two neighbouring cells that share a reach with this one."""
    number, (low, high) = link
    for i in (number - 1, number + 1):
        if 0 <= i < len(cells):
            yield from [(i, p) for p in reaches(cells[i]) if p[0] <= high and p[1] >= low]


def _unwound(came: dict[Link, Link | None], link: Link) -> list[Link]:
    chain = [link]
    while (before := came[chain[-1]]) is not None:
        chain.append(before)
    return chain[::-1]


def _halve_break(cells: list[Cell], hoped: list[Link]) -> None:
    """Halve the cells where the hoped chain (outer sets) is not sure (inner sets).

    Those are the first link that inner sets do not reach, the one before, and all that follow it up
    to the next link with any inner set. Where none of them may be halved further, hope is given up:
    their outer set becomes the inner.
    """
    inner = [intersect(cells[number].inner(), (part,)) for number, part in hoped]
    at, reached = 0, inner[0]
    while reached and at + 1 < len(hoped):
        at += 1
        reached = tuple([i for i in inner[at] if intersect((i,), reached)])
    end = next((i for i in range(at, len(hoped)) if inner[i]), len(hoped) - 1)
    torn = sorted({number for number, _ in hoped[at - 1 : end + 1]}, reverse=True)
    wide = [number for number in torn if cells[number].high - cells[number].low > FINEST]
    for number in wide:
        cells[number : number + 1] = cells[number].halves()
    if not wide:
        for number in torn:
            cells[number].somewhere = cells[number].inner()


def corners_of(cells: list[Cell], chain: list[Link], parked: Place, goal: Place) -> list[Place]:
    """Corners of a way through a chain of inner sets: long swings, as far in as each allows."""
    corners = [parked]
    first, reach = 0, parked[1]
    while first < len(chain):
        low, high = chain[first][1]
        last = first
        while last + 1 < len(chain):
            a, b = chain[last + 1][1]
            if max(low, a) > min(high, b):
                break
            low, high, last = max(low, a), min(high, b), last + 1
        if not low <= reach <= high:
            reach = min(max(reach, low), high)
        here = corners[-1][0]
        corners += [(here, reach), (_leave(cells, chain, last, goal), reach)]
        first = last if last + 1 < len(chain) else len(chain)
    return [*corners, goal]


def _leave(cells: list[Cell], chain: list[Link], last: int, goal: Place) -> float:
    """Swing at which a run ends: where the next cell begins, or the goal."""
    if last + 1 == len(chain):
        return goal[0]
    here, after = cells[chain[last][0]], cells[chain[last + 1][0]]
    return here.high if after.low >= here.high else here.low


def proved(cells: list[Cell], places: tuple[Place, Place]) -> bool:
    """Whether no way is left even where hope was given up."""
    for cell in cells:
        if 0.0 < cell.high - cell.low <= FINEST:
            cell.somewhere = None
    return not _chain(Cell.outer, cells, _ends(cells, places))
