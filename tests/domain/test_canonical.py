"""One value, one text, one digest (rule F2; RFC 8785)."""

import hashlib
import json
import unicodedata
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.canonical import LARGEST_WHOLE, canonical, digest, exact

exact_numbers = st.one_of(
    st.integers(-LARGEST_WHOLE, LARGEST_WHOLE),
    st.decimals(allow_nan=False, allow_infinity=False, places=6, min_value=-1000, max_value=1000),
    st.fractions(max_denominator=10**6, min_value=-1000, max_value=1000),
)
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
values = st.recursive(
    st.one_of(st.none(), st.booleans(), exact_numbers, texts),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(
            texts.map(lambda text: unicodedata.normalize("NFC", text)), inner, max_size=4
        ),
    ),
    max_leaves=12,
)


@pytest.mark.parametrize("spelling", ["1", "1.0", "1.00", "10E-1", "0.1E1"])
def test_f2_one_hashes_alike_however_it_is_spelled(spelling: str) -> None:
    assert canonical(Decimal(spelling)) == canonical(1) == canonical(Fraction(1)) == b"1"


def test_f2_exact_numbers_are_reduced_fractions() -> None:
    assert canonical(Decimal("0.75")) == canonical(Fraction(6, 8)) == b'"3/4"'
    assert canonical(Fraction(-2, 6)) == b'"-1/3"'
    assert canonical(Decimal("0.00")) == canonical(Decimal("-0")) == b"0"


def test_f2_whole_numbers_end_at_2_to_the_53() -> None:
    """RFC 8785 appendix B: 9007199254740992 is the first that a double cannot tell apart."""
    assert exact(LARGEST_WHOLE) == 9007199254740991
    assert exact(-LARGEST_WHOLE) == -9007199254740991
    with pytest.raises(ValueError, match="largest whole number"):
        exact(LARGEST_WHOLE + 1)


@pytest.mark.parametrize("number", ["NaN", "sNaN", "Infinity", "-Infinity"])
def test_what_is_no_number_is_refused(number: str) -> None:
    with pytest.raises(ValueError, match="record can hold"):
        canonical(Decimal(number))


@pytest.mark.parametrize(
    "value", [1.0, float("nan"), {1: "a"}, {None: 1}, b"bytes", {1, 2}, object()]
)
def test_f2_no_floats_and_nothing_that_json_lacks(value: object) -> None:
    with pytest.raises(ValueError, match="record"):
        canonical(value)


@pytest.mark.parametrize("text", ["\ud800", "a\udfffb", {"\udead": 1}])
def test_f2_lone_surrogates_are_refused(text: object) -> None:
    """RFC 8785 §3.2.2.2: a lone surrogate ends the canonicalisation with an error."""
    with pytest.raises(ValueError, match="lone surrogate"):
        canonical(text)


def test_f2_text_is_nfc() -> None:
    assert canonical("e\u0301") == canonical("é") == '"é"'.encode()


def test_two_keys_that_become_one_are_refused() -> None:
    with pytest.raises(ValueError, match="same text once normalised"):
        canonical({"e\u0301": 1, "é": 2})


def test_strings_are_written_as_rfc_8785_section_3_2_2_writes_them() -> None:
    """RFC 8785 §3.2.2 sample: the string member and the literals."""
    string = '€$\u000f\nA\'B"\\\\"/'
    expected = '{"literals":[null,true,false],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    assert canonical({"string": string, "literals": [None, True, False]}) == expected.encode()


def test_keys_are_sorted_as_rfc_8785_section_3_2_3_sorts_them() -> None:
    """RFC 8785 §3.2.3, its seven keys, by UTF-16 code units.

    There U+FB33 comes last; our text is NFC, which writes it as U+05D3 U+05BC.
    """
    keys = {
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis",
    }
    assert list(json.loads(canonical(keys)).values()) == [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O With Diaeresis",
        "Hebrew Letter Dalet With Dagesh",
        "Euro Sign",
        "Emoji: Grinning Face",
    ]


def test_keys_beyond_16_bits_sort_by_their_code_units() -> None:
    """U+1F600 begins with the unit D83D and so comes before U+FFEE."""
    assert list(json.loads(canonical({"\uffee": 1, "\U0001f600": 2}))) == ["\U0001f600", "\uffee"]


def test_whole_numbers_of_rfc_8785_appendix_b() -> None:
    """RFC 8785 appendix B, the samples that are exact whole numbers below 2**53."""
    assert canonical([0, 9007199254740991, -9007199254740991]) == (
        b"[0,9007199254740991,-9007199254740991]"
    )


def test_a_chain_of_two_events_has_its_known_digests() -> None:
    """Computed beside this project with another canonical writer and SHA-256."""
    first = {
        "actor": "obs-01",
        "item": "S07",
        "learner": "L03",
        "prev": "0" * 64,
        "state": "done",
        "t": "2026-03-02T09:15:04.120Z",
    }
    one = digest(first)
    assert one == "cdd2dd1be7eb2ad7cd96ca7c1232d54b3f9b25b53c58da1b0d9107602ad08abe"
    second = {**first, "prev": one, "state": "not_done", "t": "2026-03-02T09:15:09.480Z"}
    assert digest(second) == "943d4248587a8a9a5adba9c5bd4bde54701aab11c7190450695db404502e98cb"


@given(values)
def test_canonical_text_is_json_without_needless_signs(value: object) -> None:
    written = canonical(value)
    assert canonical(json.loads(written)) == written
    assert digest(value) == hashlib.sha256(written).hexdigest()


@given(st.dictionaries(st.text("abcé\U0001f600", max_size=4), st.integers(0, 9), max_size=6))
def test_the_order_of_keys_changes_nothing(mapping: dict[str, int]) -> None:
    backwards = dict(reversed(mapping.items()))
    assert canonical(mapping) == canonical(backwards)


@given(exact_numbers)
def test_an_exact_number_comes_back(number: int | Decimal | Fraction) -> None:
    assert Fraction(exact(number)) == Fraction(number)
