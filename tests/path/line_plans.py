"""Plans to compute lines on, made by hand and at random."""

import math
import random

from coursecheck.course.model import Course, Obstacle, Pass, Ring
from coursecheck.equipment import build_shapes
from coursecheck.path.compute import compute_line
from coursecheck.path.runner import Runner

SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
RUNNER = Runner(turn_radius_m=1.0, takeoff_m=1.5, landing_m=1.5)


def plan(*obstacles, run=None, ring=SQUARE, blocked=()):
    """A plan of obstacles (id, kind, x, y, bearing, sizes); `run` holds words such as "a", "a reverse left"."""
    made = tuple(Obstacle(o[0], o[1], (o[2], o[3]), o[4], o[5] if len(o) > 5 else {}) for o in obstacles)
    words = [word.split() for word in (run or [o[0] for o in obstacles])]
    passes = tuple(
        Pass(i, w[0], "reverse" in w, next((t for t in ("left", "right") if t in w), None))
        for i, w in enumerate(words, 1)
    )
    return Course("Trial", "any", "agility", "1", Ring(ring, blocked=tuple(blocked)), made, passes)


def line_of(course, runner=RUNNER, memo=None):
    return compute_line(course, build_shapes(course, tunnel_line=runner.tunnel_line), runner, memo)


KINDS = ("jump", "jump", "jump", "jump", "jump", "spread", "wall", "long-jump", "tyre", "tunnel", "a-frame", "weaves")


def random_plan(seed, count=6, wild_deg=35.0, strays=0, kinds=KINDS):
    """Obstacles in rows up and down the ring, far enough apart to be run, turned at random.

    `strays` is how many others stand between them, in nobody's way but the line's.
    """
    rng = random.Random(seed)  # noqa: S311 - plans, not secrets
    obstacles = []
    for i in range(count):
        column, row = divmod(i, 4)
        up = column % 2 == 0
        x, y = 6.0 + 8.0 * column, 5.0 + 8.0 * (row if up else 3 - row)
        bearing = (0.0 if up else 180.0) + rng.uniform(-wild_deg, wild_deg)
        kind = rng.choice(kinds)
        sizes = {}
        if kind == "tunnel":
            sizes = {"length": rng.choice([3.0, 4.0]), "bend": rng.choice([-60.0, 0.0, 60.0])}
        elif kind == "weaves":
            sizes = {"poles": 6}
        at = (x + rng.uniform(-1.0, 1.0), y + rng.uniform(-0.7, 0.7))
        obstacles.append((f"o{i}", kind, *at, bearing, sizes))
    run = [o[0] for o in obstacles]
    while len(obstacles) < count + strays:
        x, y = rng.uniform(3.0, 19.0), rng.uniform(3.0, 34.0)
        if all(math.hypot(x - o[2], y - o[3]) > 3.4 for o in obstacles):
            kind = rng.choice(["jump", "jump", "wall", "tunnel", "seesaw"])
            sizes = {"length": 3.0, "bend": 90.0} if kind == "tunnel" else {}
            obstacles.append((f"s{len(obstacles)}", kind, x, y, rng.uniform(0.0, 360.0), sizes))
    return plan(*obstacles, run=run)
