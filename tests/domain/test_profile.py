"""What a workshop performs, voices or leaves out (rule W1)."""

import pytest

from observe.domain.form import Mode, Voice
from observe.domain.profile import Departure, Doing, Profile, frozen
from observe.domain.troubles import Refused
from tests.domain.builders import a_critical, a_form, a_step

FORM = a_form(
    [
        a_step("1", essential=True),
        a_step("2"),
        a_step("3", voice=Voice.PART),
        a_step("4", variants=("left",)),
        a_step("5", not_applicable=True),
    ],
    criticals=(a_critical("X", "2"),),
    variants=("left", "right"),
)


def departure(
    step: str, doing: Doing = Doing.NOT_TODAY, reason: str = "devices are reused", variant: str = ""
) -> Departure:
    return Departure(step, doing, reason, variant)


def ids(profile: Profile, variant: str) -> list[str]:
    return [step.id for step in profile.steps(FORM, variant)]


def test_w1_without_departures_every_step_of_the_variant_is_performed() -> None:
    profile = frozen(FORM, Mode.SUMMATIVE, ())
    assert ids(profile, "left") == ["1", "2", "3", "4", "5"]
    assert ids(profile, "right") == ["1", "2", "3", "5"]
    assert profile.doing("1") is Doing.PERFORM


def test_w1_what_is_not_done_today_is_not_in_play() -> None:
    profile = frozen(FORM, Mode.SUMMATIVE, (departure("5"),))
    assert ids(profile, "right") == ["1", "2", "3"]
    assert profile.doing("5") is Doing.NOT_TODAY


def test_w1_a_departure_may_hold_for_one_variant() -> None:
    profile = frozen(FORM, Mode.FORMATIVE, (departure("5", variant="left"),))
    assert ids(profile, "left") == ["1", "2", "3", "4"]
    assert ids(profile, "right") == ["1", "2", "3", "5"]


def test_w1_what_is_said_for_one_variant_goes_before_the_rest() -> None:
    kept = departure("5", Doing.PERFORM, "", variant="left")
    profile = frozen(FORM, Mode.FORMATIVE, (departure("5"), kept))
    assert (profile.doing("5", "left"), profile.doing("5", "right")) == (
        Doing.PERFORM,
        Doing.NOT_TODAY,
    )


def test_m2_voiced_is_not_offered_for_no_unless_it_is_voiced_today() -> None:
    profile = frozen(FORM, Mode.SUMMATIVE, (departure("1", Doing.VOICE, variant="left"),))
    assert not profile.may_be_voiced(FORM.step["2"])
    assert profile.may_be_voiced(FORM.step["3"])
    assert profile.may_be_voiced(FORM.step["1"], "left")
    assert not profile.may_be_voiced(FORM.step["1"], "right")


@pytest.mark.parametrize("step", ["1", "2"])
def test_w1_summative_never_leaves_out_an_essential_or_watched_step(step: str) -> None:
    for variant in ("", "left"):
        with pytest.raises(Refused, match="summative") as refused:
            frozen(FORM, Mode.SUMMATIVE, (departure(step, variant=variant),))
        assert step in refused.value.where
    assert frozen(FORM, Mode.FORMATIVE, (departure(step),)).doing(step) is Doing.NOT_TODAY
    voiced = frozen(FORM, Mode.SUMMATIVE, (departure(step, Doing.VOICE),))
    assert voiced.doing(step) is Doing.VOICE


@pytest.mark.parametrize("doing", [Doing.VOICE, Doing.NOT_TODAY])
@pytest.mark.parametrize("reason", ["", "  "])
def test_w1_a_departure_needs_its_reason(doing: Doing, reason: str) -> None:
    with pytest.raises(Refused, match="reason"):
        frozen(FORM, Mode.FORMATIVE, (departure("5", doing, reason),))


def test_w1_an_unknown_step_is_refused() -> None:
    with pytest.raises(Refused, match="no such step"):
        frozen(FORM, Mode.FORMATIVE, (departure("9"),))


def test_w1_a_step_stands_once() -> None:
    with pytest.raises(Refused, match="twice"):
        frozen(FORM, Mode.FORMATIVE, (departure("5"), departure("5", Doing.VOICE)))


@pytest.mark.parametrize(("step", "variant"), [("4", "right"), ("5", "middle")])
def test_w1_a_variant_that_the_step_has_not_is_refused(step: str, variant: str) -> None:
    with pytest.raises(Refused, match="no such variant"):
        frozen(FORM, Mode.FORMATIVE, (departure(step, variant=variant),))


def test_w1_own_digest_whatever_the_order_of_saying_it() -> None:
    two = (departure("5"), departure("3", Doing.VOICE))
    profile = frozen(FORM, Mode.FORMATIVE, two)
    assert profile.digest == frozen(FORM, Mode.FORMATIVE, two[::-1]).digest
    assert [one.step for one in profile.departures] == ["3", "5"]
    others = [
        (),
        (departure("5"),),
        (departure("5"), departure("3")),
        (departure("5", reason="no kit"), departure("3", Doing.VOICE)),
        (departure("5", variant="left"), departure("3", Doing.VOICE)),
    ]
    digests = {frozen(FORM, Mode.FORMATIVE, one).digest for one in (two, *others)}
    assert len(digests) == len(others) + 1


def test_w1_performing_a_step_is_no_departure() -> None:
    performed = frozen(FORM, Mode.FORMATIVE, (departure("5", Doing.PERFORM, ""),))
    assert performed == frozen(FORM, Mode.FORMATIVE, ())
