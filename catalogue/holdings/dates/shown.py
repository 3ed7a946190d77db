"""The date as it stands on a piece, for drawing it.

What is computed: from the date shown by its issue, else from a reading kept as EDTF, the text that
a drawing bears. A figure that could not be read is a dot. What is not a single year, or not sure,
is no date: none is better than a wrong one. Rules of this project.

>>> shown_date("\u0661\u0663\u0668\u0669", "1969"), shown_date("", "1947"), shown_date("", "19X8")
('\u0661\u0663\u0668\u0669', '1947', '19·8')
>>> shown_date("", "1947~"), shown_date("", "[1966,1968]"), shown_date("", "")
('', '', '')
"""

from __future__ import annotations

from series.dates.edtf import DateError, parse_edtf

UNREAD = "·"


def shown_date(shown: str, reading: str) -> str:
    """The date on the coin: of its issue, or as far as it was read; "" when it is not known."""
    if shown.strip():
        return shown.strip()
    try:
        date = parse_edtf(reading)
    except DateError:
        return ""
    one = date.spans[0].first
    if date.kind != "date" or one is None or one.qualifier or one.year.strip("X") in ("", "-"):
        return ""
    return one.year.replace("X", UNREAD) if one.year[0] != "-" else ""
