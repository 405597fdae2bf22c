"""Canonical JSON against RFC 8785's own examples and its published test data (cyberphone/json-canonicalization, testdata/)."""

import hashlib

import pytest
import rfc8785

from jobs.canonical import canonical, digest


def test_keys_are_sorted_by_utf_16_code_units_as_section_3_2_3_shows() -> None:
    told = {
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis",
    }
    # Section 3.2.3 lists the sorted values in this order. The bytes come from the library: our NFC step would recompose
    # U+FB33, which Unicode excludes from composition.
    order = [line for line in rfc8785.dumps(told).decode().split('"') if line in told.values()]
    assert order == [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O With Diaeresis",
        "Euro Sign",
        "Emoji: Grinning Face",
        "Hebrew Letter Dalet With Dagesh",
    ]


def test_the_string_example_of_section_3_2_2_is_serialised_byte_for_byte() -> None:
    assert (
        canonical("\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"\u002f") == '"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"'
    )


def test_the_literals_example_of_section_3_2_2() -> None:
    assert canonical({"literals": [None, True, False]}) == '{"literals":[null,true,false]}'


@pytest.mark.parametrize(
    ("value", "sha_starts"),
    [
        # testdata/input/arrays.json and french.json; first twelve digits of the SHA-256 of their published output
        ([56, {"d": True, "10": None, "1": []}], "099601b171ca"),
        (
            {
                "peach": "This sorting order",
                "péché": "is wrong according to French",
                "pêche": "but canonicalization MUST",
                "sin": "ignore locale",
            },
            "d99d0ebdcb00",
        ),
    ],
)
def test_published_vectors_have_their_published_hash(value: object, sha_starts: str) -> None:
    assert digest(canonical(value)).startswith(sha_starts)


@pytest.mark.parametrize(
    ("value", "sha_starts"),
    [
        # testdata/input/structures.json: nested keys, an empty key, and 56.0 which is written 56
        (
            {
                "1": {"f": {"f": "hi", "F": 5}, "\n": 56},
                "10": {},
                "": "empty",
                "a": {},
                "111": [{"e": "yes", "E": "no"}],
                "A": {},
            },
            "605f65004ec2",
        ),
        # testdata/input/weird.json: keys by UTF-16 code units, so that the smiley comes before the Hebrew letter
        (
            {
                "\u20ac": "Euro Sign",
                "\r": "Carriage Return",
                "\n": "Newline",
                "1": "One",
                "\u0080": "Control\u007f",
                "\U0001f602": "Smiley",
                "\u00f6": "Latin Small Letter O With Diaeresis",
                "\ufb33": "Hebrew Letter Dalet With Dagesh",
                "</script>": "Browser Challenge",
            },
            "6af595a9aa80",
        ),
        # testdata/input/unicode.json: the standard keeps two spellings apart (we bring text to NFC first, see below)
        ({"Unnormalized Unicode": "A\u030a"}, "0d99aad92a12"),
        # testdata/input/values.json: floats, which the library writes as the standard says and our journal never holds
        (
            {
                "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 1e-27],
                "string": '\u20ac$\u000f\nA\'B"\\\\"/',
                "literals": [None, True, False],
            },
            "2d5e01a318d0",
        ),
    ],
)
def test_the_library_below_ours_gives_every_published_hash(value: object, sha_starts: str) -> None:
    assert digest(rfc8785.dumps(value).decode()).startswith(sha_starts)  # type: ignore[arg-type]


def test_floats_have_no_place_in_the_journal() -> None:
    with pytest.raises(TypeError):
        canonical({"price": 0.1})


def test_two_spellings_of_one_letter_give_one_hash() -> None:
    """RFC 8785 does not normalise (its test data 'unicode'); we bring text to NFC first, so that both spellings agree."""
    assert canonical("A\u030a") == canonical("\u00c5")


def test_the_digest_is_plain_sha_256_of_the_utf_8_bytes() -> None:
    assert digest("é") == hashlib.sha256("é".encode()).hexdigest()
