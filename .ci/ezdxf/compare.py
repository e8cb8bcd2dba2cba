"""Distance between two sets of polylines."""
import math


class Segments:
    """Line segments in square cells."""

    def __init__(self, polylines, cell):
        self.cell = cell
        self.cells = {}
        for points, closed in polylines:
            pairs = list(zip(points, points[1:]))
            if closed and len(points) > 1:
                pairs.append((points[-1], points[0]))
            for a, b in pairs:
                steps = max(1, math.ceil(max(abs(b[0] - a[0]), abs(b[1] - a[1])) / cell * 2))
                seen = set()
                for i in range(steps + 1):
                    x = a[0] + (b[0] - a[0]) * i / steps
                    y = a[1] + (b[1] - a[1]) * i / steps
                    key = (math.floor(x / cell), math.floor(y / cell))
                    for dx in (-1, 0, 1):
                        for dy in (-1, 0, 1):
                            k = (key[0] + dx, key[1] + dy)
                            if k not in seen:
                                seen.add(k)
                                self.cells.setdefault(k, []).append((a, b))

    def distance(self, p):
        best = math.inf
        for a, b in self.cells.get((math.floor(p[0] / self.cell), math.floor(p[1] / self.cell)), ()):
            dx, dy = b[0] - a[0], b[1] - a[1]
            q = dx * dx + dy * dy
            t = 0 if q == 0 else min(1, max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / q))
            best = min(best, math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy))
        return best


def samples(points, closed):
    """The points and what lies between them, close enough to miss nothing."""
    pairs = list(zip(points, points[1:]))
    if closed and len(points) > 1:
        pairs.append((points[-1], points[0]))
    for a, b in pairs:
        n = 1 + min(8, math.ceil(math.hypot(b[0] - a[0], b[1] - a[1]) / 0.5))
        for i in range(n):
            yield (a[0] + (b[0] - a[0]) * i / n, a[1] + (b[1] - a[1]) * i / n)
    if points:
        yield points[-1]


def farthest(one, other, cell=0.5):
    """The largest distance of a point of one set from the other set."""
    index = Segments(other, cell)
    return max((index.distance(p) for points, closed in one for p in samples(points, closed)), default=0.0)
