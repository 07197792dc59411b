"""The words that the text and the page of a course walk share."""

from __future__ import annotations

from collections.abc import Sequence

from coursecheck.language import both, clauses, say, say_as, say_count, written
from coursecheck.reports.wording import printable
from coursecheck.walk.figures import Figure, Figures
from coursecheck.walk.first_sight import Sight
from coursecheck.walk.flow import Difficulty
from coursecheck.walk.handler import HandlingPlan, stretches
from coursecheck.walk.judge_walk import Stop
from coursecheck.walk.legs import Leg
from coursecheck.walk.merging import Shared
from coursecheck.walk.names import handler_word, name_of
from coursecheck.walk.walking import Walk

__all__ = [
    "advice",
    "classes_words",
    "doubt_in_full",
    "doubt_words",
    "figure_words",
    "figures_used",
    "flow_words",
    "judge_words",
    "leg_title",
    "leg_words",
    "plan_words",
    "start_words",
]

NOTABLE_POINTS = 1.0  # a leg with less is an easy one
AT_ONCE_S = 0.005  # no figure shows less
STRAIGHT_DEG = 10.0  # a line that bends by no more than this runs straight on
LEAST_DEG = 5.0  # to one side that is worth a word


def advice() -> str:
    """What a walk is worth."""
    return say(
        "A walk is advice and never a verdict: it says what a model dog would meet on paper. How far ahead a dog "
        "looks, how it turns and how fast it is differ from dog to dog; the judge walks the built course."
    )


def leg_title(walked: Walk, height: str, leg: Leg) -> str:
    """Both passes in words, such as jump 4 to tunnel 5."""
    scene = walked.classes[height].scene
    return say("{first} to {last}", first=name_of(scene, leg.before), last=name_of(scene, leg.after))


def leg_words(leg: Leg, sight: Sight | None, difficulty: Difficulty) -> str:
    """How far, which way, how long, since when the next obstacle is in sight, and how hard it is."""
    if leg.problem is not None:
        return say("no line: {why}", why=leg.problem)
    parts = [say("{length:.1f} m", length=leg.length_m), _turn_words(leg)]
    if leg.motion is not None:
        parts.append(
            say("on the ground {time:.1f} s at {speed:.1f} m/s", time=leg.motion.time_s, speed=leg.motion.mean_mps)
        )
    if sight is not None:
        parts.append(_sight_words(leg, sight))
    if difficulty.points >= NOTABLE_POINTS:
        parts.append(say("difficulty {points:.1f}", points=difficulty.points))
    return ", ".join(parts)


def _sight_words(leg: Leg, sight: Sight) -> str:
    if sight.whole:
        return say("in sight throughout")
    if leg.motion is not None and abs(sight.seen_s - leg.motion.time_s) < AT_ONCE_S:
        return say("in sight as soon as the dog is out")
    return say("in sight {time:.1f} s before", time=sight.seen_s)


def _turn_words(leg: Leg) -> str:
    sides = [say("{turn:.0f}° left", turn=leg.left_deg)] if leg.left_deg > LEAST_DEG else []
    sides += [say("{turn:.0f}° right", turn=leg.right_deg)] if leg.right_deg > LEAST_DEG else []
    return say("straight on") if leg.left_deg + leg.right_deg <= STRAIGHT_DEG or not sides else both(sides)


def start_words(walked: Walk) -> str:
    """What the dog faces at the start; nothing where the plan has none, or it lies outside the ring."""
    facing = walked.facing
    if facing is None:
        return ""
    what = {
        "wall": say("the {side}, a wall", side=facing.side),
        "open": say("the {side}, open", side=facing.side),
        "entrance": say("the entrance"),
        "exit": say("the exit"),
    }[facing.what]
    return say(
        "start: the dog faces {what}, {distance:.1f} m from the first obstacle", what=what, distance=facing.distance_m
    )


def flow_words(walked: Walk) -> tuple[str, ...]:
    """How the course turns, in all its classes, and how difficult it is for the last of them."""
    flows = [one.flow for one in walked.classes.values() if one.legs]
    if not flows:
        return ()
    left, right = (_range([getattr(flow, f"{side}_deg") for flow in flows]) for side in ("left", "right"))
    tight = _range([float(flow.tight_turns) for flow in flows])
    turning = say(
        "turning: {left}° left and {right}° right; legs that turn by a right angle or more: {tight}",
        left=left,
        right=right,
        tight=tight,
    )
    one = list(walked.classes.values())[-1]
    points = [round(d.points, 6) for d in one.flow.difficulty]
    hardest = points.index(max(points))
    parts = ", ".join(
        f"{say_as('difficulty', name.replace('-', ' '))} {written(value, '.1f')}"
        for name, value in one.flow.difficulty[hardest].parts
    )
    leg = one.legs[hardest]
    mean = one.flow.mean_points
    if not parts:
        return turning, say("difficulty: {points:.1f} points a leg", points=mean)
    difficulty = say(
        "difficulty: {points:.1f} points a leg, most from {first} to {last} ({parts})",
        points=mean,
        first=leg.before.number,
        last=leg.after.number,
        parts=parts,
    )
    return turning, difficulty


