"""The equipment and crew list: what is asked for is what the plan has."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from shown import words_of

from coursecheck.course.model import Stock
from coursecheck.papers import PaperOptions
from coursecheck.papers.equipment_list import render
from coursecheck.papers.needs import bars_in_use, changes, fixing_pairs, heights_words, helpers, needs, things


def with_store(verdict, store):
    course = replace(verdict.course, store=store)
    scenes = {height: replace(scene, course=course) for height, scene in verdict.scenes.items()}
    return replace(verdict, course=course, scenes=scenes)


def thing(verdict, what):
    return next(found for found in things(verdict) if found.what == what)


def test_every_obstacle_of_the_plan_is_brought_once(verdict):
    assert sum(need.count for need in needs(verdict)) == len(verdict.course.obstacles)


def test_a_kind_of_two_sizes_has_two_lines(judged):
    lines = [need for need in needs(judged("granary")) if need.title == "tunnel"]
    lengths = [o.sizes["length"] for o in judged("granary").course.obstacles if o.kind == "tunnel"]
    assert len(lines) == len(set(lengths))
    assert sum(need.count for need in lines) == len(lengths)


def test_sizes_that_follow_the_class_are_given_class_by_class(judged):
    (long_jump,) = [need for need in needs(judged("saltmarsh")) if need.title == "long jump"]
    assert "overall length along the jump 0.50 m / 0.90 m / 1.50 m" in long_jump.sizes


@pytest.mark.parametrize(("owned", "lacking"), [(11, 0), (20, 0), (10, 1), (0, 11)])
def test_what_the_club_lacks_is_told_against_its_store(judged, owned, lacking):
    (jump,) = [
        need for need in needs(with_store(judged("saltmarsh"), {"jump": Stock(owned)})) if need.title == "jump"
    ]
    assert (jump.owned, jump.lacking) == (owned, lacking)


def test_a_kind_that_the_store_does_not_name_is_lacking(judged):
    (seesaw,) = [
        need for need in needs(with_store(judged("saltmarsh"), {"jump": Stock(20)})) if need.title == "seesaw"
    ]
    assert (seesaw.owned, seesaw.lacking) == (0, 1)


def test_a_store_without_anything_lacks_every_kind_of_the_plan(judged):
    listed = needs(with_store(judged("saltmarsh"), {}))
    assert {need.title: need.lacking for need in listed} == {need.title: need.count for need in listed}


def test_tunnels_of_the_wrong_length_do_not_count(judged):
    store = {"tunnel": Stock(3, (5.0, 4.0, 4.0))}
    (tunnel,) = [need for need in needs(with_store(judged("saltmarsh"), store)) if need.title == "tunnel"]
    assert tunnel.lacking == 1


def test_without_a_store_nothing_is_said_to_be_lacking(judged):
    verdict = with_store(judged("saltmarsh"), None)
    assert {need.owned for need in needs(verdict)} == {None}
    assert "does not say what the club owns" in words_of(render(verdict, PaperOptions()))


@pytest.mark.parametrize(
    ("length_m", "pairs"), [(1.0, 2), (1.5, 2), (1.51, 3), (3.0, 3), (4.0, 4), (4.5, 4), (5.0, 5), (6.0, 5)]
)
def test_no_gap_between_the_fixings_of_a_tunnel_is_longer_than_a_metre_and_a_half(length_m, pairs):
    assert fixing_pairs(length_m) == pairs
    assert length_m / (pairs - 1) <= 1.5


def test_there_is_a_cone_for_every_number_and_shared_obstacles_are_named(judged):
    cones = thing(judged("granary"), "number cones")
    assert cones.count == len(judged("granary").course.passes)
    assert "at the same obstacle: 2 and 18, 3 and 17, 4 and 15" in cones.why


def test_bars_of_a_plan_in_feet_are_in_inches(judged):
    assert heights_words((40.64,), "ft") == "16 in"
    assert heights_words((10.16, 50.8), "ft") == "4 to 20 in"
    assert heights_words((25.0, 30.0), "ft") == "9.84 to 11.81 in"
    assert heights_words((25.0, 30.0), "m") == "25 to 30 cm"


def test_one_bar_in_five_is_kept_in_reserve(judged):
    verdict = judged("saltmarsh")
    assert bars_in_use(verdict.scenes["large"]) == 11 + 2
    assert thing(verdict, "bars in reserve").count == 3


def test_what_a_plan_does_not_have_is_not_asked_for(judged):
    verdict = judged("saltmarsh")
    scenes = {
        height: replace(scene, shapes={n: s for n, s in scene.shapes.items() if s.kind.name == "jump"})
        for height, scene in verdict.scenes.items()
    }
    bare = {found.what for found in things(replace(verdict, scenes=scenes))}
    assert not bare & {"tunnel fixings, in pairs", "weave poles in reserve"}


def test_heavy_planks_take_four_to_carry(judged):
    carrying = {
        name: next(h.count for h in helpers(judged(name)) if h.job == "carrying") for name in ("saltmarsh", "granary")
    }
    assert carrying == {"saltmarsh": 4, "granary": 2}


def test_between_two_classes_every_size_that_differs_is_changed_and_nothing_else(verdict):
    classes = list(verdict.scenes)
    found = changes(verdict)
    assert [(change.before, change.after) for change in found] == list(pairwise(classes))
    for change in found:
        old, new = verdict.scenes[change.before].shapes, verdict.scenes[change.after].shapes
        differ = sum(old[name].sizes[size] != new[name].sizes[size] for name in old for size in old[name].sizes)
        assert len([words for words in change.what if not words.startswith("bars of")]) == differ


def test_bars_are_moved_to_the_height_of_the_next_class(judged):
    first, second = changes(judged("saltmarsh"))
    assert first.what[0] == "bars of 12 jumps, spreads and walls: from 25 to 30 cm to 35 to 40 cm"
    assert second.what[0] == "bars of 12 jumps, spreads and walls: from 35 to 40 cm to 55 to 60 cm"


def test_a_height_that_is_not_known_is_not_made_up():
    assert heights_words((), "m") == "a height that the rulebook file does not have"


def test_the_page_tells_all_of_it(verdict):
    words = words_of(render(verdict, PaperOptions()))
    said = [need.sizes for need in needs(verdict)] + [found.why for found in things(verdict)]
    said += [words for change in changes(verdict) for words in change.what]
    assert [part for part in said if re.sub(r"\s+", " ", part) not in words] == []


def test_the_same_plan_gives_the_same_bytes(judged):
    one, two = (render(judged("granary"), PaperOptions()) for _ in range(2))
    assert one == two
