"""A form's text is read, or every one of its faults is named, and nothing ever breaks."""

import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.form import Form
from observe.domain.formtext import LARGEST_FILE, LONGEST_LINE, decode, read, reread
from observe.domain.troubles import BadInput
from tests.domain.smallform import SMALL, changed, faults_of, form_of, line_of, only_fault
from tests.domain.tomlwriter import write

HERE = Path(__file__).parent


# ----------------------------------------------------------------- bytes


def test_a_byte_order_mark_and_windows_line_ends_are_read() -> None:
    data = b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode()
    form, faults = read(decode(data, "small.toml"))
    assert form == form_of()
    assert faults == ()


def test_a_fault_in_a_text_with_windows_line_ends_keeps_its_line() -> None:
    text = changed("weight = 0.5", "weight = 0").replace("\n", "\r\n")
    assert only_fault(text).line == line_of("weight = 0.5")


@pytest.mark.parametrize(
    ("data", "sentence", "where"),
    [
        (b"", "The file is empty.", "f.toml"),
        (b" \n\t\n", "The file is empty.", "f.toml"),
        (b"\xef\xbb\xbf", "The file is empty.", "f.toml"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "The file is not a text.", "f.toml"),
        (SMALL.encode("utf-16"), "The file is written in UTF-16, not in UTF-8.", "f.toml"),
        (b"a = 1\nb = '\xe9'\n", "not UTF-8: line 2 holds a byte that does not fit.", "f.toml:2"),
        (b"#" * (LARGEST_FILE + 1), "The file has 1.0 MB; a form has at most 1 MB.", "f.toml"),
    ],
)
def test_what_is_no_text_is_refused_in_a_sentence(data: bytes, sentence: str, where: str) -> None:
    with pytest.raises(BadInput) as refused:
        decode(data, "f.toml")
    assert sentence in refused.value.what
    assert refused.value.where == where
    assert refused.value.remedy


# ---------------------------------------------------------------- syntax


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('label = "Touch"', 'label = "Touch', "A text does not end on its line (column 15)."),
        ('label = "Touch"', "label = Touch", "A value cannot be read (column 9)."),
        ('label = "Touch"', 'label "Touch"', "An equals sign is missing after a key (column 7)."),
        ('label = "Touch"', 'label = "Touch" id = 3', "Something follows after a value"),
        ('label = "Touch"', 'label = "T\\ouch"', "A backslash stands alone in a text"),
        ('label = "Touch"', "label = 2026-02-30", "A date cannot be read"),
        ('label = "Touch"', "-- remark", "An equals sign is missing after a key"),
        ('label = "Touch"', "; remark", "A line is neither a key, a table nor a remark"),
        ("weight = 0.5", "weight = 0,5", "Something follows after a value (column 11)."),
        ("[credit]", "[rule]\n\n[credit]", "A table stands twice"),
        ('label = "Touch"', 'label = "\\ud800"', "by a number that no letter has (column"),
        ('label = "Touch"', 'label = "\\u12"', "by a number that is cut off"),
        ('label = "Touch"', 'label = "Touch" # \x01', "A sign that cannot be seen stands here"),
        ('label = "Touch"', "label = { a = 1, a = 2 }", "A key stands twice in one table"),
        ('label = "Touch"', "label = { = 1 }", "A key is missing or starts with a sign no key"),
        ('label = "Touch"', "label = '''Touch", "A text is not closed"),
        ("[credit]", "[credit", "The name of a table is not closed"),
    ],
)
def test_one_slip_of_the_pen_is_named_with_line_and_column(
    old: str, new: str, sentence: str
) -> None:
    fault = only_fault(changed(old, new))
    assert sentence in fault.sentence
    assert fault.remedy


def test_a_slip_of_the_pen_stands_on_its_line_with_the_text_there() -> None:
    fault = only_fault(changed("cut = 0.8", "cut = 80 %"))
    assert fault.line == line_of("cut = 0.8")
    assert fault.entry == "cut = 80 %"


