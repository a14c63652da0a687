import pytest

from observe import places
from observe.domain import formtext
from observe.work.demo import cast, script
from observe.work.demo.script import Part


@pytest.mark.parametrize("part", [*script.FIRST.values(), *script.SECOND.values()])
def test_every_part_has_a_word_for_each_step_unless_it_ends_early(part: Part) -> None:
    form, _ = formtext.read((places.forms() / cast.FORM).read_text(encoding="utf-8"))
    assert form is not None
    words = [word for word in part.marks.split() if not word.startswith("@")]
    assert set(words) <= set("dvo1234in./-")
    steps = len(form.steps_of("side-lying"))
    assert len(words) == steps or part.ends.startswith("void:")


def test_every_seat_has_a_first_part() -> None:
    assert set(script.FIRST) == set(range(1, len(cast.LEARNERS) + 1))
