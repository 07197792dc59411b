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
]

ADVICE = (
    "A walk is advice and never a verdict: it says what a model dog would meet on paper. How far ahead a dog looks, "
    "how it turns and how fast it is differ from dog to dog; the judge walks the built course."
)

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
        whole = "in sight throughout" if sight.whole else f"in sight {sight.seen_s:.1f} s before"
        parts.append(whole)
    if difficulty.points >= 0.05:
        parts.append(f"difficulty {difficulty.points:.1f}")
    return ", ".join(parts)


def _turn_words(leg: Leg) -> str:
    sides = [f"{deg:.0f}° {side}" for deg, side in ((leg.left_deg, "left"), (leg.right_deg, "right")) if deg > 5.0]
    if leg.left_deg + leg.right_deg <= STRAIGHT_DEG or not sides:
        return "straight on"
    return " and ".join(sides)


def flow_words(walked: Walk) -> tuple[str, ...]:
    """One line for each height class: turning, tight turns, difficulty and its hardest leg."""
    return tuple(_flow_line(walked, height) for height, one in walked.classes.items() if one.legs)


def _flow_line(walked: Walk, height: str) -> str:
    one = walked.classes[height]
    flow, points = one.flow, [round(d.points, 6) for d in one.flow.difficulty]
    hardest = points.index(max(points))
    parts = ", ".join(f"{name.replace('-', ' ')} {value:.1f}" for name, value in flow.difficulty[hardest].parts)
    tight = f"{flow.tight_turns} leg{'' if flow.tight_turns == 1 else 's'} of a right angle or more"
    leg = one.legs[hardest]
    where = f", most from {leg.before.number} to {leg.after.number} ({parts})" if parts else ""
    return printable(
        f"{height}: turns {flow.left_deg:.0f}° left and {flow.right_deg:.0f}° right, {tight}; difficulty "
        f"{flow.mean_points:.1f} points a leg{where}"
    )


def plan_words(walked: Walk) -> tuple[str, ...]:
    """For each height class and model handler: changes of side, and where the plan fails."""
    return tuple(
        printable(f"{height}, {plan.handler} handler ({plan.speed_mps:.1f} m/s): {_plan_line(plan, walked.figures)}")
        for height, one in walked.classes.items()
        for plan in one.plans
    )


def _plan_line(plan: HandlingPlan, figures: Figures) -> str:
    begins = f"begins on the {plan.legs[0].start.side} of {plan.legs[0].start.number}"
    changes = [f"{leg.change} {leg.start.number} to {leg.end.number}" for leg in plan.changes]
    count = f"{len(changes)} change{'' if len(changes) == 1 else 's'} of side"
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