def test_a_key_that_stands_twice() -> None:
    text = changed("weight = 0.5", "weight = 0.5\nweight = 2")
    fault = only_fault(text)
    assert fault.sentence.startswith("A key stands twice in one table")
    assert fault.line in {line_of("weight = 0.5", text) + 1, line_of("weight = 0.5", text) + 2}


def test_a_text_that_ends_too_early() -> None:
    fault = only_fault(SMALL + 'last = """never closed')
    assert fault.sentence == "A text is not closed (at the end of the text)."


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 900 + "]" * 900,
        "\n".join(["a = ", *["["] * 5000]).replace("= \n", "= "),
        "a = [" + "9" * 1900 + "]",
        "a" + ".a" * 900 + " = 1",
        "[" + "a." * 900 + "a]",
        "a = " + "{ a = " * 200 + "1" + " }" * 200,
        "x" * (LONGEST_LINE + 1),
        "a = \ud800",
        'a = "\ud800"',
        "\x00",
        "a = 1\r",
    ],
    ids=lambda text: repr(text[:12]),
)
def test_texts_made_to_break_a_reader_are_faults_like_others(text: str) -> None:
    form, faults = read(text)
    assert form is None
    assert faults


def test_m3_numbers_of_too_many_digits_are_named_on_their_line() -> None:
    fault = only_fault(changed("not_done = 0", "not_done = " + "1" * 1900))
    assert fault.sentence == "The credit table: not_done is not a number that a form can hold."
    assert fault.line == line_of("not_done = 0")


def test_a_line_without_end_is_named() -> None:
    fault = only_fault(changed("not_done = 0", "not_done = 0 #" + "x" * LONGEST_LINE))
    assert fault.sentence == f"The line has {LONGEST_LINE + 14} signs; {LONGEST_LINE} are the most."
    assert fault.line == line_of("not_done = 0")


# -------------------------------------------------------- all in one run


TWENTY = {
    "The form has the key “titel”, which forms do not know.": "Did you mean “title”?",
    "The form has no version.": "Add “version = …”.",
    "Domain technique stands twice in the form.": "another id",
    "Step S1: label has 61 signs; 60 is the most.": "Shorten it by 1.",
    "Step S2 has the key “wieght”, which forms do not know.": "Did you mean “weight”?",
    "Step S2 has no done.": "Add “done = …”.",
    "Step S3 names the phase “midle”, which the form does not have.": "Did you mean “middle”?",
    "Step S3: weight is -1; it has to be above 0 and at most 100.": "Write a number above 0",
    "Steps wait for each other in a circle: S4 waits for S5 waits for S4.": "Take one of these",
    "Step S6 waits for “S99”, which is not a step.": "Name a step of the form.",
    "Step S6 names no source.": "Add “sources = […]”",
    "Step S7 is essential and may yet be called not applicable.": "Leave out one",
    "Step S8: voice is “maybe”, which is not one of its words.": "Write one of: yes, part, no.",
    "Step S7 stands twice in the form.": "another id",
    "Critical item S1 is also a step.": "Keep one of the two",
    "Critical item C2 names no step during which it can be seen.": "Add “watch = […]”",
    "The overall grade: borderline is not a grade between the lowest and the highest.": "one of: 2",
    "The credit table: done gives more credit for more help.": "Let the numbers fall",
    "The rule: cut is 80; it has to be above 0 and at most 1.": "Write a number above 0",
    "The rule has a minimum for the domain “tecnique”, which the form does not have.": "Did you",
}


def test_twenty_seeded_faults_are_twenty_findings_on_their_lines() -> None:
    """In the file each faulty line ends in the remark `# fault`, once for each fault there."""
    text = (HERE / "twenty-faults.toml").read_text(encoding="utf-8")
    marked = [
        number
        for number, line in enumerate(text.split("\n"), start=1)
        for _ in re.findall("# fault", line)
    ]
    form, faults = read(text)
    assert form is None
    assert [fault.line for fault in faults] == marked
    assert {fault.sentence for fault in faults} == set(TWENTY)
    assert len(faults) == len(TWENTY) == 20
    for fault in faults:
        assert TWENTY[fault.sentence] in fault.remedy
        assert fault.blocking


