"""Critical items: watched or not, and what came of them (rules C1, C2)."""

from typing import Any

import pytest

from observe.domain.board import Verdict
from observe.domain.criticals import CriticalStanding, Finding, standings
from observe.domain.form import CriticalKind, Mode
from observe.domain.marks import DID_NOT_ARISE, DONE, NOT_APPLICABLE, NOT_DONE, NOT_SEEN, Mark
from tests.domain.builders import a_critical, a_form, seen, steps

FATAL, RECOVERED, AVERTED = Verdict.FATAL, Verdict.RECOVERED, Verdict.AVERTED
COUNTED, WITHDRAWN = Verdict.COUNTED, Verdict.WITHDRAWN


def standing(
    *verdicts: Verdict,
    marks: str | dict[str, Mark] = "ddd",
    mode: Mode = Mode.SUMMATIVE,
    attested: bool = False,
    **item: Any,  # noqa: ANN401 - any field of a critical item
) -> CriticalStanding:
    """Where the one item of a form of three steps stands; it watches the first two."""
    form = a_form(
        steps(3, when="bone is met", not_applicable=True),
        criticals=(a_critical("X", "2", "1", **item),),
    )
    more = {"verdicts": {"X": verdicts}, "attested": frozenset({"X"} if attested else ())}
    return standings(seen(form, marks, mode=mode, **more))["X"]


def test_c1_watched_when_each_watch_step_was_seen_however_it_went() -> None:
    one = standing(marks={"1": NOT_DONE, "2": DONE})
    assert (one.finding, one.watched, one.unseen) == (Finding.CLEAR, True, ())


def test_c1_not_watched_when_one_watch_step_was_not_seen() -> None:
    one = standing(marks={"2": DONE, "3": DONE})
    assert (one.finding, one.watched, one.unseen) == (Finding.NOT_WATCHED, False, ("1",))


def test_c1_unseen_watch_steps_stand_in_the_forms_order() -> None:
    assert standing(marks="...").unseen == ("1", "2")


@pytest.mark.parametrize("mark", [NOT_APPLICABLE, DID_NOT_ARISE])
def test_c1_a_step_that_does_not_apply_need_not_be_watched(mark: Mark) -> None:
    assert standing(marks={"1": mark, "2": DONE, "3": NOT_SEEN}).watched


def test_c1_attested_watched_throughout_counts_as_watched() -> None:
    one = standing(marks="...", attested=True)
    assert (one.finding, one.watched) == (Finding.CLEAR, True)


def test_c1_a_step_that_is_not_in_play_need_not_be_watched() -> None:
    form = a_form(steps(1), criticals=(a_critical("X", "1", "elsewhere"),))
    assert standings(seen(form, "d"))["X"].finding is Finding.CLEAR


@pytest.mark.parametrize(
    ("verdicts", "finding", "count"),
    [
        ((), Finding.CLEAR, 0),
        ((FATAL,), Finding.FATAL, 1),
        ((RECOVERED,), Finding.RECOVERED, 1),
        ((WITHDRAWN,), Finding.CLEAR, 0),
        ((RECOVERED, FATAL), Finding.FATAL, 2),
        ((RECOVERED, WITHDRAWN), Finding.RECOVERED, 1),
    ],
)
def test_c2_the_gravest_occurrence_stands(
    verdicts: tuple[Verdict, ...], finding: Finding, count: int
) -> None:
    one = standing(*verdicts, kind=CriticalKind.RECOVERABLE)
    assert (one.finding, one.count) == (finding, count)


@pytest.mark.parametrize(
    ("mode", "averted_is_fatal", "finding"),
    [
        (Mode.SUMMATIVE, True, Finding.FATAL),
        (Mode.SUMMATIVE, False, Finding.AVERTED),
        (Mode.FORMATIVE, True, Finding.AVERTED),
        (Mode.PRACTICE, True, Finding.AVERTED),
    ],
)
def test_c2_averted_is_fatal_in_summative_unless_the_form_says_otherwise(
    mode: Mode, averted_is_fatal: bool, finding: Finding
) -> None:
    assert standing(AVERTED, mode=mode, averted_is_fatal=averted_is_fatal).finding is finding


def test_c2_averted_is_graver_than_recovered() -> None:
    one = standing(RECOVERED, AVERTED, mode=Mode.FORMATIVE, kind=CriticalKind.RECOVERABLE)
    assert one.finding is Finding.AVERTED


@pytest.mark.parametrize(
    ("count", "finding"), [(1, Finding.COUNTED), (2, Finding.COUNTED), (3, Finding.FATAL)]
)
def test_c2_a_tally_is_fatal_at_k_and_not_before(count: int, finding: Finding) -> None:
    one = standing(*[COUNTED] * count, kind=CriticalKind.TALLY, tally=3)
    assert (one.finding, one.count) == (finding, count)


def test_c2_withdrawn_does_not_count_towards_a_tally() -> None:
    one = standing(COUNTED, WITHDRAWN, COUNTED, kind=CriticalKind.TALLY, tally=3)
    assert (one.finding, one.count) == (Finding.COUNTED, 2)


def test_c2_averted_counts_towards_a_tally_where_averted_is_fatal() -> None:
    tally: dict[str, Any] = {"kind": CriticalKind.TALLY, "tally": 2}
    assert standing(COUNTED, AVERTED, **tally).finding is Finding.FATAL
    formative = standing(COUNTED, AVERTED, mode=Mode.FORMATIVE, **tally)
    assert (formative.finding, formative.count) == (Finding.AVERTED, 1)


def test_c2_what_occurred_does_not_make_the_rest_watched() -> None:
    one = standing(RECOVERED, marks="d..", kind=CriticalKind.RECOVERABLE)
    assert (one.finding, one.watched, one.unseen) == (Finding.RECOVERED, False, ("2",))


def test_c2_withdrawn_falls_back_on_whether_it_was_watched() -> None:
    assert standing(WITHDRAWN, marks="...").finding is Finding.NOT_WATCHED