def _range(values: Sequence[float]) -> str:
    low, high = f"{min(values):.0f}", f"{max(values):.0f}"
    return low if low == high else say("{low} to {high}", low=low, high=high)


def plan_words(walked: Walk) -> tuple[str, ...]:
    """The plan of each model handler with a dog of the last class, those alike together."""
    alike: dict[str, list[str]] = {}
    for plan in list(walked.classes.values())[-1].plans:
        which = say("{which} ({speed:.1f} m/s)", which=handler_word(plan.handler), speed=plan.speed_mps)
        alike.setdefault(_plan_line(plan, walked.figures), []).append(which)
    return tuple(
        printable(say("handler, {which}: {plan}", which=", ".join(handlers), plan=line))
        for line, handlers in alike.items()
    )


def _plan_line(plan: HandlingPlan, figures: Figures) -> str:
    number, left = plan.legs[0].start.number, plan.legs[0].start.side == "left"
    begins = say("begins on the left of {number}" if left else "begins on the right of {number}", number=number)
    changes = [
        f"{say(leg.change)} {say('{first} to {last}', first=leg.start.number, last=leg.end.number)}"
        for leg in plan.changes
    ]
    if changes:
        count = say_count("{count} change of side", "{count} changes of side", len(changes))
        said = f"{begins}, {count} ({', '.join(changes)})"
    else:
        said = f"{begins}, {say('never changes sides')}"
    late = [
        say(
            "{first} to {last} ({time:.1f} s)",
            first=plan.legs[one.first].start.number,
            last=plan.legs[one.last].end.number,
            time=one.short_s,
        )
        for one in stretches(plan, figures)
    ]
    if not late:
        return say("{plan}; everywhere in time", plan=said)
    return say("{plan}; falls behind from {stretches}", plan=said, stretches=", ".join(late))


def judge_words(walked: Walk) -> tuple[str, ...]:
    """Where the judge stands in turn, what is seen from there, and the way in between."""
    said = [_stop_line(stop) for stop in walked.judge.stops]
    if walked.judge.unseen:
        said.append(say("judge: seen from no one place: {what}", what=", ".join(walked.judge.unseen)))
    return tuple(printable(line) for line in said)


def _stop_line(stop: Stop) -> str:
    x, y = stop.place
    where = say(
        "judge: {x:.0f} m from the left and {y:.0f} m from the bottom, for {what}",
        x=x,
        y=y,
        what=", ".join(stop.seen),
    )
    if stop.time_s is None:
        return where
    way = say("{way:.1f} m to go in {time:.1f} s", way=stop.way_m, time=stop.time_s)
    way = say("{way}, more than a walk", way=way) if stop.hurried else way
    doubt = [say("uncertain: turns with judge-speed moved by 15 %")] if stop.uncertain else []
    return clauses((where, way, *doubt))


def classes_words(shared: Shared, walked: Walk) -> str:
    """The classes that a remark holds for, where those are not all."""
    if len(shared.heights) == len(walked.classes):
        return ""
    return printable(", ".join(shared.heights))


def doubt_words(shared: Shared, named: Sequence[str] = ()) -> str:
    """On which figures a remark hangs so that 15 % would make it go; nothing where it does not.

    Args:
        shared: the remark.
        named: how these figures are called, by default by their names.
    """
    if not shared.uncertain:
        return ""
    return say("uncertain: goes when {figures} moves by 15 %", figures=say(" or ").join(named or shared.uncertain))


def doubt_in_full(shared: Shared, walked: Walk) -> str:
    """The same where no list of the figures stands beside it: each with its value and what it says."""
    hung = [figure for figure in walked.figures if figure.id in shared.uncertain]
    return doubt_words(
        shared,
        [
            say("{value:g}{unit} ({about})", value=figure.value, unit=_unit_words(figure), about=say(figure.about))
            for figure in hung
        ],
    )


def figures_used(walked: Walk, remarks: Sequence[Shared]) -> tuple[Figure, ...]:
    """The figures of the model that some remark hangs on, in the model's order."""
    used = {name for shared in remarks for name in shared.remark.hangs_on}
    return tuple(figure for figure in walked.figures if figure.id in used)


def figure_words(figure: Figure) -> str:
    """A figure with its value and what it rests on."""
    told = say(
        "{name} {value:g}{unit}: {about} ({basis}: {source})",
        name=figure.id,
        value=figure.value,
        unit=_unit_words(figure),
        about=say(figure.about),
        basis=say_as("figure", figure.basis),
        source=say(figure.source),
    )
    return printable(told)


def _unit_words(figure: Figure) -> str:
    return {"deg": "°", "count": ""}.get(figure.unit, f" {say_as('unit', figure.unit)}")
