"""What curves meet first is what one meets who walks along them and measures at every step."""

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st

from coursecheck.equipment import build_shapes
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.boxes import meeting
from coursecheck.path.obstruction import Obstruction
from tests.path.line_plans import plan

CLEARANCE_M = 0.25
STEP_M = 0.02
COURSE = plan(
    ("a", "jump", 4.0, 5.0, 20.0),
    ("b", "wall", 7.0, 6.0, 110.0),
    ("c", "tunnel", 6.0, 9.0, 60.0, {"length": 4.0, "bend": 90.0}),
    ("d", "seesaw", 10.0, 5.0, 0.0),
)
IN_THE_WAY = Obstruction(COURSE.ring, build_shapes(COURSE), CLEARANCE_M)
curves = st.lists(
    st.tuples(st.floats(0.05, 4.0), st.sampled_from([0.0, 0.4, -0.4, 0.9, -0.9])), min_size=1, max_size=4
)
starts = st.tuples(st.floats(-1.0, 12.0), st.floats(-1.0, 12.0), st.floats(-4.0, 4.0))
boxes = st.lists(
    st.tuples(st.floats(-5, 5), st.floats(-5, 5), st.floats(0, 3), st.floats(0, 3)), min_size=1, max_size=8
).map(lambda made: np.array([(x, y, x + wide, y + high) for x, y, wide, high in made]))


def walked(start, curve):
    """Points along a curve: the piece, how far along the whole curve it lies, and where."""
    pose, before = Pose(*start), 0.0
    for number, (length_m, curvature) in enumerate(curve):
        piece = Segment(pose, length_m, curvature)
        for along in np.arange(0.0, length_m, STEP_M).tolist():
            yield number, before + along, piece.at(along).point
        pose, before = piece.end, before + length_m


def apart_m(point, parts):
    return min(shapely.distance(part.shape, shapely.Point(point)) for part in parts)


@given(start=starts, curve=curves)
def test_the_first_contact_is_the_first_one_on_a_walk(start, curve):
    [(hit, box)] = IN_THE_WAY.look([start], [tuple(curve)])
    if not shapely.intersects_xy(IN_THE_WAY.ring, *start[:2]):
        assert hit is not None
        assert hit.piece == 0
        return
    total_m = sum(length_m for length_m, _ in curve)
    solid = [part for part in IN_THE_WAY.parts if part.solid]
    for number, along, point in walked(start, curve):
        assert box[0] <= point[0] <= box[2]
        assert box[1] <= point[1] <= box[3]
        middle = 2 * CLEARANCE_M <= along <= total_m - 2 * CLEARANCE_M
        if middle and apart_m(point, solid) < CLEARANCE_M - 1e-5:
            assert hit is not None
            assert hit.piece <= number
            break
    if hit is not None:
        met = [part for part in IN_THE_WAY.parts if part.owner == hit.owner]
        piece = [point for number, _, point in walked(start, curve) if number == hit.piece]
        assert min(apart_m(point, met) for point in piece) < CLEARANCE_M + STEP_M


@given(boxes=boxes, others=boxes)
def test_boxes_meet_where_neither_lies_beside_the_other(boxes, others):
    found = list(zip(*(index.tolist() for index in meeting(boxes, others.T)), strict=True))
    shapes, other_shapes = (shapely.box(*some.T) for some in (boxes, others))
    wanted = shapely.intersects(shapes[:, None], other_shapes[None])
    assert found == [tuple(pair) for pair in np.argwhere(wanted).tolist()]
