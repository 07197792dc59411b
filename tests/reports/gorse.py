"""A small but real plan that was judged by hand: every kind of obstacle, every outcome, and a walled ring."""

import datetime
import math
from decimal import Decimal
from itertools import pairwise

from coursecheck.course.model import Blocked, Course, Obstacle, Origin, Pass, Ring
from coursecheck.equipment import build_shapes
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.measures.model import Value, Witness
from coursecheck.measures.running import Expectation
from coursecheck.measures.scene import Scene
from coursecheck.path.line import LegLine, LengthRule, Line, PassLine
from coursecheck.path.runner import Runner
from coursecheck.rulebook.model import Height, Rulebook
from coursecheck.times import Times
from coursecheck.verdict.compare import place_words
from coursecheck.verdict.model import CourseLength, Finding, Uncovered, Verdict, Waiver, Wording

OBSTACLES = (
    ("a", "jump", 5.0, 5.0, 0.0, {}),
    ("b", "spread", 5.0, 11.0, 0.0, {}),
    ("c", "jump", 5.0, 17.5, 10.0, {}),
    ("t1", "tunnel", 6.5, 23.0, 20.0, {"bend": 90.0}),
    ("walk", "dog-walk", 17.0, 26.5, 95.0, {}),
    ("d", "wall", 25.5, 23.5, 160.0, {}),
    ("tyre", "tyre", 26.0, 17.5, 180.0, {}),
    ("see", "seesaw", 25.5, 11.0, 185.0, {}),
    ("t2", "tunnel", 24.0, 5.0, 200.0, {"bend": 80.0}),
    ("frame", "a-frame", 16.0, 4.2, 275.0, {}),
    ("e", "long-jump", 10.5, 8.0, 20.0, {}),
    ("poles", "weaves", 13.5, 14.5, 20.0, {}),
    ("top", "table", 17.5, 19.5, 90.0, {}),
    ("f", "jump", 20.5, 15.0, 190.0, {}),
    ("loose", "jump", 9.5, 13.0, 60.0, {}),
)
RUN = ("a", "b", "c", "t1", "walk", "d", "tyre", "see", "t2", "frame", "e", "poles", "top", "f", "c reverse")
RING = Ring(
    outline=((0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)),
    solid=frozenset({2, 3}),
    entrance=((10.0, 0.0), (13.0, 0.0)),
    exit=((30.0, 1.0), (30.0, 4.0)),
    blocked=(
        Blocked("judges' tent", outline=((27.0, 27.0), (29.5, 27.0), (29.5, 29.5), (27.0, 29.5))),
        Blocked("drain", centre=(13.0, 22.0), radius_m=0.4),
    ),
)


def hand_line(passes, shapes, runner):
    """Straight over each obstacle and straight from one to the next, with one leg that nobody can run."""
    runs = []
    for run in passes:
        way = shapes[run.obstacle].way(reverse=run.reverse)
        heading = math.pi / 2 - math.radians(way.entry.bearing_deg)
        if way.form == "track":
            runs.append(PassLine(run.number, way.track))
        elif way.form == "stop":
            runs.append(PassLine(run.number, (Segment(Pose(*way.entry.centre, heading), 0.0),)))
        else:
            reach = math.dist(way.entry.centre, way.exit.centre)
            start = Pose(*way.entry.centre, heading).ahead(-1.0)
            runs.append(PassLine(run.number, (Segment(start, 2.0 + reach),), 1.0, 1.0))
    legs = []
    for before, after in pairwise(runs):
        (ax, ay), (bx, by) = before.exit.point, after.entry.point
        piece = Segment(Pose(ax, ay, math.atan2(by - ay, bx - ax)), math.hypot(bx - ax, by - ay))
        problem = "the poles are in the way" if before.number == 14 else None
        legs.append(LegLine(before.number, (piece,), problem))
    return Line(runner, tuple(runs), tuple(legs))


