"""The words that every report shares: verdict, outcomes, severities, cautions, and text that is safe to show."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from decimal import Decimal

from coursecheck.language import both, clauses, say, say_as, say_count, to_say, written
from coursecheck.measures.running import Expectation
from coursecheck.reports.grouping import entries_of
from coursecheck.reports.terms import basis_name, basis_words, book_title, coverage_name, outcome_words
from coursecheck.units import format_figure
from coursecheck.verdict.acceptance import BASELINE_REASON
from coursecheck.verdict.model import CourseLength, Finding, Verdict, Waiver
from coursecheck.version import __version__

__all__ = [
    "accepted_words",
    "authority_words",
    "by_class",
    "count_words",
    "expectation_words",
    "height_words",
    "length_shown",
    "length_words",
    "place_words",
    "printable",
    "provenance",
    "reason_words",
    "rulebook_words",
    "run_words",
    "speed_words",
    "state_words",
    "time_note",
    "time_shown",
    "time_words",
    "verdict_reason",
    "verdict_words",
]

# Marks and overrides that turn the order of the text around them; a title has no need of them.
_BIDI = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def printable(text: str) -> str:
    """The text with control characters, lone surrogates and marks of writing direction made visible as U+FFFD.

    A title can hold any character that TOML can: none may reach a terminal or an XML document as a command.
    """
    if text.isprintable():  # none of these is
        return text
    return "".join("\ufffd" if c in _BIDI or unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") else c for c in text)


def verdict_words(verdict: Verdict) -> str:
    """The verdict in a word or two."""
    return say("legal") if verdict.legal else say("not legal")


def length_shown(length_m: float | None, units: str) -> str:
    """A course length with its unit; a dash where there is none."""
    return "–" if length_m is None else format_figure(length_m, "m", units=units)


def time_shown(time_s: Decimal | None) -> str:
    """A course time with its unit; a dash where there is none."""
    return "–" if time_s is None else say("{time} s", time=time_s)


def speed_words(speed_mps: Decimal | None) -> str:
    """A speed with its unit; a dash where there is none."""
    return "–" if speed_mps is None else say("{speed} m/s", speed=written(speed_mps.normalize(), "f"))


def verdict_reason(verdict: Verdict) -> str:
    """What the verdict rests on, in one clause, and how much of the rulebook was left out by selection."""
    left_out = len(verdict.left_out)
    broken = _broken_words(verdict)
    if not left_out:
        return broken
    unasked = say_count("{count} limit left out by selection", "{count} limits left out by selection", left_out)
    return clauses((broken, unasked))


def _broken_words(verdict: Verdict) -> str:
    against = [
        entry for entry in entries_of(verdict) if entry.worst.severity == "must" and entry.worst.counts_against
    ]
    breaches = sum(entry.worst.outcome == "breach" for entry in against)
    unmeasured = len(against) - breaches
    parts = []
    if breaches:
        parts.append(say_count("{count} must-limit in breach", "{count} must-limits in breach", breaches))
    if unmeasured:
        parts.append(say_count("{count} must-limit not measurable", "{count} must-limits not measurable", unmeasured))
    if parts:
        return both(parts)
    if any(finding.waived and finding.severity == "must" for finding in verdict.findings):
        return say("no must-limit in breach, some of them waived")
    return say("no must-limit in breach")


def rulebook_words(verdict: Verdict) -> str:
    """The rulebook, its edition, and how much of the rules it holds."""
    book = verdict.rulebook
    full, part = to_say("covers the rules in full"), to_say("covers the rules in part")
    held = say(full if book.coverage == "full" else part)
    title = book_title(book)
    return printable(say("{title}, edition {edition} ({held})", title=title, edition=book.edition, held=held))


def count_words(verdict: Verdict) -> str:
    """How many single checks had which outcome, and how many of them somebody accepted."""
    counted = ", ".join(_counted(outcome, count) for outcome, count in verdict.counts().items() if count)
    if not verdict.waived:
        return counted
    return say("{counted}; {count} of them waived", counted=counted, count=verdict.waived)


def _counted(outcome: str, count: int) -> str:
    words = say("in breach") if outcome == "breach" else outcome_words(outcome)
    return say("{count} {outcome}", count=count, outcome=words)


def height_words(heights: Sequence[str], verdict: Verdict) -> str:
    """The height classes of a line: "small, medium", or "every class" where the plan is judged for no other."""
    everyone = len(verdict.scenes) > 1 and set(heights) == set(verdict.scenes)
    return say("every class") if everyone else ", ".join(printable(height) for height in heights)


def place_words(finding: Finding) -> str:
    """Whom a finding belongs to: "1 to 2 (a to b)", or "the whole course"."""
    return printable(finding.place) or say("the whole course")


def authority_words(finding: Finding, *, source: bool = True) -> str:
    """What a limit rests on: its clause and how well we know it; with the source at length, without it in short."""
    if finding.basis == "practice" and not finding.clause:
        return say("common practice, no source")
    clause = say("clause {clause}", clause=finding.clause) if finding.clause else say("no clause known")
    if not source:
        return say("{clause}, basis {basis}", clause=clause, basis=basis_name(finding.basis))
    given = say(finding.source) or say("no source given")
    return printable(
        say("{clause}, basis: {basis}, {source}", clause=clause, basis=basis_words(finding.basis), source=given)
    )


def state_words(finding: Finding) -> str:
    """The outcome of a finding, and whether somebody accepted it."""
    words = outcome_words(finding.outcome)
    return say("{outcome}, waived", outcome=words) if finding.waived else words


def reason_words(waiver: Waiver) -> str:
    """Why a finding was accepted: in its own words, or that it stands in the baseline."""
    return say(BASELINE_REASON) if waiver.reason == BASELINE_REASON else waiver.reason


def accepted_words(waiver: Waiver) -> str:
    """Who accepted a finding, and why."""
    return say("Accepted by {who}: {reason}", who=waiver.who, reason=reason_words(waiver))


def provenance(verdict: Verdict) -> tuple[tuple[str, str], ...]:
    """Everything that the verdict was made of, so that somebody else gets the same one."""
    book, origin = verdict.rulebook, verdict.course.origin
    if book.valid_from and book.valid_to:
        force = say("in force from {day} until {last}", day=book.valid_from, last=book.valid_to)
    elif book.valid_from:
        force = say("in force from {day}", day=book.valid_from)
    elif book.valid_to:
        force = say("in force from a date not known until {last}", last=book.valid_to)
    else:
        force = say("in force from a date not known")
    named = say("{name}, {title}, edition {edition}", name=book.id, title=book_title(book), edition=book.edition)
    rows = [(say("program"), f"coursecheck {__version__}")]
    rows += [(say("course file"), origin.file), (say("its SHA-256"), origin.sha256)] if origin else []
    rows += [
        (say("rulebook"), f"{named}, {force}"),
        (say("its files"), ", ".join(book.files) or say("not known")),
        (say("their SHA-256"), book.sha256),
        (say("its source"), book.source),
        (say("its coverage"), coverage_name(book)),
        *((say_as("option", name), words) for name, words in verdict.options.items()),
    ]
    return tuple((name, printable(words)) for name, words in rows)


def length_words(verdict: Verdict) -> tuple[str, ...]:
    """How each length was measured, or why it could not be; classes that share the words share the line."""
    said = [(length.height, _length_note(length)) for length in verdict.lengths]
    return by_class(said, verdict)


def _length_note(length: CourseLength) -> str:
    if length.length_m is None:
        return say("no length: {why}", why=length.why_not)
    return say("length {how}", how=length.described)


def time_words(verdict: Verdict) -> tuple[str, ...]:
    """How the times were found, what keeps them from being given, and cautions."""
    said = []
    for times in verdict.times:
        sct = time_note(say("SCT"), times.sct_s, times.sct_rule, times.sct_why_not)
        mct = time_note(say("MCT"), times.mct_s, times.mct_rule, times.mct_why_not)
        said.append((times.height, clauses((sct, mct, *times.notes))))
    return by_class(said, verdict)


def expectation_words(verdict: Verdict) -> tuple[str, ...]:
    """How long the runs will take and where they are fastest and slowest; the pace behind it is an assumption."""
    said = [
        say(
            "{height}: expected run {run}; fastest {fastest:.1f} m/s {fastest_at}, slowest {slowest:.1f} m/s "
            "{slowest_at}",
            height=e.height,
            run=run_words(e),
            fastest=e.fastest_mps,
            fastest_at=e.fastest_at,
            slowest=e.slowest_mps,
            slowest_at=e.slowest_at,
        )
        for e in verdict.expected
    ]
    return (*said, say("expected runs go by the rulebook's assumed pace of each class")) if said else ()


def run_words(expected: Expectation) -> str:
    """How long a run is expected to take."""
    return say(
        "{typical:.0f} s ({fast:.0f} to {slow:.0f} s)",
        typical=expected.typical_s,
        fast=expected.fast_s,
        slow=expected.slow_s,
    )


def time_note(name: str, time_s: Decimal | None, rule: str, why_not: str) -> str:
    """How a time was found, or what keeps it from being given; `name` is SCT or MCT, as it is called."""
    if time_s is None:
        return say("no {time}: {why}", time=name, why=why_not or rule)
    return say("{time} {rule}", time=name, rule=rule)


def by_class(said: Iterable[tuple[str, str]], verdict: Verdict) -> tuple[str, ...]:
    """What is said of each height class, as lines; classes that share the words share the line."""
    together: dict[str, list[str]] = {}
    for height, words in said:
        together.setdefault(words, []).append(height)
    return tuple(
        say("{classes}: {words}", classes=height_words(heights, verdict), words=printable(words))
        for words, heights in together.items()
    )
