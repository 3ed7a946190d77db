"""Text of a PDF by Poppler's pdftotext; a test that needs it skips where it is not installed."""

from __future__ import annotations

import shutil
import subprocess

import pytest


def pdftotext(pdf: bytes, layout: str = "-layout") -> str:
    """What pdftotext prints of a PDF: ``-layout`` as it stands, ``-bbox`` words with boxes."""
    if not shutil.which("pdftotext"):
        pytest.skip("pdftotext (Debian: poppler-utils) is not installed")
    done = subprocess.run(
        ["pdftotext", layout, "-", "-"], input=pdf, capture_output=True, check=True
    )
    return done.stdout.decode()
