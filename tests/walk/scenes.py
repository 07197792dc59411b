"""Scenes with a known answer, by the kind of remark that they must give: common practice, no source."""

from dataclasses import replace

from coursecheck.course.model import Blocked
from tests.walk.conftest import plan_of

HALL = ((0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0))

# A jump stands open ahead, the course turns away to the right.
AHEAD = plan_of(
    ("a", "jump", 0, 0, 0),
    ("b", "jump", 0, 6, 0),
    ("trap", "jump", 0, 12, 0),
    ("c", "jump", 5, 9, 90),
    run=["a", "b", "c"],
)
# The same, but a tent stands before the jump that would draw the dog.
HIDDEN = replace(AHEAD, ring=replace(AHEAD.ring, blocked=(Blocked("tent", centre=(0.0, 9.5), radius_m=0.6),)))
# A dog out of a tunnel goes on where the tunnel points.
TUNNEL_AHEAD = plan_of(
    ("a", "jump", 0, -6, 0),
    ("t", "tunnel", 0, 0, 0, {"length": 5.0}),
    ("trap", "jump", 0, 11, 0),
    ("c", "jump", 5, 9, 90),
    run=["a", "t", "c"],
)
# On the way round to the right, a tunnel mouth stands open before the right jump.
ON_THE_WAY_ROUND = plan_of(
    ("a", "jump", 0, 0, 0),
    ("b", "jump", 0, 6, 0),
    ("trap", "tunnel", 3.5, 10.5, 45, {"length": 4.0}),
    ("c", "jump", 6, 5, 130),
    run=["a", "b", "c"],
)
# A tunnel under a dog walk: its mouth and the foot of the plank side by side.
TWO_ENTRIES = plan_of(
    ("a", "jump", 0, 0, 0),
    ("w", "dog-walk", 0.3, 11.5, 0),
    ("t", "tunnel", -1.0, 6.5, 350, {"length": 4.0}),
    run=["a", "w"],
)
# A tunnel bent into a U whose wrong mouth is the nearer and straighter one.
WRONG_MOUTH = plan_of(
    ("a", "jump", 0, 0, 0),
    ("t", "tunnel", 4.0, 7.0, 0, {"length": 6.0, "bend": -180.0}),
    run=["a", "t"],
)
# Three quarters of a turn round a jump: the next one lies behind.
WRAP = plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("c", "jump", 4, 0, 180))
# The same with another jump beside the wrapped one: the way back leads between the two.
BESIDE_A_WRAP = plan_of(
    ("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("x", "jump", 4.4, 6, 0), ("c", "jump", 2, -1, 180),
    run=["a", "b right", "c"],
)  # fmt: skip
# Out of a tunnel the course turns back.
TURN_BACK = plan_of(("t", "tunnel", 0, 0, 0, {"length": 5.0}), ("b", "jump", 4, 0, 180))
# A jump met from its landing side and taken from the far side.
BACKSIDE = plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 0.5, 7, 180))
# Two jumps side by side, both taken up the plan.
THREADLE = plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 5, 0.3, 352))
# Jumps side by side, taken from alternate sides.
SERPENTINE = plan_of(
    ("a", "jump", 0, 0, 0), ("b", "jump", 5, 0, 180), ("c", "jump", 10, 0, 0), ("d", "jump", 10, 7, 0)
)
# A long jump followed by a turn back, with room to land straight and turn on the flat, and without.
ON_THE_FLAT = plan_of(("a", "jump", 0, -7, 0), ("b", "long-jump", 0, 0, 0), ("c", "jump", 7, 5, 180))
IN_THE_AIR = plan_of(("a", "jump", 0, -7, 0), ("b", "long-jump", 0, 0, 0), ("c", "jump", 3.6, 3.2, 100))
# The line from one jump to the next leads between two posts 1.6 m apart.
NARROW = plan_of(
    ("a", "jump", 0, 0, 0),
    ("b", "jump", 0, 10, 0),
    blocked=(Blocked("post", centre=(-1.0, 5.0), radius_m=0.2), Blocked("tree", centre=(1.0, 5.0), radius_m=0.2)),
)
# Between two jumps that stand in a row the dog is called through, to the jump behind them.
PULLED_THROUGH = plan_of(
    ("a", "jump", 0, 0, 0),
    ("x", "jump", -2.4, 7, 0),
    ("y", "jump", 2.6, 7, 0),
    ("b", "jump", 0, 14, 0),
    run=["a", "b"],
)
# Straight ahead two posts leave 1.2 m open, and the course turns away to the right before them.
OPEN_GAP = plan_of(
    ("a", "jump", 0, 0, 0),
    ("b", "jump", 0, 6, 0),
    ("c", "jump", 5, 9, 90),
    blocked=(
        Blocked("post", outline=((-1.0, 8.8), (-0.8, 8.6), (-0.6, 8.8), (-0.8, 9.0))),
        Blocked("tree", outline=((0.6, 8.8), (0.8, 8.6), (1.0, 8.8), (0.8, 9.0))),
    ),
)
# Two fences across the whole ring leave 0.8 m open for dog and handler.
ONE_WAY_THROUGH = plan_of(
    ("a", "jump", 0, -6, 0),
    ("b", "jump", 0, 0, 0),
    ("c", "jump", 0, 16, 0),
    blocked=(
        Blocked("fence", outline=((-40.0, 8.0), (-0.4, 8.0), (-0.4, 8.1), (-40.0, 8.1))),
        Blocked("hedge", outline=((0.4, 8.0), (40.0, 8.0), (40.0, 8.1), (0.4, 8.1))),
    ),
)
# A straight run of eleven legs at full gallop: no slow handler keeps up.
OUTRUN = plan_of(
    *[(f"o{i}", "jump", 0, 6.5 * i - 35, 0) for i in range(12)],
)
# The dog runs through a tunnel between two long fences, the handler has to go round one of them.
ROUND_A_FENCE = plan_of(
    ("a", "jump", 0, -6, 0),
    ("t", "tunnel", 0, 0, 0, {"length": 6.0}),
    ("w", "dog-walk", 0, 18, 0),
    blocked=(
        Blocked("fence", outline=((0.6, 3.0), (9.0, 3.0), (9.0, 3.2), (0.6, 3.2))),
        Blocked("hedge", outline=((-12.0, 3.0), (-0.6, 3.0), (-0.6, 3.2), (-12.0, 3.2))),
    ),
)
# A handler who is slow comes far behind the tunnel; the course goes on the other way.
OUT_OF_A_TUNNEL = plan_of(
    ("a", "jump", 0, -12, 0),
    ("b", "jump", 0, -6, 0),
    ("t", "tunnel", 0, 0, 0, {"length": 6.0}),
    ("c", "jump", 2, 12, 20),
)
# To and fro in a row: each landing is followed by a turn back.
SHARP = plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 4, 0, 180), ("c", "jump", 8, 0, 0), ("d", "jump", 12, 0, 180))
ONE_SIDED = plan_of(
    ("t", "tunnel", 0, 0, 0, {"length": 6.0, "bend": 180.0}), ("b", "jump", 3.8, -6, 180), ("c", "jump", -1, -7, 0)
)
# Straight out of a curved tunnel whose body hides what comes next until the dog is out; and that is near.
LATE = plan_of(
    ("a", "jump", 0, -6, 0), ("t", "tunnel", 0, 0, 0, {"length": 5.0, "bend": 90.0}), ("b", "jump", 5.8, 3.2, 90)
)
# Weave poles met from the right of the row, at 45 degrees.
WEAVES_RIGHT = plan_of(("a", "jump", 5.0, -8.3, 315), ("w", "weaves", 0, 0, 0))
WEAVES_LEFT = plan_of(("a", "jump", -5.0, -8.3, 45), ("w", "weaves", 0, 0, 0))
# An A-frame met across, without room to line up.
CONTACT = plan_of(("a", "jump", 0, 0, 0), ("f", "a-frame", 4.4, 4.6, 90))
NOT_STRAIGHT = plan_of(("a", "jump", 0, 0, 0), ("s", "spread", 3.0, 7.0, 0))
ALONG_THE_WING = plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 6.0, 2.0, 0))
MOUTH_AWAY = plan_of(("a", "jump", 0, 0, 0), ("t", "tunnel", 4.0, 7.0, 200, {"length": 4.0}))
# A wall and a pillar.
TIGHT_START = plan_of(("a", "jump", 15, 2.0, 0), ("b", "jump", 15, 8, 0), ring=HALL, solid=(0,))
FACING_OUT = plan_of(("a", "jump", 15, 22, 0), ("b", "jump", 21, 24, 90), ring=HALL)
WRAPPED_START = plan_of(("a", "jump", 15, 6, 0), ("b", "jump", 19, 1.0, 180), ("c", "jump", 19, -5.5, 180))
INTO_A_WALL = plan_of(
    ("a", "jump", 8, 18, 45), ("b", "jump", 13, 23, 45), ("c", "jump", 17.8, 27.8, 45), ring=HALL, solid=(2,)
)
# The course turns away before a wall that a galloping dog would run into.
AT_A_WALL = plan_of(
    ("a", "jump", 15, 5, 0),
    ("b", "jump", 15, 11, 0),
    ("c", "jump", 15, 17, 0),
    ("d", "jump", 15, 23, 0),
    ("e", "jump", 20, 26.5, 90),
    ring=((0.0, 0.0), (30.0, 0.0), (30.0, 26.6), (0.0, 26.6)),
    solid=(2,),
)
ALONG_A_WALL = plan_of(
    ("a", "jump", 0.95, 8, 0, {"wing": 0.3}), ("b", "jump", 0.95, 14, 0, {"wing": 0.3}), ring=HALL, solid=(3,)
)
BESIDE_A_PILLAR = plan_of(
    ("a", "jump", 0, 0, 0), ("b", "jump", 0, 8, 0), blocked=(Blocked("pillar", centre=(1.0, 4.0), radius_m=0.3),)
)
BENT_HOME = plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("c", "jump", 6, 8, 150))

