"""The HTML of a page without the white space that a browser shows nowhere.

>>> markup('<p>\\n  One <b\\n    class="x"\\n  >two</b>\\n</p>')
'<p>One <b class="x">two</b></p>'
"""

from __future__ import annotations

import re

_BLOCKS = (
    "p|div|h1|h2|h3|ul|ol|li|dl|dt|dd|table|thead|tbody|tr|td|th|form|fieldset|legend|section|nav"
    "|details|summary|button|select|option"
)


def markup(html: str) -> str:
    """One line, with nothing between a block and what is in it or beside it."""
    line = re.sub(r"[ \t\r\n\f]+", " ", html).strip().replace('" >', '">')
    return re.sub(rf" ?(</?(?:{_BLOCKS})\b[^>]*>) ?", r"\1", line)
