"""The browser and the system of a device, in plain words.

Computed: a few words from what a browser says of itself (the header ``User-Agent``, RFC 9110,
10.1.5). Such a text may say anything; what is not known is said so. No units.

>>> device_words("Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0")
'Firefox on Linux'
>>> device_words(
...     "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 "
...     "(KHTML, like Gecko) Version/18.5 Mobile/15E148 Safari/604.1"
... )
'Safari on an iPhone'
>>> device_words("a script")
'A browser that does not say what it is'
"""

from __future__ import annotations

# The first that is found decides: many browsers also say the names of others.
_BROWSERS = (
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser/", "Samsung Internet"),
    ("Vivaldi/", "Vivaldi"),
    ("FxiOS/", "Firefox"),
    ("Firefox/", "Firefox"),
    ("CriOS/", "Chrome"),
    ("Chrome/", "Chrome"),
    ("Chromium/", "Chromium"),
    ("Safari/", "Safari"),
)
_SYSTEMS = (
    ("iPhone", "an iPhone"),
    ("iPad", "an iPad"),
    ("Android", "Android"),
    ("CrOS", "ChromeOS"),
    ("Windows", "Windows"),
    ("Macintosh", "a Mac"),
    ("Linux", "Linux"),
    ("BSD", "BSD"),
)


def device_words(agent: str) -> str:
    """Such as "Firefox on Linux"."""
    browser = _first(_BROWSERS, agent)
    system = _first(_SYSTEMS, agent)
    if browser and system:
        return f"{browser} on {system}"
    if browser or system:
        return browser or f"A browser on {system}"
    return "A browser that does not say what it is"


def _first(names: tuple[tuple[str, str], ...], agent: str) -> str:
    return next((words for sign, words in names if sign in agent), "")
