"""What a report holds, for programs: groups that add up, figures with their reasons."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from observe.agreement import Ratings, percent_agreement
from observe.work.report_figures import CutInForce, FormQuality, Item, Partition, figure


@given(st.lists(st.tuples(st.text(max_size=8), st.integers(0, 500)), max_size=6))
def test_the_cells_of_a_group_add_up_to_it(cells: list[tuple[str, int]]) -> None:
    group = Partition.whole("Attempts", "attempt", tuple(cells))
    found = group.as_record()
    assert found["total"] == sum(one["count"] for one in found["cells"])


def test_a_figure_is_the_estimate_it_was_made_of() -> None:
    rows = [[1, 1], [0, 1], [1, 1], [0, 0]]
    found = percent_agreement(Ratings.from_table(rows, scale="nominal", categories=[0, 1]))
    made = figure("decision", found)
    assert made.value == found.value == 0.75
    assert made.used == 4
    assert made.as_record()["coefficient"] == "percent_agreement"


def test_what_is_not_known_is_null() -> None:
    assert CutInForce("", "80.0", 3, ()).as_record()["standard"] is None
    assert CutInForce("", "80.0", 3, ()).as_record()["provisional"] is True
    assert FormQuality(0, 0, undefined="Nobody.").as_record()["alpha"] is None
    told, asked = Item(1, "Title", "This.", "Say what."), Item(5, "Known", "", "Say what.")
    assert told.as_record()["wanted"] == ""
    assert asked.as_record() == {
        "number": 5,
        "title": "Known",
        "text": None,
        "wanted": "Say what.",
    }
    json.dumps(asked.as_record(), allow_nan=False)
