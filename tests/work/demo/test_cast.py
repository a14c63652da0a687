from observe import places
from observe.domain import formtext
from observe.domain.form import Form
from observe.domain.profile import frozen
from observe.work.demo import cast


def shipped(name: str) -> Form:
    form, _ = formtext.read((places.forms() / name).read_text(encoding="utf-8"))
    assert form is not None
    return form


def test_the_cast_fits_the_form_and_the_table() -> None:
    form = shipped(cast.FORM)
    plan = cast.plan(form.whole_digest)
    assert len(plan.places) == 8
    assert len(plan.observers) == 3
    assert frozen(form, plan.mode, plan.departures).departures == cast.DEPARTURES


def test_the_next_afternoon_fits_both_forms() -> None:
    form, other = shipped(cast.FORM), shipped(cast.OTHER_FORM)
    plan = cast.next_plan(form.whole_digest, other.whole_digest)
    used = {form.whole_digest: form, other.whole_digest: other, "": form}
    for place in plan.places:
        assert place.variant in {one.id for one in used[place.form].variants}
