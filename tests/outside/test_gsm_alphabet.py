"""The alphabet of text messages against the table that Perl carries (Encode::GSM0338), which was not made by us."""

import shutil
import subprocess

import pytest

from notifications.gsm import BASIC, EXTENDED

ASK = r"""
use Encode; binmode STDOUT, ":raw";
for my $code (0x00 .. 0xFFFF) {
    next if $code >= 0xD800 && $code <= 0xDFFF;
    my $sign = chr $code;
    my $bytes = eval { Encode::encode("gsm0338", $sign, Encode::FB_CROAK) };
    print sprintf("%04X %s\n", $code, unpack("H*", $bytes)) if defined $bytes && length $bytes;
}
"""


@pytest.fixture(scope="module")
def table() -> dict[str, str]:
    """Sign -> its septets in hex, for each sign of the Basic Multilingual Plane that Perl can write."""
    perl = shutil.which("perl")
    asked = subprocess.run([perl or "perl", "-e", ASK], capture_output=True, text=True) if perl else None
    if asked is None or asked.returncode:
        pytest.skip("no Perl with Encode::GSM0338 here")
    rows = (line.split() for line in asked.stdout.splitlines())
    return {chr(int(code, 16)): octets for code, octets in rows}


def test_every_sign_of_ours_is_in_the_outside_table_at_its_own_place(table):
    for place, sign in enumerate(BASIC):
        assert (sign, int(table[sign], 16)) == (sign, place if place < 0x1B else place + 1)


def test_every_sign_of_two_septets_begins_with_the_escape_there_too(table):
    assert {sign: table[sign][:2] for sign in EXTENDED} == dict.fromkeys(EXTENDED, "1b")


def test_the_outside_table_has_no_sign_that_we_lack(table):
    assert set(table) == set(BASIC) | set(EXTENDED)
