"""A small sound form, and the same with one passage changed."""

from observe.domain.faults import Fault
from observe.domain.form import Form
from observe.domain.formtext import read

SMALL = """\
format = 1
id = "SMALL"
version = "1.0"
title = "A small procedure"
short = "Small"
purpose = "Shows what a form holds."
cautions = ["Educational template."]
review = "none"

[[variants]]
id = "left"
label = "From the left"

[[variants]]
id = "right"
label = "From the right"

[[domains]]
id = "asepsis"
label = "Asepsis"

[[domains]]
id = "technique"
label = "Technique"

[[phases]]
id = "before"
label = "Before"

[[phases]]
id = "after"
label = "After"

[[steps]]
id = "S1"
phase = "before"
domain = "asepsis"
label = "Cleans hands"
done = "Hand rub is seen."
errors = ["Forgets the thumbs"]
weight = 2
essential = true
sources = ["C"]

[[steps]]
id = "S2L"
phase = "before"
domain = "technique"
label = "Stands on the left"
done = "Left of the table."
weight = 1
variants = ["left"]
after = ["S1"]
sources = ["C"]

[[steps]]
id = "S2R"
phase = "before"
domain = "technique"
label = "Stands on the right"
done = "Right of the table."
weight = 1
variants = ["right"]
after = ["S1"]
sources = ["C"]

[[steps]]
id = "S3"
phase = "after"
domain = "technique"
label = "Turns the screw"
done = "Half a turn, then looks."
weight = 0.5
voice = "part"
after = ["S1", ["S2L", "S2R"]]
when = "the screw is loose"
not_applicable = true
reasons = ["No screw here"]
sources = ["C", "B"]

[[critical]]
id = "C1"
label = "Drops the tool"
definition = "The tool leaves the hand and falls."
recognise = "It is heard."
harm = "It breaks."
kind = "tally"
tally = 3
watch = ["S3"]
sources = ["C"]

[overall]
label = "Overall grade"
borderline = 2
grades = [
  { value = 1, label = "Fail", anchor = "Unsafe." },
  { value = 2, label = "Borderline", anchor = "Unclear." },
  { value = 3, label = "Good", anchor = "Safe." },
]

[[dimensions]]
id = "touch"
label = "Touch"
grades = [
  { value = 1, label = "Rough", anchor = "Hurts." },
  { value = 2, label = "Light", anchor = "Does not hurt." },
]

[[independence]]
level = 1
label = "With help"

[[independence]]
level = 2
label = "Alone"

[credit]
done = [1, 0.75, 0.5, 0.25, 0]
incorrect = [0, 0, 0, 0, 0]
not_done = 0

[rule]
kind = "conjunctive"
cut = 0.8
essential_prompt = 1
overall_minimum = 2
time_limit_minutes = 1.5
not_applicable_allowance = 0.1

[rule.coverage]
formative = 0.75
summative = 0.9

[rule.minima]
technique = 0.6

[[kit]]
item = "Screwdriver"
per = "learner"
count = 1
reusable = "yes"
note = "Flat."

[[sources]]
code = "B"
text = "A book"
status = "read"

[[sources]]
code = "C"
text = "Common practice"
status = "common practice, no source"
"""


def changed(old: str, new: str, text: str = SMALL) -> str:
    """The text with one passage, which occurs once, replaced."""
    assert text.count(old) == 1, f"{old!r} occurs {text.count(old)} times"
    return text.replace(old, new)


def line_of(passage: str, text: str = SMALL) -> int:
    """The line on which a passage, which occurs once, begins."""
    assert text.count(passage) == 1, f"{passage!r} occurs {text.count(passage)} times"
    return text[: text.index(passage)].count("\n") + 1


def faults_of(text: str) -> tuple[Fault, ...]:
    return read(text)[1]


def only_fault(text: str) -> Fault:
    """The one fault of a text; fails where there are none or more."""
    faults = faults_of(text)
    assert len(faults) == 1, faults
    return faults[0]


def form_of(text: str = SMALL) -> Form:
    """The form of a text that may have remarks and no fault."""
    form, faults = read(text)
    assert form is not None, faults
    return form
