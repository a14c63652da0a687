"""Small tables that the tests of cut scores share."""

from observe.standards.angoff import Judgement

# Made up; forty learners with a checklist total and a global grade (1 fail .. 5 excellent).
# Results agree with R 4.2.2 (lm, glm, stats) and statsmodels.
SCORES = [
    *(54, 64, 81, 33, 48, 80, 42, 53, 88, 70, 71, 68, 78, 65, 58, 66, 78, 67, 63, 65),
    *(83, 57, 60, 63, 65, 58, 56, 73, 77, 49, 70, 67, 51, 78, 71, 63, 65, 57, 88, 51),
]
GRADES = [
    *(2, 3, 4, 1, 2, 5, 2, 2, 5, 4, 3, 3, 4, 3, 2, 4, 4, 3, 4, 3),
    *(5, 2, 3, 3, 3, 3, 2, 4, 4, 2, 3, 3, 2, 4, 3, 2, 4, 2, 5, 2),
]
QUALIFIED = [grade >= 3 for grade in GRADES]

# Made up; sixteen learners, computed by hand with the textbook formulas.
SIXTEEN_GRADES = [1, 2, 2, 2, 3, 3, 3, 3, 3, 4, 4, 4, 4, 5, 5, 5]
SIXTEEN_SCORES = [42, 58, 61, 55, 66, 70, 72, 64, 69, 78, 74, 81, 76, 88, 84, 91]

# Made up; sixty scores, the Hofstee crossing found by a grid search in R 4.2.2.
SIXTY = [
    *(57, 52, 62, 68, 74, 65, 59, 57, 71, 79, 66, 53, 55, 78, 66, 48, 63, 54, 58, 60),
    *(58, 69, 63, 59, 68, 71, 49, 62, 55, 62, 52, 64, 64, 61, 55, 60, 54, 52, 66, 54),
    *(75, 70, 46, 66, 54, 64, 64, 46, 62, 62, 73, 53, 71, 54, 61, 56, 77, 69, 86, 70),
]

# Made up; ten items by four judges, arithmetic checked in R 4.2.2.
TEN_ITEMS: list[list[float | None]] = [
    [0.6, 0.7, 0.65, 0.6],
    [0.8, 0.85, 0.75, 0.9],
    [0.4, 0.5, 0.45, 0.35],
    [0.9, 0.95, 0.9, 0.85],
    [0.55, 0.6, 0.5, 0.7],
    [0.7, 0.65, 0.8, 0.75],
    [0.3, 0.4, 0.35, 0.45],
    [0.85, 0.8, 0.9, 0.8],
    [0.5, 0.55, 0.6, 0.5],
    [0.75, 0.7, 0.65, 0.8],
]
# Made up; six judges by eight items.
SIX_JUDGES: list[list[float | None]] = [
    [0.9, 0.8, 0.7, 0.95, 0.6, 0.85, 0.75, 0.9],
    [0.85, 0.75, 0.65, 0.9, 0.55, 0.8, 0.7, 0.95],
    [0.95, 0.85, 0.8, 1, 0.7, 0.9, 0.8, 0.95],
    [0.8, 0.7, 0.6, 0.9, 0.5, 0.75, 0.65, 0.85],
    [0.9, 0.8, 0.75, 0.95, 0.65, 0.85, 0.8, 0.9],
    [0.85, 0.8, 0.7, 0.9, 0.6, 0.8, 0.75, 0.9],
]


def judged(items: list[list[float | None]], number: int = 1) -> list[Judgement]:
    """Judgements of a table items by judges."""
    return [
        Judgement(f"judge {column}", f"item {row}", value, number)
        for row, values in enumerate(items, start=1)
        for column, value in enumerate(values, start=1)
    ]
