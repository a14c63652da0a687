"""A tiny one-ink painter for tests: samples points, knows no screen and no paper."""

from observe.look.shapes import Disc, Point, Polygon, Rect, Shape, Shapes

SAMPLES = (0.25, 0.75)


def inside(points: tuple[Point, ...], x: float, y: float) -> bool:
    odd = False
    for (x1, y1), (x2, y2) in zip(points, points[1:] + points[:1], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (x2 - x1) * (y - y1) / (y2 - y1):
            odd = not odd
    return odd


def covers(shape: Shape, x: float, y: float) -> bool:
    if isinstance(shape, Rect):
        return shape.x <= x < shape.right and shape.y <= y < shape.bottom
    if isinstance(shape, Disc):
        return (x - shape.x) ** 2 + (y - shape.y) ** 2 <= shape.radius**2
    return inside(shape.points, x, y) and not inside(shape.hole, x, y)


def picture(shapes: Shapes, width: int, height: int) -> list[float]:
    """Share of each px that is covered, row by row."""
    return [
        sum(
            any(covers(shape, column + dx, row + dy) for shape in shapes)
            for dx in SAMPLES
            for dy in SAMPLES
        )
        / len(SAMPLES) ** 2
        for row in range(height)
        for column in range(width)
    ]


def enlarged(shapes: Shapes, times: int) -> Shapes:
    """The same shapes on a finer grid."""

    def point(at: Point) -> Point:
        return (at[0] * times, at[1] * times)

    made: list[Shape] = []
    for one in shapes:
        if isinstance(one, Rect):
            size = (one.width * times, one.height * times)
            made.append(Rect(one.x * times, one.y * times, *size, one.ink))
        elif isinstance(one, Disc):
            made.append(Disc(one.x * times, one.y * times, one.radius * times, one.ink))
        else:
            rings = (tuple(map(point, ring)) for ring in (one.points, one.hole))
            made.append(Polygon(next(rings), one.ink, next(rings)))
    return tuple(made)


def difference(one: list[float], other: list[float]) -> float:
    """How many px' worth of ink two pictures differ in."""
    return sum(abs(a - b) for a, b in zip(one, other, strict=True))
