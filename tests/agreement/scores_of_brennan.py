"""Published tables of scores for generalizability studies, as printed, small enough to type.

Brennan RL (2001), Generalizability Theory, New York: Springer: synthetic data sets 2 to 4 (Tables
3.1 and 3.2).
"""

from __future__ import annotations

import numpy as np

# Ten persons, each with eight items of their own.
SET_2 = [
    [2, 6, 7, 5, 2, 5, 5, 5],
    [4, 5, 6, 7, 6, 7, 5, 7],
    [5, 5, 4, 6, 5, 4, 5, 5],
    [5, 9, 8, 6, 5, 7, 7, 6],
    [4, 3, 5, 6, 4, 5, 6, 4],
    [4, 4, 4, 7, 6, 4, 7, 8],
    [2, 6, 6, 5, 2, 7, 7, 5],
    [3, 4, 4, 5, 6, 6, 6, 4],
    [0, 5, 4, 5, 5, 5, 5, 3],
    [6, 8, 7, 6, 6, 8, 8, 6],
]

# Ten persons, four items, two occasions.
SET_3 = [
    [[2, 2], [6, 5], [7, 5], [5, 5]],
    [[4, 6], [5, 7], [6, 5], [7, 7]],
    [[5, 5], [5, 4], [4, 5], [6, 5]],
    [[5, 5], [9, 7], [8, 7], [6, 6]],
    [[4, 4], [3, 5], [5, 6], [6, 4]],
    [[4, 6], [4, 4], [4, 7], [7, 8]],
    [[2, 2], [6, 7], [6, 7], [5, 5]],
    [[3, 6], [4, 6], [4, 6], [5, 4]],
    [[0, 5], [5, 5], [4, 5], [5, 3]],
    [[6, 6], [8, 8], [7, 8], [6, 6]],
]

# Ten persons, three tasks, four raters in each task.
SET_4 = [
    [[5, 6, 5, 5], [5, 3, 4, 5], [6, 7, 3, 3]],
    [[9, 3, 7, 7], [7, 5, 5, 5], [7, 7, 5, 2]],
    [[3, 4, 3, 3], [5, 3, 3, 5], [6, 5, 1, 6]],
    [[7, 5, 5, 3], [3, 1, 4, 3], [5, 3, 3, 5]],
    [[9, 2, 9, 7], [7, 7, 3, 7], [2, 7, 5, 3]],
    [[3, 4, 3, 5], [3, 3, 6, 3], [4, 5, 1, 2]],
    [[7, 3, 7, 7], [7, 5, 5, 7], [5, 5, 5, 4]],
    [[5, 8, 5, 7], [7, 5, 5, 4], [3, 2, 1, 1]],
    [[9, 9, 8, 8], [6, 6, 6, 5], [5, 8, 1, 1]],
    [[4, 4, 4, 3], [3, 5, 6, 5], [5, 7, 1, 1]],
]

# Five persons, three raters: the raters' component is below 0. Made for it.
NEGATIVE = [[3, 4, 3], [5, 4, 5], [2, 3, 2], [4, 4, 5], [3, 2, 3]]

Levels = dict[str, list[str]]


def long(table: object, letters: str) -> tuple[list[float], Levels]:
    """A table with an axis for each letter as scores with their levels."""
    scores = np.asarray(table, dtype=np.float64)
    places = np.indices(scores.shape)
    levels = {
        letter: [str(place) for place in places[axis].ravel()]
        for axis, letter in enumerate(letters)
    }
    return [float(one) for one in scores.ravel()], levels
