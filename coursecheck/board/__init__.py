"""The drawing board: a page on this machine on which a judge draws, judged by the same engine as the command line.

Python owns the file, all measuring and all judging; the page in `static/` owns where things are drawn and seen.
"""

from __future__ import annotations