def make_course(**changes):
    """The plan; any of its parts may be changed."""
    things = tuple(Obstacle(name, kind, (x, y), bearing, sizes) for name, kind, x, y, bearing, sizes in OBSTACLES)
    passes = tuple(Pass(i, word.split()[0], "reverse" in word.split()) for i, word in enumerate(RUN, 1))
    parts = {
        "title": "Gorse Hill trial, ring 1",
        "rulebook": "gorse",
        "discipline": "agility",
        "grade": "2",
        "ring": RING,
        "obstacles": things,
        "passes": passes,
        "start_line_m": 1.5,
        "finish_line_m": 2.0,
        "origin": Origin("gorse.course.toml", "ab" * 32),
    }
    return Course(**{**parts, **changes})


def make_finding(**changes):
    """A breach of a distance between two obstacles; any of it may be changed."""
    parts = {
        "limit": "leg-distance-min",
        "title": "distance to the next obstacle",
        "outcome": "breach",
        "severity": "must",
        "height": None,
        "passes": (1, 2),
        "obstacles": ("a", "b"),
        "measured": 4.62,
        "min": 5.0,
        "max": None,
        "expected": "at least 5.00 m",
        "unit": "m",
        "margin": -0.38,
        "chance": 0.99,
        "metric": "line",
        "clause": "A.3.1",
        "basis": "summary",
        "source": "the club's rules as published",
        "message": "1 to 2 (a to b): distance to the next obstacle 4.62 m, at least 5.00 m (0.38 m short)",
        "witness": Witness("path", ((5.0, 5.0), (5.0, 10.7))),
        "why": ("leg-distance-min applies to all",),
    }
    whole = {**parts, **changes}
    seen = {"from": "jump", "to": "jump"} if len(whole["passes"]) != 1 else {"kind": "jump"}
    place = place_words(Value(None, whole["passes"], whole["obstacles"], facets=(seen,)))
    said = {name: whole.pop(name) for name in ("title", "expected", "message", "place") if name in whole}
    figures = said["message"].partition(": ")[2].removeprefix(f"{said['title']} ")
    return Finding(words=Wording(**{"place": place, "figures": figures, **said}), **whole)


def make_findings():
    """Findings of every outcome and severity, some for one class, some for all, in the verdict's order."""
    near = {"limit": "passage-min", "title": "passage between obstacles", "metric": "solid", "clause": "B.2"}
    turn = {"limit": "approach-max", "title": "approach angle", "unit": "deg", "metric": "line", "clause": ""}
    edge = {"limit": "edge-min", "title": "obstacle to ring edge", "basis": "practice", "source": "common practice"}
    blank = {"passes": (), "obstacles": (), "measured": None, "margin": None, "chance": None, "witness": None}
    course = {"passes": (), "obstacles": (), "witness": None, "unit": "count", "metric": "all", "chance": None}
    return (
        make_finding(height="small"),
        make_finding(
            height="large", measured=4.5, message="1 to 2 (a to b): distance 4.50 m, at least 5.00 m (0.50 m short)"
        ),
        make_finding(
            **course | {"limit": "passes-min", "title": "number of passes", "measured": 15, "min": 18, "margin": -3},
            expected="at least 18",
            message="course: number of passes 15, at least 18 (3 short)",
        ),
        make_finding(
            **near,
            passes=(11, 12),
            obstacles=("e", "loose"),
            severity="should",
            message="e and loose: passage 0.90 m, at least 1.00 m (0.10 m short)",
            witness=Witness("segment", ((10.2, 9.0), (9.6, 12.6))),
        ),
        make_finding(
            **near,
            passes=(7,),
            obstacles=("tyre",),
            severity="should",
            message="7 (tyre): passage 0.95 m, at least 1.00 m (0.05 m short)",
            witness=Witness("point", ((26.0, 17.5),)),
            waived=Waiver("the club's reviewer", "the tent moves on the day"),
        ),
        make_finding(
            **turn,
            outcome="close",
            height="large",
            passes=(6,),
            obstacles=("d",),
            measured=44.0,
            min=None,
            max=45.0,
            margin=1.0,
            chance=0.2,
            expected="at most 45°",
            message="6 (d): approach angle 44.0°, at most 45° (1.0° to spare; 20% chance of a breach once built)",
            witness=Witness("segment", ((25.5, 23.5), (24.2, 25.6))),
        ),
        make_finding(
            **edge,
            outcome="close",
            severity="note",
            passes=(8,),
            obstacles=("see",),
            message="8 (see): obstacle to ring edge 4.02 m, at least 4.00 m (0.02 m to spare; 34% chance)",
            witness=Witness("area", ((24.0, 9.0), (26.0, 9.0), (26.0, 12.0))),
        ),
        make_finding(
            outcome="unmeasurable",
            passes=(14, 15),
            obstacles=("f", "c"),
            measured=None,
            margin=None,
            chance=None,
            message="14 to 15 (f to c): distance to the next obstacle cannot be measured: the poles are in the way",
            witness=Witness("path", ((20.4, 14.0), (5.0, 18.5))),
        ),
        make_finding(
            outcome="met",
            passes=(2, 3),
            obstacles=("b", "c"),
            measured=5.2,
            margin=0.2,
            chance=0.003,
            message="2 to 3 (b to c): distance to the next obstacle 5.20 m, at least 5.00 m (0.20 m to spare)",
        ),
        make_finding(
            outcome="met",
            passes=(3, 4),
            obstacles=("c", "t1"),
            measured=6.2,
            margin=1.2,
            chance=0.0,
            message="3 to 4 (c to t1): distance to the next obstacle 6.20 m, at least 5.00 m (1.20 m to spare)",
        ),
        make_finding(**{**turn, **blank}, outcome="not-applicable", expected="", message="nothing falls under this"),
    )


