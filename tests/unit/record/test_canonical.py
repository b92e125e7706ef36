"""Canonical JSON: the published vectors, and the fast path held to the library.

Source of the vectors: RFC 8785, JSON Canonicalization Scheme, and the test data published with it.
"""

from __future__ import annotations

import hashlib
import json
import struct
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from qa.record.canonical import canonical_json, digest

ARRAYS = """[56, {"d": true, "10": null, "1": [ ]}]"""
STRUCTURES = r"""{
  "1": {"f": {"f": "hi", "F": 5}, "\n": 56.0}, "10": {}, "": "empty", "a": {},
  "111": [{"e": "yes", "E": "no"}], "A": {}
}"""
VALUES = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
FRENCH = """{
  "peach": "This sorting order", "péché": "is wrong according to French",
  "pêche": "but canonicalization MUST", "sin": "ignore locale"
}"""
UNICODE = r"""{"Unnormalized Unicode": "A\u030a"}"""
WEIRD = r"""{
  "\u20ac": "Euro Sign", "\r": "Carriage Return", "\u000a": "Newline", "1": "One",
  "\u0080": "Control\u007f", "\ud83d\ude02": "Smiley",
  "\u00f6": "Latin Small Letter O With Diaeresis",
  "\ufb33": "Hebrew Letter Dalet With Dagesh", "</script>": "Browser Challenge"
}"""

PUBLISHED = {
    "arrays": (ARRAYS, "099601b171cafed97c333f8878d68e7f8c8f795412adb34b2fdcf0e7c7beac42"),
    "structures": (STRUCTURES, "605f65004ec2db7692522a0852c22f1c989e036d547e88963d1a3143cf3195d5"),
    "values": (VALUES, "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"),
    "french": (FRENCH, "d99d0ebdcb0033cb858cfa830ae46bc0fb3309413b271f1da828c89901a27ed5"),
    "unicode": (UNICODE, "0d99aad92a125196ff887876643fd3206786a84ddce2cee52ba4ad256d2381d3"),
    "weird": (WEIRD, "6af595a9aa80110b964b4de3f82a05fa6ae7423005019bacfa2620dddc4e94d1"),
}
"""Input and the SHA-256 of its canonical form."""

IEEE_754 = {
    "4340000000000001": "9007199254740994",
    "444b1ae4d6e2ef50": "1e+21",
    "3eb0c6f7a0b5ed8d": "0.000001",
    "3eb0c6f7a0b5ed8c": "9.999999999999997e-7",
    "8000000000000000": "0",
    "0000000000000000": "0",
    "0000000000000001": "5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308",
    "41b3de4355555555": "333333333.3333333",
}
"""Bits of a double and its text: five of the published test data, the rest from memory of RFC 8785,
appendix B."""


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_vector_gives_the_published_digest(name: str) -> None:
    text, sha256 = PUBLISHED[name]
    canonical = canonical_json(json.loads(text))
    assert hashlib.sha256(canonical).hexdigest() == sha256
    assert digest(json.loads(text)) == sha256


def test_published_forms_stand_byte_for_byte() -> None:
    assert canonical_json(json.loads(ARRAYS)) == b'[56,{"1":[],"10":null,"d":true}]'
    assert canonical_json(json.loads(STRUCTURES)) == (
        rb'{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},'
        rb'"111":[{"E":"no","e":"yes"}],"A":{},"a":{}}'
    )
    assert (
        canonical_json(json.loads(VALUES))
        == (
            r'{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
            r'"string":"€$\u000f\nA' + "'" + r'B\"\\\\\"/"}'
        ).encode()
    )


@pytest.mark.parametrize("bits", IEEE_754)
def test_double_is_written_as_ecmascript_does(bits: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical_json(number).decode() == IEEE_754[bits]


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (2**53 - 1, "9007199254740991"),
        (-(2**53) + 1, "-9007199254740991"),
        (5.0, "5"),
        (-0.0, "0"),
        (1e-4, "0.0001"),
        (9.999999999999999e-5, "0.00009999999999999999"),
        (1e15, "1000000000000000"),
        (1e16, "10000000000000000"),
        (123456789012345.6, "123456789012345.6"),
        (14.5, "14.5"),
        (True, "true"),
    ],
)
def test_number_on_the_edge_of_the_fast_path(number: float, text: str) -> None:
    assert canonical_json(number).decode() == text


@pytest.mark.parametrize(
    "refused",
    [
        float("nan"),
        float("inf"),
        float("-inf"),
        2**53,
        -(2**53),
        10**400,
        "\ud800",
        "a\udfff",
        {"\ud800": 1},
        {"a": ["\udc00"]},
    ],
    ids=repr,
)
def test_value_without_a_canonical_form_is_refused(refused: Any) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - the library has its own subclasses
        canonical_json({"value": refused})


def test_whole_doubles_and_integers_are_one_value() -> None:
    assert digest({"kg": 5}) == digest({"kg": 5.0}) != digest({"kg": "5"})


def test_normal_forms_of_unicode_stay_apart() -> None:
    assert digest("Å") != digest("A\u030a")


def test_keys_stand_in_utf_16_order() -> None:
    assert list(json.loads(canonical_json({"\ufb33": 1, "😂": 2}))) == ["😂", "\ufb33"]


texts = st.text(st.characters(exclude_categories=["Cs"]))
numbers = (
    st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.floats(1e-7, 1e-3)
    | st.floats(2**52, 1e22)
    | st.decimals(-1000, 1000, places=2).map(float)
)
json_values = st.recursive(
    st.none() | st.booleans() | numbers | texts,
    lambda inner: st.lists(inner) | st.dictionaries(texts, inner),
    max_leaves=12,
)


@given(json_values)
def test_fast_path_equals_the_library(value: Any) -> None:
    assert canonical_json(value) == rfc8785.dumps(value)


@given(json_values)
def test_canonical_form_is_its_own_canonical_form(value: Any) -> None:
    canonical = canonical_json(value)
    # Every number of RFC 8785 is a double, however it is written.
    assert canonical_json(json.loads(canonical, parse_int=float)) == canonical


@given(st.text(), st.text(st.characters(categories=["Cs"]), min_size=1), st.text())
def test_half_characters_are_refused_everywhere(before: str, half: str, after: str) -> None:
    for value in (before + half + after, {before + half + after: 1}):
        with pytest.raises(ValueError):  # noqa: PT011
            canonical_json(value)