# --------------------------------------------------------- nothing breaks


def sound(text: str) -> None:
    """What holds of every answer: a form without blocking faults, or faults that say something."""
    form, faults = read(text)
    last = text.replace("\r\n", "\n").count("\n") + 1
    for fault in faults:
        assert 1 <= fault.line <= last
        assert fault.sentence.endswith(".")
        assert fault.remedy.endswith((".", "?"))
        assert fault.entry.isprintable()
    assert (form is None) == any(fault.blocking for fault in faults)
    if form is not None:
        assert re.fullmatch("[0-9a-f]{64}", form.whole_digest)
        assert re.fullmatch("[0-9a-f]{64}", form.scoring_digest)


@given(st.binary(max_size=200))
def test_random_bytes(data: bytes) -> None:
    try:
        text = decode(data, "f.toml")
    except BadInput:
        return
    sound(text)


@given(st.text(max_size=120))
def test_random_text(text: str) -> None:
    sound(text)


@given(st.integers(0, len(SMALL)), st.integers(0, 40), st.text(max_size=6))
def test_a_form_with_any_passage_replaced(start: int, length: int, put: str) -> None:
    sound(SMALL[:start] + put + SMALL[start + length :])


@given(st.integers(0, len(SMALL)))
def test_a_form_cut_off_anywhere(end: int) -> None:
    sound(SMALL[:end])


KEYS = sorted(set(re.findall(r"(?m)^([a-z_]+) = ", SMALL)) | {"scored", "k", "averted_is_fatal"})
TABLES = [
    "variants", "domains", "phases", "steps", "critical", "overall", "dimensions",
    "independence", "credit", "rule", "kit", "sources", "review",
]  # fmt: skip
entries = st.one_of(
    st.sampled_from(["S1", "C1", "C", "asepsis", "before", "yes", "tally", "none", "", "é", " x "]),
    st.integers(-3, 10**20),
    st.decimals(),
    st.booleans(),
    st.dates(),
)
wrong = st.recursive(
    entries,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.sampled_from([*KEYS, "x", "a b"]), inner, max_size=4),
    ),
    max_leaves=8,
)
wrong_forms = st.dictionaries(
    st.sampled_from([*KEYS, *TABLES]),
    st.one_of(
        wrong, st.lists(st.dictionaries(st.sampled_from(KEYS), wrong, max_size=6), max_size=3)
    ),
    max_size=10,
)


@given(wrong_forms)
def test_wrong_kinds_everywhere(document: dict[str, Any]) -> None:
    sound(write(document))


@given(st.sampled_from(KEYS), wrong)
def test_a_form_with_one_entry_of_any_kind(key: str, value: object) -> None:
    """Every occurrence of one key gets the same odd value."""
    odd = write({key: value}).strip()
    sound(re.sub(rf"(?m)^{key} = .*(?:\n  .*|\n\])*$", lambda _: odd, SMALL))


@given(st.permutations(range(4)))
def test_the_order_of_steps_is_the_forms_own(order: list[int]) -> None:
    start, end = SMALL.index("[[steps]]"), SMALL.index("[[critical]]")
    steps = re.split(r"(?=\[\[steps\]\])", SMALL[start:end])[1:]
    text = SMALL[:start] + "".join(steps[place] for place in order) + SMALL[end:]
    form = form_of(text)
    assert isinstance(form, Form)
    assert [step.id for step in form.steps] == [
        ["S1", "S2L", "S2R", "S3"][place] for place in order
    ]


def test_f1_a_frozen_form_outlives_checks_that_came_later() -> None:
    """Its digest, not today's checker, says whether it is the form that was used."""
    text = changed("tally = 3", "tally = 3\nlater = true")
    assert read(text)[0] is None
    form = reread(text)
    assert form is not None
    assert form.whole_digest == form_of().whole_digest
    assert reread("no form") is None


def test_a_sound_form_has_no_faults() -> None:
    assert faults_of(SMALL) == ()