# What each scene must give, on which passes.
ANSWERS = {
    "off-course-ahead": (AHEAD, (2, 3)),
    "off-course-ahead out of a tunnel": (TUNNEL_AHEAD, (2, 3)),
    "off-course-curl": (ON_THE_WAY_ROUND, (2, 3)),
    "two-entries": (TWO_ENTRIES, (1, 2)),
    "wrong-end": (WRONG_MOUTH, (1, 2)),
    "wrong-end of a jump": (BACKSIDE, (1, 2)),
    "off-course-hidden": (HIDDEN, (2, 3)),
    "wrap": (WRAP, (2, 3)),
    "turn-back": (TURN_BACK, (1, 2)),
    "jump-beside-wrap": (BESIDE_A_WRAP, (2, 3)),
    "backside": (BACKSIDE, (1, 2)),
    "threadle": (THREADLE, (1, 2)),
    "serpentine": (SERPENTINE, (1, 2, 3)),
    "turn-on-the-flat": (ON_THE_FLAT, (2, 3)),
    "turn-in-the-air": (IN_THE_AIR, (2, 3)),
    "pull-through": (PULLED_THROUGH, (1, 2)),
    "narrow-gap": (NARROW, (1, 2)),
    "open-gap": (OPEN_GAP, (2, 3)),
    "handler-gap": (ONE_WAY_THROUGH, (2, 3)),
    "handler-late": (OUTRUN, tuple(range(5, 13))),
    "handler-round": (ROUND_A_FENCE, (2, 3)),
    "tunnel-look": (OUT_OF_A_TUNNEL, (3, 4)),
    "hard-landings": (SHARP, (1, 2, 3)),
    "one-sided": (ONE_SIDED, (2, 3)),
    "late-sight": (LATE, (2, 3)),
    "contact-at-an-angle": (CONTACT, (1, 2)),
    "not-straight": (NOT_STRAIGHT, (1, 2)),
    "along-the-wing": (ALONG_THE_WING, (1, 2)),
    "mouth-away": (MOUTH_AWAY, (1, 2)),
    "setting-up": (TIGHT_START, (1,)),
    "start-facing-out": (FACING_OUT, (1,)),
    "wrapped-start": (WRAPPED_START, (1, 2)),
    "finish-at-a-wall": (INTO_A_WALL, (3,)),
    "wall-ahead": (AT_A_WALL, (4, 5)),
    "near-wall": (ALONG_A_WALL, (1, 2)),
    "near-blocked": (BESIDE_A_PILLAR, (1, 2)),
    "bent-home": (BENT_HOME, (2, 3)),
}
