"""The way round: the closed form round a disc, and the shortest path among polygons by a visibility graph.

Round a disc of radius R, from a distance d on either side, along two tangents and an arc: 2 sqrt(d^2 - R^2) +
2 R asin(R / d). With turn radius and clearance nothing the shortest leg is the shortest path in the visibility graph
of the corners (Lozano-Perez and Wesley 1979), here by networkx.
"""

import math
import random
from itertools import combinations

import networkx as nx
import pytest
import shapely

from coursecheck.course.model import Blocked, Ring
from coursecheck.path.detour import Wrap
from coursecheck.path.legs import Leg
from coursecheck.path.obstruction import Obstruction
from coursecheck.path.winding import windings

RING = ((-20.0, -20.0), (20.0, -20.0), (20.0, 20.0), (-20.0, 20.0))


def round_disc(radius, distance):
    return 2 * math.sqrt(distance**2 - radius**2) + 2 * radius * math.asin(radius / distance)


def best_leg(ring, start, end, radius_m, clearance_m, turn=None):
    leg = Leg(radius_m, Obstruction(ring, {}, clearance_m), turn)
    return leg.best(start, end)


@pytest.mark.parametrize("side", [1.0, -1.0])
@pytest.mark.parametrize(("disc", "distance"), [(1.0, 5.0), (0.0, 3.0), (2.5, 4.0)])
def test_a_wrap_along_its_tangents_is_the_closed_form(disc, distance, side):
    radius = disc + 0.25  # the turn radius is smaller, so the wrap follows the disc at the clearance
    slope = math.asin(radius / distance)
    start, end = (-distance, 0.0, -side * slope), (distance, 0.0, side * slope)
    route = (Wrap("disc", side, ((0.0, 0.0, disc),)),)
    shortest = min(curve.length_m for curve in windings(start, end, route, 0.2, 0.25) if curve is not None)
    assert shortest == pytest.approx(round_disc(radius, distance), abs=1e-9)


def test_a_leg_finds_the_shortest_way_round_a_pillar():
    ring = Ring(RING, blocked=(Blocked("pillar", centre=(0.0, 0.0), radius_m=1.0),))
    slope = math.asin(1.25 / 5.0)
    curve = best_leg(ring, (-5.0, 0.0, slope), (5.0, 0.0, -slope), 0.5, 0.25)
    # the outline is a polygon around the disc and a few of its corners stand for it
    assert curve.length_m == pytest.approx(round_disc(1.25, 5.0), abs=0.01)
    assert curve.length_m >= round_disc(1.25, 5.0)


def visibility_graph(start, end, polygons):
    points = [start, end, *(corner for polygon in polygons for corner in polygon.exterior.coords[:-1])]
    inner = [polygon.buffer(-1e-6) for polygon in polygons]
    graph = nx.Graph()
    for p, q in combinations(points, 2):
        line = shapely.LineString([p, q])
        if not any(line.intersects(polygon) for polygon in inner):
            graph.add_edge(p, q, weight=math.dist(p, q))
    return nx.shortest_path_length(graph, start, end, weight="weight")


def random_polygons(rng, count):
    polygons = []
    while len(polygons) < count:
        x, y, size = rng.uniform(-9, 9), rng.uniform(-9, 9), rng.uniform(0.8, 3.0)
        corners = rng.choice([3, 4, 5])
        turn = rng.uniform(0, 6)
        angles = [turn + 2 * math.pi * (i + rng.uniform(-0.2, 0.2)) / corners for i in range(corners)]
        polygon = shapely.Polygon([(x + size * math.cos(a), y + size * math.sin(a)) for a in angles])
        if all(polygon.distance(other) > 0.3 for other in polygons):
            polygons.append(polygon)
    return polygons


@pytest.mark.parametrize("seed", range(20))
def test_sharp_legs_among_polygons_are_as_short_as_the_visibility_graph(seed):
    rng = random.Random(seed)  # noqa: S311 - scenes, not secrets
    polygons = random_polygons(rng, 6)
    start, end = (-14.0, rng.uniform(-5, 5)), (14.0, rng.uniform(-5, 5))
    blocked = tuple(Blocked(f"p{i}", outline=tuple(p.exterior.coords[:-1])) for i, p in enumerate(polygons))
    curve = best_leg(Ring(RING, blocked=blocked), (*start, 0.0), (*end, 0.0), 1e-7, 0.0)
    assert curve.length_m == pytest.approx(visibility_graph(start, end, polygons), abs=1e-5)
