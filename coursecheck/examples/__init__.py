"""Small plans that show a limit kept and a limit broken: one way to lay them out for each measure.

They are built for a wanted value, measured and judged like any other plan, and drawn by the same hand. Importing
this package fills PLANS.
"""

from coursecheck.examples import approaches, edges, ground, legs, sequences, wholes
from coursecheck.examples.choosing import Example, Setting, example, key_of
from coursecheck.examples.layout import PLANS

__all__ = [
    "PLANS",
    "Example",
    "Setting",
    "approaches",
    "edges",
    "example",
    "ground",
    "key_of",
    "legs",
    "sequences",
    "wholes",
]
