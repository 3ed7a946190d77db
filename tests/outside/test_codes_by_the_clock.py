"""Codes by the clock against RFC 6238 (IETF, 2011), Appendix B, the vectors for SHA-1.

The vectors have eight figures. A code of six is the last six of them, since both are the same
number modulo a power of ten (RFC 4226, section 5.3).
"""

from __future__ import annotations

import pytest

from catalogue.members.door.second_factor import code_at

KEY = b"12345678901234567890"
VECTORS = {
    59: "94287082",
    1111111109: "07081804",
    1111111111: "14050471",
    1234567890: "89005924",
    2000000000: "69279037",
    20000000000: "65353130",
}


@pytest.mark.parametrize(("seconds", "code"), VECTORS.items())
def test_codes_are_those_of_the_standard(seconds: int, code: str) -> None:
    assert code_at(KEY, seconds) == code[-6:]


@pytest.mark.parametrize(("seconds", "code"), VECTORS.items())
def test_a_code_lasts_for_its_half_minute(seconds: int, code: str) -> None:
    start = seconds - seconds % 30
    assert code_at(KEY, start) == code_at(KEY, start + 29.9) == code[-6:]
    assert code_at(KEY, start + 30) != code[-6:]
