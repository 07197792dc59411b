"""What a reader sees of a page, and what a printer gets of it."""

import html
import re
import subprocess


def words_of(page):
    """The words of a page, single spaces between."""
    body = re.sub(r"<(style|script)\b.*?</\1>", " ", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def run(*command):
    """What a program prints."""
    return subprocess.run(command, check=True, capture_output=True, text=True, timeout=60).stdout
