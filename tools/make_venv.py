"""Makes a virtual environment with pip, on systems too that ship python3 without ensurepip or pip.

    python3 tools/make_venv.py .venv

Standard library only. Where ensurepip is missing, pip's own wheel is fetched from the package index (PIP_INDEX_URL or
the public one) and installs itself.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
import urllib.parse
import urllib.request
import venv
from pathlib import Path

INDEX = os.environ.get("PIP_INDEX_URL", "https://pypi.org/simple")


def main(folder: Path) -> None:
    """Makes the environment."""
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if not python.exists():
        venv.create(folder, with_pip=False)
    if subprocess.run([python, "-m", "pip", "--version"], capture_output=True, check=False).returncode == 0:
        return
    if subprocess.run([python, "-m", "ensurepip", "--default-pip"], capture_output=True, check=False).returncode == 0:
        return
    with tempfile.TemporaryDirectory() as scratch:
        wheel = fetch_pip(Path(scratch))
        subprocess.run([python, f"{wheel}/pip", "install", "--quiet", "--no-index", wheel], check=True)


def fetch_pip(scratch: Path) -> Path:
    """Downloads the newest stable wheel of pip from the index."""
    page_url = f"{INDEX.rstrip('/')}/pip/"
    page = read(page_url).decode()
    links = re.findall(r'href="([^"]*/pip-(\d+(?:\.\d+)*)-py3-none-any\.whl[^"]*)"', page)
    if not links:
        sys.exit(f"{page_url}: no wheel of pip found; install pip or ensurepip for {sys.executable}")
    link, version = max(links, key=lambda found: [int(part) for part in found[1].split(".")])
    wheel = scratch / f"pip-{version}-py3-none-any.whl"
    wheel.write_bytes(read(urllib.parse.urljoin(page_url, link)))
    return wheel


def read(url: str) -> bytes:
    """The body of an http(s) page."""
    if not url.startswith(("https://", "http://")):
        sys.exit(f"{url}: not an address of a package index")
    with urllib.request.urlopen(url, timeout=60) as answer:  # noqa: S310 - the scheme is checked above
        return bytes(answer.read())


if __name__ == "__main__":
    main(Path(sys.argv[1]))
