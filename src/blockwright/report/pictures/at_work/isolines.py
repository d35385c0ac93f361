"""Lines of equal value over a grid, and the ground above a value: cell by cell, straight between the corners."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]
Corner = tuple[float, float, float]
PLACES = 9


@dataclass(frozen=True)
class Grid:
    """Values over two rising axes: `rows[j][i]` belongs to `xs[i]` and `ys[j]`."""

    xs: tuple[float, ...]
    ys: tuple[float, ...]
    rows: tuple[tuple[float, ...], ...]

    @property
    def span(self) -> tuple[float, float]:
        """The lowest and the highest value."""
        values = [value for row in self.rows for value in row]
        return min(values), max(values)

    def at(self, x: float, y: float) -> float:
        """The value at a point, straight between the corners of its cell both ways."""
        i, a = _cell(self.xs, x)
        j, b = _cell(self.ys, y)
        low = self.rows[j][i] * (1 - a) + self.rows[j][i + 1] * a
        high = self.rows[j + 1][i] * (1 - a) + self.rows[j + 1][i + 1] * a
        return low * (1 - b) + high * b

    def cells(self) -> Iterator[tuple[Corner, ...]]:
        """The corners of each cell, round about."""
        for j, (y0, y1) in enumerate(pairwise(self.ys)):
            for i, (x0, x1) in enumerate(pairwise(self.xs)):
                low, high = self.rows[j], self.rows[j + 1]
                yield (x0, y0, low[i]), (x1, y0, low[i + 1]), (x1, y1, high[i + 1]), (x0, y1, high[i])


def above(grid: Grid, level: float) -> list[list[Point]]:
    """The pieces of ground where the value is not below a level."""
    pieces = []
    for cell in grid.cells():
        if all(value >= level for _, _, value in cell):
            pieces.append([(x, y) for x, y, _ in cell])
        elif any(value >= level for _, _, value in cell):
            pieces += [kept for triangle in _triangles(cell) if len(kept := _kept(triangle, level)) > 2]
    return pieces


def _triangles(cell: Sequence[Corner]) -> Iterator[tuple[Corner, Corner, Corner]]:
    """A cell as four triangles about its middle, which has the mean of its corners."""
    (x0, y0, _), _, (x1, y1, _), _ = cell
    middle = ((x0 + x1) / 2, (y0 + y1) / 2, sum(value for _, _, value in cell) / 4)
    for k in range(4):
        yield cell[k], cell[(k + 1) % 4], middle


def _kept(triangle: Sequence[Corner], level: float) -> list[Point]:
    """What of a triangle lies above a level."""
    kept: list[Point] = []
    for a, b in _sides(triangle):
        if a[2] >= level:
            kept.append((a[0], a[1]))
        if (a[2] >= level) != (b[2] >= level):
            kept.append(_crossed(a, b, level))
    return kept


def _sides(triangle: Sequence[Corner]) -> Iterator[tuple[Corner, Corner]]:
    return zip(triangle, (*triangle[1:], triangle[0]), strict=True)


def isolines(grid: Grid, level: float) -> list[list[Point]]:
    """The lines along which the value is a level, joined as far as they run."""
    pieces = []
    for triangle in (each for cell in grid.cells() for each in _triangles(cell)):
        ends = [_crossed(a, b, level) for a, b in _sides(triangle) if (a[2] >= level) != (b[2] >= level)]
        if len(ends) == 2 and _key(ends[0]) != _key(ends[1]):
            pieces.append(ends)
    return _joined(pieces)


def _joined(pieces: Sequence[Sequence[Point]]) -> list[list[Point]]:
    """Pieces with a common end made into lines."""
    at: dict[Point, set[int]] = {}
    for index, piece in enumerate(pieces):
        for end in piece:
            at.setdefault(_key(end), set()).add(index)
    left = set(range(len(pieces)))
    lines = []
    while left:
        line = list(pieces[left.pop()])
        for _ in range(2):
            line.reverse()
            while following := at[_key(line[-1])] & left:
                index = following.pop()
                left.remove(index)
                a, b = pieces[index]
                line.append(b if _key(a) == _key(line[-1]) else a)
        lines.append(line)
    return lines


def _crossed(a: Corner, b: Corner, level: float) -> Point:
    """Where the edge between two corners has the level; the same whichever way the edge is taken."""
    a, b = sorted((a, b))
    share = (level - a[2]) / (b[2] - a[2])
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _key(point: Point) -> Point:
    return round(point[0], PLACES), round(point[1], PLACES)


def _cell(values: Sequence[float], value: float) -> tuple[int, float]:
    """The step of an axis in which a value lies, and how far in it."""
    index = max(0, min(sum(each <= value for each in values) - 1, len(values) - 2))
    return index, (value - values[index]) / (values[index + 1] - values[index])
