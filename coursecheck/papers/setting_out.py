"""The setting-out sheet: everything that the ring party needs to build a course with two tapes and no judge."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby

from coursecheck.equipment import build_shape
from coursecheck.equipment.shape import Shape
from coursecheck.geometry.frames import Point
from coursecheck.language import say, written
from coursecheck.measures.scene import Scene
from coursecheck.papers import PaperOptions
from coursecheck.papers.baseline_drawing import baseline_extra
from coursecheck.papers.baselines import Baseline, choose_baseline
from coursecheck.papers.needs import bar_heights
from coursecheck.papers.plan_sheet import EDGE_MM, paper_name, upright_sheet
from coursecheck.papers.rounding import STEP_M, effects, longest_change_m, rounded_course
from coursecheck.reports.drawing import Look, draw_plan
from coursecheck.reports.lettering import start_and_finish
from coursecheck.reports.pages import render_page
from coursecheck.reports.terms import outcome_words
from coursecheck.reports.wording import height_words, place_words
from coursecheck.units import bare_figure, format_figure
from coursecheck.verdict.model import Verdict

__all__ = ["BUILD_ORDER", "Item", "items", "render", "setting_out_baseline"]

HEADING_MM = 20.0  # what stands over the diagram
LEAST_CHANGE_M = 0.01  # of a course length that is worth a figure
TAPE_M = 50.0  # the longest tape that clubs commonly have; common practice, no source

# What is heavy or takes the most room first, jumps last; common practice, no source.
BUILD_ORDER = (
    "dog-walk", "a-frame", "seesaw", "tunnel", "table", "weaves", "long-jump", "wall", "tyre", "spread", "jump",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Item:
    """One obstacle to set down.

    Attributes:
        shape: the obstacle as it is set down, at round distances.
        numbers: the passes over it.
        along_m, off_m: where its reference point goes: the middle, of a tunnel the entry mouth.
        tapes: each named point with the tapes from P and from Q, in metres.
    """

    shape: Shape
    numbers: tuple[int, ...]
    along_m: float
    off_m: float
    tapes: tuple[tuple[str, float, float], ...]


def render(verdict: Verdict, options: PaperOptions) -> str:
    """The pages: how to, diagram, obstacles in the order of building, changes between classes, effect of rounding."""
    course = verdict.course
    height = options.height_of(verdict)
    baseline = setting_out_baseline(verdict.scenes[height])
    step_m = STEP_M[course.units]
    scene = _rounded_scene(verdict.scenes[height], baseline, step_m)
    listed = items(scene, baseline)
    sheet = upright_sheet(options.paper, HEADING_MM)
    drawing = draw_plan(
        scene,
        title=say("Setting out {title}", title=course.title),
        room_mm=sheet.room_mm,
        look=Look(paper=paper_name(options.paper), line=False, grid=False, named=True),
        extra=baseline_extra(scene, baseline),
    )
    show = _Show(course.units)
    return render_page(
        "setting_out.html.jinja",
        "sheets.css",
        "setting_out.css",
        drawings={"drawing": drawing},
        sheet=sheet,
        edge_mm=EDGE_MM,
        course=course,
        height=height,
        units=course.units,
        step=show.plain(step_m),
        corners=_corner_rows(scene, baseline, show),
        base_length=show.plain(baseline.length_m),
        rows=[_row(item, show) for item in listed],
        lines=_other_rows(scene, baseline, show),
        longest=_longest(listed, show),
        beyond=any(item.off_m < 0 for item in listed),
        bars=_bars(verdict),
        changes=_changes(verdict, show),
        effect=_effect_words(verdict, options, baseline, step_m),
    )


def setting_out_baseline(scene: Scene) -> Baseline:
    """The base line that suits every named point of a plan."""
    points = [point for shape in scene.shapes.values() for _, point in shape.marks]
    return choose_baseline(scene.course.ring.outline, points)


def _rounded_scene(scene: Scene, baseline: Baseline, step_m: float) -> Scene:
    """The obstacles as they are set down. The line stays that of the plan and is not drawn."""
    course = rounded_course(scene.course, baseline, step_m)
    tunnel_line = scene.line.runner.tunnel_line
    shapes = {
        o.id: build_shape(replace(o, sizes=scene.shapes[o.id].sizes), tunnel_line=tunnel_line)
        for o in course.obstacles
    }
    return replace(scene, course=course, shapes=shapes)


def items(scene: Scene, baseline: Baseline) -> list[Item]:
    """The obstacles in the order of building: by kind, then as they are run, those without a number last."""
    order = {kind: place for place, kind in enumerate(BUILD_ORDER)}
    listed = [_item(name, shape, scene, baseline) for name, shape in scene.shapes.items()]
    last = len(scene.passes) + 1
    return sorted(listed, key=lambda i: (order.get(i.shape.kind.name, -1), min(i.numbers, default=last)))


def _item(name: str, shape: Shape, scene: Scene, baseline: Baseline) -> Item:
    along, off = baseline.locate(shape.obstacle.at)
    tapes = tuple((words, *baseline.tapes(point)) for words, point in shape.marks)
    return Item(shape, scene.numbers(name), along, off, tapes)


@dataclass(frozen=True, slots=True)
class _Show:
    """Figures in the units of the plan."""

    units: str

    def plain(self, value_m: float) -> str:
        """A length with its unit."""
        return format_figure(value_m, "m", units=self.units)

    def bare(self, value_m: float) -> str:
        """A length for a column whose head names the unit."""
        return bare_figure(value_m, "m", units=self.units)

    def size(self, name: str, value: float, unit: str) -> str:
        """A size of an obstacle in words."""
        if unit == "m":
            return say("{size} {value}", size=say(name), value=self.plain(value))
        if unit != "deg":
            return say("{count:g} {size}", count=value, size=say(name))
        if not value:
            return say("no {size}", size=say(name))
        if value > 0:
            return say("{size} {turn:g}° to the right", size=say(name), turn=value)
        return say("{size} {turn:g}° to the left", size=say(name), turn=-value)


def _row(item: Item, show: _Show) -> dict[str, object]:
    shape = item.shape
    sizes = [show.size(name, value, shape.kind.sizes[name].unit) for name, value in shape.sizes.items()]
    return {
        "id": shape.obstacle.id,
        "kind": say(shape.kind.title),
        "numbers": ", ".join(map(str, item.numbers)) or say("no number"),
        "reference": say("entry mouth") if shape.kind.family == "tunnel" else say("middle"),
        "along": show.bare(item.along_m),
        "off": show.bare(item.off_m),
        "bearing": written(round(shape.obstacle.bearing_deg, 1), "g") + "°",
        "sizes": ", ".join(sizes),
        "tapes": [(say(words), show.bare(p), show.bare(q)) for words, p, q in item.tapes],
    }


def _corner_rows(scene: Scene, baseline: Baseline, show: _Show) -> list[tuple[str, str]]:
    """Where P and Q are, in words."""
    left, bottom, right, top = scene.ring.bounds

    def words(point: Point) -> str:
        corner = {
            (left, bottom): say("the bottom left corner of the plan"),
            (right, bottom): say("the bottom right corner of the plan"),
            (left, top): say("the top left corner of the plan"),
            (right, top): say("the top right corner of the plan"),
        }.get(point)
        return corner or say(
            "the corner {x} from the left and {y} from the bottom of the plan",
            x=show.plain(point[0]),
            y=show.plain(point[1]),
        )

    return [("P", words(baseline.start)), ("Q", words(baseline.end))]


def _other_rows(scene: Scene, baseline: Baseline, show: _Show) -> list[tuple[str, ...]]:
    """The ends of the gates and of start and finish line: words, along, off, from P, from Q."""
    ring = scene.course.ring
    gates = ((say("entrance"), ring.entrance), (say("exit"), ring.exit))
    named = [(name, gate) for name, gate in gates if gate is not None]
    lines = {"start": say("start line"), "finish": say("finish line")}
    named += [(lines[name], ends) for name, ends in start_and_finish(scene)]
    rows = []
    for words, ends in named:
        for i, point in enumerate(ends, 1):
            figures = (*baseline.locate(point), *baseline.tapes(point))
            rows.append(
                (say("{line}, end {number}", line=words, number=i), *(show.bare(figure) for figure in figures))
            )
    return rows


def _longest(listed: list[Item], show: _Show) -> str:
    longest = max((max(p, q) for item in listed for _, p, q in item.tapes), default=0.0)
    words = say("The longest tape is {length}.", length=show.plain(longest))
    if longest <= TAPE_M:
        return words
    return f"{words} {say('That is beyond the common tape of {length}.', length=show.plain(TAPE_M))}"


def _bars(verdict: Verdict) -> list[tuple[str, str]]:
    """The bar heights of each class, as the rulebook has them."""
    heights, units = verdict.rulebook.heights, verdict.course.units
    return [(height, _heights_words(heights[height].jump_cm, units)) for height in verdict.scenes]


def _heights_words(heights_cm: tuple[float, ...], units: str) -> str:
    if not heights_cm:
        return say("not in the rulebook file")
    return bar_heights(heights_cm, units)


def _changes(verdict: Verdict, show: _Show) -> list[tuple[str, list[str]]]:
    """Each size that is not the same for every class: what it is, and its value class by class."""
    scenes = list(verdict.scenes.values())
    rows = []
    for name, shape in scenes[0].shapes.items():
        for size, about in shape.kind.sizes.items():
            values = [scene.shapes[name].sizes[size] for scene in scenes]
            if len(set(values)) > 1:
                shown = [show.plain(v) if about.unit == "m" else written(v, "g") for v in values]
                rows.append(
                    (
                        say("{name} ({kind}): {size}", name=name, kind=say(shape.kind.title), size=say(about.about)),
                        shown,
                    )
                )
    return rows


def _effect_words(verdict: Verdict, options: PaperOptions, baseline: Baseline, step_m: float) -> list[str]:
    """What rounding does to the limits, in sentences."""
    if options.rejudge is None:
        return [say("What rounding does to the limits was not checked.")]
    course = rounded_course(verdict.course, baseline, step_m)
    after = verdict if course == verdict.course else options.rejudge(course)
    words = []
    for (place, title, old, new), group in groupby(
        effects(verdict, after),
        lambda e: (place_words(e.after), e.after.title, outcome_words(e.before), outcome_words(e.after.outcome)),
    ):
        found = list(group)
        classes = [e.after.height for e in found if e.after.height is not None]
        told = say("{place}: {title}: {old} as drawn, {new} as rounded", place=place, title=title, old=old, new=new)
        told += f", {height_words(classes, verdict)}" if classes else ""
        words.append(f"{told}. {found[0].after.message}.")
    if not words:
        words.append(say("Every limit keeps its outcome when the plan is set out to these round figures."))
    change = longest_change_m(verdict, after)
    if change is not None:
        shown = format_figure(max(LEAST_CHANGE_M, change), "m", units=verdict.course.units)
        if change < LEAST_CHANGE_M:
            words.append(say("The course length changes by less than {length}.", length=shown))
        else:
            words.append(say("The course length changes by at most {length}.", length=shown))
    return words
