"""What can be measured on a plan: numbers with a unit and a witness. No limits, no rulebook.

Importing this package fills the registry.
"""

from coursecheck.measures import (
    approaches,
    counts,
    edges,
    finish,
    ground,
    legs,
    running,
    sequences,
    stock,
    straights,
)
from coursecheck.measures.model import Ask, Facets, Measure, Value, Witness
from coursecheck.measures.registry import MEASURES
from coursecheck.measures.scene import Scene

__all__ = [
    "MEASURES",
    "Ask",
    "Facets",
    "Measure",
    "Scene",
    "Value",
    "Witness",
    "approaches",
    "counts",
    "edges",
    "finish",
    "ground",
    "legs",
    "running",
    "sequences",
    "stock",
    "straights",
]
