"""A tiny one-ink painter for tests: samples points, knows no screen and no paper."""

from observe.look.shapes import Disc, Point, Rect, Shape, Shapes

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


def difference(one: list[float], other: list[float]) -> float:
    """How many px' worth of ink two pictures differ in."""
    return sum(abs(a - b) for a, b in zip(one, other, strict=True))
