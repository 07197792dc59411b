"""The words that the text and the page of a course walk share."""

from __future__ import annotations

from collections.abc import Sequence

from coursecheck.reports.wording import printable
from coursecheck.walk.figures import Figure, Figures
from coursecheck.walk.first_sight import Sight
from coursecheck.walk.flow import Difficulty
from coursecheck.walk.handler import HandlingPlan, stretches
from coursecheck.walk.judge_walk import Stop
from coursecheck.walk.legs import Leg
from coursecheck.walk.merging import Shared
from coursecheck.walk.names import name_of
from coursecheck.walk.walking import Walk

__all__ = [
    "ADVICE",
    "classes_words",
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

ADVICE = (
    "A walk is advice and never a verdict: it says what a model dog would meet on paper. How far ahead a dog looks, "
    "how it turns and how fast it is differ from dog to dog; the judge walks the built course."
)

NOTABLE_POINTS = 1.0  # a leg with less is an easy one
AT_ONCE_S = 0.005  # no figure shows less
STRAIGHT_DEG = 10.0  # a line that bends by no more than this runs straight on


def leg_title(walked: Walk, height: str, leg: Leg) -> str:
    """Both passes in words, such as jump 4 to tunnel 5."""
    scene = walked.classes[height].scene
    return f"{name_of(scene, leg.before)} to {name_of(scene, leg.after)}"


def leg_words(leg: Leg, sight: Sight | None, difficulty: Difficulty) -> str:
    """How far, which way, how long, since when the next obstacle is in sight, and how hard it is."""
    if leg.problem is not None:
        return f"no line: {leg.problem}"
    parts = [f"{leg.length_m:.1f} m", _turn_words(leg)]
    if leg.motion is not None:
        parts.append(f"on the ground {leg.motion.time_s:.1f} s at {leg.motion.mean_mps:.1f} m/s")
    if sight is not None:
        parts.append(_sight_words(leg, sight))
    if difficulty.points >= NOTABLE_POINTS:
        parts.append(f"difficulty {difficulty.points:.1f}")
    return ", ".join(parts)


def _sight_words(leg: Leg, sight: Sight) -> str:
    if sight.whole:
        return "in sight throughout"
    if leg.motion is not None and abs(sight.seen_s - leg.motion.time_s) < AT_ONCE_S:
        return "in sight as soon as the dog is out"
    return f"in sight {sight.seen_s:.1f} s before"


def _turn_words(leg: Leg) -> str:
    sides = [f"{deg:.0f}° {side}" for deg, side in ((leg.left_deg, "left"), (leg.right_deg, "right")) if deg > 5.0]
    if leg.left_deg + leg.right_deg <= STRAIGHT_DEG or not sides:
        return "straight on"
    return " and ".join(sides)


def start_words(walked: Walk) -> str:
    """What the dog faces at the start; nothing where the plan has none, or it lies outside the ring."""
    facing = walked.facing
    if facing is None:
        return ""
    what = {
        "wall": f"the {facing.side}, a wall",
        "open": f"the {facing.side}, open",
        "entrance": "the entrance",
        "exit": "the exit",
    }[facing.what]
    return f"start: the dog faces {what}, {facing.distance_m:.1f} m from the first obstacle"


def flow_words(walked: Walk) -> tuple[str, ...]:
    """How the course turns, in all its classes, and how difficult it is for the last of them."""
    flows = [one.flow for one in walked.classes.values() if one.legs]
    if not flows:
        return ()
    left, right = (_range([getattr(flow, f"{side}_deg") for flow in flows]) for side in ("left", "right"))
    tight = _range([float(flow.tight_turns) for flow in flows])
    turning = f"turning: {left}° left and {right}° right; legs that turn by a right angle or more: {tight}"
    one = list(walked.classes.values())[-1]
    points = [round(d.points, 6) for d in one.flow.difficulty]
    hardest = points.index(max(points))
    parts = ", ".join(f"{name.replace('-', ' ')} {value:.1f}" for name, value in one.flow.difficulty[hardest].parts)
    leg = one.legs[hardest]
    where = f", most from {leg.before.number} to {leg.after.number} ({parts})" if parts else ""
    return turning, f"difficulty: {one.flow.mean_points:.1f} points a leg{where}"


def _range(values: Sequence[float]) -> str:
    low, high = f"{min(values):.0f}", f"{max(values):.0f}"
    return low if low == high else f"{low} to {high}"


def plan_words(walked: Walk) -> tuple[str, ...]:
    """The plan of each model handler with a dog of the last class, those alike together."""
    alike: dict[str, list[str]] = {}
    for plan in list(walked.classes.values())[-1].plans:
        alike.setdefault(_plan_line(plan, walked.figures), []).append(f"{plan.handler} ({plan.speed_mps:.1f} m/s)")
    return tuple(printable(f"handler, {', '.join(handlers)}: {line}") for line, handlers in alike.items())


def _plan_line(plan: HandlingPlan, figures: Figures) -> str:
    begins = f"begins on the {plan.legs[0].start.side} of {plan.legs[0].start.number}"
    changes = [f"{leg.change} {leg.start.number} to {leg.end.number}" for leg in plan.changes]
    count = f"{len(changes)} change{'' if len(changes) == 1 else 's'} of side" if changes else "never changes sides"
    said = f"{begins}, {count}" + (f" ({', '.join(changes)})" if changes else "")
    late = [
        f"{plan.legs[one.first].start.number} to {plan.legs[one.last].end.number} ({one.short_s:.1f} s)"
        for one in stretches(plan, figures)
    ]
    return f"{said}; falls behind from {', '.join(late)}" if late else f"{said}; everywhere in time"


def judge_words(walked: Walk) -> tuple[str, ...]:
    """Where the judge stands in turn, what is seen from there, and the way in between."""
    said = [_stop_line(stop) for stop in walked.judge.stops]
    if walked.judge.unseen:
        said.append(f"judge: seen from no one place: {', '.join(walked.judge.unseen)}")
    return tuple(printable(line) for line in said)


def _stop_line(stop: Stop) -> str:
    x, y = stop.place
    where = f"judge: {x:.0f} m from the left and {y:.0f} m from the bottom, for {', '.join(stop.seen)}"
    if stop.time_s is None:
        return where
    way = f"{stop.way_m:.1f} m to go in {stop.time_s:.1f} s"
    doubt = "; uncertain: turns with judge-speed moved by 15 %" if stop.uncertain else ""
    return f"{where}; {way}{', more than a walk' if stop.hurried else ''}{doubt}"


def classes_words(shared: Shared, walked: Walk) -> str:
    """The classes that a remark holds for, where those are not all."""
    if len(shared.heights) == len(walked.classes):
        return ""
    return printable(", ".join(shared.heights))


def doubt_words(shared: Shared) -> str:
    """On which figures a remark hangs so that 15 % would make it go; nothing where it does not."""
    if not shared.uncertain:
        return ""
    return f"uncertain: goes when {' or '.join(shared.uncertain)} moves by 15 %"


def figures_used(walked: Walk, remarks: Sequence[Shared]) -> tuple[Figure, ...]:
    """The figures of the model that some remark hangs on, in the model's order."""
    used = {name for shared in remarks for name in shared.remark.hangs_on}
    return tuple(figure for figure in walked.figures if figure.id in used)


def figure_words(figure: Figure) -> str:
    """A figure with its value and what it rests on."""
    unit = {"deg": "°", "count": ""}.get(figure.unit, f" {figure.unit}")
    return printable(f"{figure.id} {figure.value:g}{unit}: {figure.about} ({figure.basis}: {figure.source})")