RUNNERS = {"small": Runner(1.0, 0.8, 0.8), "large": Runner(1.5, 1.0, 1.0)}
RULEBOOK = Rulebook(
    id="gorse",
    title="Gorse Hill rules",
    edition="3",
    valid_from=datetime.date(2026, 1, 1),
    valid_to=None,
    coverage="partial",
    missing=("weave entry",),
    source="invented",
    disciplines={"agility": ("1", "2")},
    heights={name: Height(name, name, "", (30.0,), runner) for name, runner in RUNNERS.items()},
    length=LengthRule(),
    limits=(),
    sizes=(),
    times=(),
    setting_out_m=0.05,
    sha256="cd" * 32,
    files=("gorse.toml",),
)


def make_verdict(course=None, findings=None, rulebook=RULEBOOK, uncovered=None):
    """The plan, judged by hand."""
    course = course or make_course()
    scenes = {}
    for name, runner in RUNNERS.items():
        shapes = build_shapes(course)
        scenes[name] = Scene(course, shapes, hand_line(course.passes, shapes, runner))
    return Verdict(
        course=course,
        rulebook=rulebook,
        scenes=scenes,
        lengths=(
            CourseLength("small", 148.318, "line", 1.0, "first-obstacle", "last-obstacle"),
            CourseLength("large", None, "line", 1.5, "first-obstacle", "last-obstacle", "no line from 14 to 15"),
        ),
        times=(
            Times("small", Decimal("148.32"), Decimal("3.80"), Decimal("40"), Decimal("60"), "by speed", "SCT x 1.5"),
            Times("large", None, None, None, None, sct_why_not="no length", mct_why_not="no SCT", notes=("walk it",)),
        ),
        expected=(
            Expectation("small", 33.1, 38.1, 44.8, 5.0, 1.8, "from 2 to 3", "at 19", (4.3, 13.97), (20.25, 14.72)),
        ),
        findings=make_findings() if findings is None else findings,
        uncovered=(Uncovered("weave entry", "the rulebook lists it as missing"),) if uncovered is None else uncovered,
        setting_out_m=0.05,
        options={"heights": "small, large", "setting-out error": "0.05 m per coordinate"},
    )
