"""Plausible courses grown step by step: a dog's way through a ring with an obstacle every few metres.

Each number grows one course, always the same. They are not good courses: spacing, turns and approaches are those of
hurried drafts, so that most of them break something. The plans beside this file were written by it:

    python tests/corpus/growing.py
"""

import math
import random
from pathlib import Path

from coursecheck.course.model import Course, Obstacle, Pass, Ring
from coursecheck.course.writing import render_course
from coursecheck.equipment import KINDS, build_shape

RINGS = ((20.0, 40.0), (24.0, 40.0), (30.0, 30.0), (30.0, 40.0))
ONCE = ("spread", "wall", "long-jump", "tyre", "weaves", "a-frame", "dog-walk", "seesaw")
TURNS_DEG = {"spread": 12, "wall": 12, "long-jump": 12, "tyre": 12, "a-frame": 20, "dog-walk": 20, "seesaw": 20}
ATTEMPTS = 25
COUNT = 64
MARGIN_M = 1.8
GAP_M = 1.0


def grow(number):
    """The course of that number."""
    rng = random.Random(number)  # noqa: S311 - plans, not secrets
    width, height = RINGS[number % len(RINGS)]
    discipline = ("agility", "jumping")[number // 4 % 2]
    grade = str(1 + number % 3)
    ring = Ring(((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)), frozenset({2} if number % 5 == 0 else ()))
    wanted = {"1": 12, "2": 17, "3": 20}[grade]
    kinds = _kinds(rng, discipline, wanted)
    things, words = max((_way(rng, ring, kinds) for _ in range(ATTEMPTS)), key=lambda way: len(way[1]))
    passes = tuple(Pass(i, word) for i, word in enumerate(words, 1))
    return Course(f"Grown {number:02d}", "club-show", discipline, grade, ring, things, passes, speed_mps=3.6)


def _kinds(rng, discipline, wanted):
    """Jumps and tunnels with the other kinds once each at places between."""
    special = [kind for kind in ONCE if discipline == "agility" or kind not in ("a-frame", "dog-walk", "seesaw")]
    kinds = [rng.choice(("jump", "jump", "jump", "tunnel")) for _ in range(wanted)]
    for kind, place in zip(special, rng.sample(range(1, wanted - 1), len(special)), strict=True):
        kinds[place] = kind
    for i in range(1, wanted):
        if kinds[i] in ("a-frame", "dog-walk", "seesaw") and kinds[i - 1] in ("a-frame", "dog-walk", "seesaw"):
            kinds[i - 1] = "tunnel"
    return ["jump", *kinds[1:-1], "jump"]


def _way(rng, ring, kinds):
    """Obstacles along a wandering way; a step that finds no room ends the course early."""
    width = ring.outline[2][0]
    x, y, bearing = rng.uniform(4.0, width - 4.0), 5.0, rng.uniform(-20.0, 20.0)
    things, words, shapes = [], [], []
    for kind in kinds:
        for _ in range(40):
            distance = rng.uniform(5.0, 7.0) if things else 0.0
            turn = rng.gauss(0.0, TURNS_DEG.get(kind, 60)) if things else 0.0
            ahead = bearing + turn / 2
            at = (x + distance * math.sin(math.radians(ahead)), y + distance * math.cos(math.radians(ahead)))
            sizes = {"length": 5.0, "bend": round(rng.uniform(-100, 100))} if kind == "tunnel" else {}
            thing = _placed(f"o{len(things) + 1}", kind, at, bearing + turn, sizes)
            shape = build_shape(thing)
            if _fits(shape, ring, shapes):
                break
        else:
            return tuple(things), words
        things.append(thing)
        words.append(thing.id)
        shapes.append(shape)
        (x, y), bearing = shape.forwards.exit.centre, shape.forwards.exit.bearing_deg
    return tuple(things), words


def _placed(name, kind, entry, bearing, sizes):
    """An obstacle whose way in lies at a place, on a 10 cm grid and to 5 degrees as a judge would write it."""
    bearing = round(bearing / 5) * 5 % 360
    at_origin = build_shape(Obstacle(name, kind, (0.0, 0.0), bearing, sizes)).forwards.entry.centre
    at = (round(entry[0] - at_origin[0], 1), round(entry[1] - at_origin[1], 1))
    return Obstacle(name, kind, at, bearing, sizes)


def _fits(shape, ring, shapes):
    (low_x, low_y, high_x, high_y), (width, height) = shape.footprint.bounds, ring.outline[2]
    inside = min(low_x, low_y, width - high_x, height - high_y) >= MARGIN_M
    leave = shape.forwards.exit.frame.place(4.0, 0.0)
    room = 0.0 < leave[0] < width and 0.0 < leave[1] < height
    return inside and room and all(shape.footprint.distance(other.footprint) >= GAP_M for other in shapes)


if __name__ == "__main__":
    folder = Path(__file__).with_name("plans")
    folder.mkdir(exist_ok=True)
    for number in range(COUNT):
        (folder / f"grown-{number:02d}.course.toml").write_text(render_course(grow(number), KINDS))
