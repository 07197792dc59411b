"""Crowded plans without a plan: obstacles thrown into a ring until it is full, run from each to the nearest left."""

import math
import random

import shapely

from coursecheck.course.model import Course, Obstacle, Pass, Ring
from coursecheck.equipment import build_shape, build_shapes
from coursecheck.measures.scene import Scene
from coursecheck.path.line import Line
from coursecheck.path.runner import Runner

KINDS = (
    *["jump"] * 9,
    *["tunnel"] * 3,
    "weaves",
    "a-frame",
    "dog-walk",
    "seesaw",
    "wall",
    "tyre",
    "long-jump",
    "spread",
)


def crowded_course(seed: int) -> Course:
    """The plan of that number; some obstacles are taken twice, some in reverse."""
    chance = random.Random(seed)  # noqa: S311 (nothing secret)
    wide, high = chance.choice([(20, 30), (25, 30), (20, 40), (30, 40)])
    inside, ground, obstacles = shapely.box(1, 1, wide - 1, high - 1), [], []
    count = chance.choice([15, 18, 20, 24])
    while len(obstacles) < count:
        kind = chance.choice(KINDS)
        at = (chance.uniform(2, wide - 2), chance.uniform(2, high - 2))
        sizes = {"bend": chance.choice([0, 60, 90, -90])} if kind == "tunnel" else {}
        thrown = Obstacle(f"o{len(obstacles)}", kind, at, chance.uniform(0, 360), sizes)
        body = build_shape(thrown).footprint
        if inside.contains(body) and not any(body.buffer(0.5).intersects(other) for other in ground):
            ground.append(body)
            obstacles.append(thrown)
    left, run = list(obstacles), []
    while left:
        here = run[-1].at if run else (0.0, 0.0)
        run.append(min(left, key=lambda o: math.dist(o.at, here)))
        left.remove(run[-1])
    passes = tuple(Pass(i, o.id, chance.random() < 0.3) for i, o in enumerate([*run, *run[3:6]], 1))
    ring = Ring(((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)), solid=frozenset({0}))
    return Course(f"crowd {seed}", "club-show", "agility", "1", ring, tuple(obstacles), passes, start_line_m=1.0)


def crowded_scene(seed: int) -> Scene:
    """That plan on the ground, without a line: such a sequence has none that a dog would like."""
    course = crowded_course(seed)
    return Scene(course, build_shapes(course), Line(Runner(1.5, 1.5, 1.5), (), ()))
