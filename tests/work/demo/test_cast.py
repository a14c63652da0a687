from observe import places
from observe.domain import formtext
from observe.domain.profile import frozen
from observe.work.demo import cast


def test_the_cast_fits_the_form_and_the_table() -> None:
    text = (places.forms() / cast.FORM).read_text(encoding="utf-8")
    form, _ = formtext.read(text)
    assert form is not None
    plan = cast.plan(form.whole_digest)
    assert len(plan.places) == 8
    assert len(plan.observers) == 3
    assert frozen(form, plan.mode, plan.departures).departures == cast.DEPARTURES
