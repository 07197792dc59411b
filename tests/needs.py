"""What some tests want beside Python: a browser, a reader of PDF files, Pango, a set of fonts.

Without it a test is left out, as on a machine that has only python3 and make; with COURSECHECK_STRICT in the
environment, as in CI, it fails.
"""

import ctypes.util
import os
import shutil
from pathlib import Path

import pytest

WANTED = {
    "chromium": lambda: shutil.which("chromium"),
    "poppler": lambda: shutil.which("pdftoppm") and shutil.which("pdftotext"),
    "pango": lambda: ctypes.util.find_library("pangoft2-1.0"),
    "dejavu": lambda: any(Path("/usr/share/fonts").glob("**/DejaVuSerif-Bold.ttf")),
}


def require(*names):
    """Goes on where all of these are there; else the test is left out, or fails where nothing may be left out."""
    missing = [name for name in names if not WANTED[name]()]
    if missing and os.environ.get("COURSECHECK_STRICT"):
        pytest.fail(f"needs {', '.join(missing)}")
    if missing:
        pytest.skip(f"needs {', '.join(missing)}")
