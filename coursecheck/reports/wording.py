"""The words that every report shares: verdict, outcomes, severities, cautions, and text that is safe to show."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from decimal import Decimal

from coursecheck.reports.grouping import entries_of
from coursecheck.verdict.model import CourseLength, Finding, Verdict
from coursecheck.version import __version__

__all__ = [
    "BASIS_WORDS",
    "CAUTIONS",
    "OUTCOME_WORDS",
    "SEVERITY_WORDS",
    "authority_words",
    "by_class",
    "count_words",
    "expectation_words",
    "height_words",
    "length_words",
    "place_words",
    "printable",
    "provenance",
    "rulebook_words",
    "time_words",
    "verdict_reason",
    "verdict_words",
]

CAUTIONS = (
    "The plan is checked on paper. The judge walks and inspects the course as it is built.",
    "The current rulebook, the organiser, the appointed judge and a vet prevail over this report.",
    "Ground, weather, footing and the condition of the equipment are not seen by a program.",
)

OUTCOME_WORDS = {
    "breach": "breach",
    "close": "close",
    "unmeasurable": "not measurable",
    "met": "met",
    "not-applicable": "not applicable",
    "not-covered": "not covered",
}

BASIS_WORDS = {
    "text": "the rulebook's own text",
    "summary": "a published account of the rulebook",
    "practice": "common practice, without a source",
    "memory": "from memory, not checked",
}

SEVERITY_WORDS = {
    "must": "the rulebook requires it",
    "should": "advised; a breach does not make the plan illegal",
    "note": "for the judge to know",
}

# Marks and overrides that turn the order of the text around them; a title has no need of them.
_BIDI = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def printable(text: str) -> str:
    """The text with control characters, lone surrogates and marks of writing direction made visible as U+FFFD.

    A title can hold any character that TOML can: none may reach a terminal or an XML document as a command.
    """
    return "".join("\ufffd" if c in _BIDI or unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") else c for c in text)


def verdict_words(verdict: Verdict) -> str:
    """The verdict in a word or two."""
    return "legal" if verdict.legal else "not legal"


def verdict_reason(verdict: Verdict) -> str:
    """What the verdict rests on, in one clause, and how much of the rulebook was left out by selection."""
    left_out = len(verdict.left_out)
    unasked = f"; {left_out} limit{'s' if left_out > 1 else ''} left out by selection" if left_out else ""
    return _broken_words(verdict) + unasked


def _broken_words(verdict: Verdict) -> str:
    against = [
        entry for entry in entries_of(verdict) if entry.worst.severity == "must" and entry.worst.counts_against
    ]
    breaches = sum(entry.worst.outcome == "breach" for entry in against)
    unmeasured = len(against) - breaches
    parts = [f"{breaches} must-limit{'s' if breaches > 1 else ''} in breach"] if breaches else []
    parts += [f"{unmeasured} must-limit{'s' if unmeasured > 1 else ''} not measurable"] if unmeasured else []
    if parts:
        return " and ".join(parts)
    waived = any(finding.waived and finding.severity == "must" for finding in verdict.findings)
    return "no must-limit in breach, some of them waived" if waived else "no must-limit in breach"


def rulebook_words(verdict: Verdict) -> str:
    """The rulebook, its edition, and how much of the rules it holds."""
    book = verdict.rulebook
    held = "covers the rules in full" if book.coverage == "full" else "covers the rules in part"
    return printable(f"{book.title}, edition {book.edition} ({held})")


def count_words(verdict: Verdict) -> str:
    """How many single checks had which outcome, and how many of them somebody accepted."""
    words = OUTCOME_WORDS | {"breach": "in breach"}
    counted = ", ".join(f"{count} {words[outcome]}" for outcome, count in verdict.counts().items() if count)
    return f"{counted}; {verdict.waived} of them waived" if verdict.waived else counted


def height_words(heights: Sequence[str], verdict: Verdict) -> str:
    """The height classes of a line: "small, medium", or "every class" where the plan is judged for no other."""
    everyone = len(verdict.scenes) > 1 and set(heights) == set(verdict.scenes)
    return "every class" if everyone else ", ".join(printable(height) for height in heights)


def place_words(finding: Finding) -> str:
    """Whom a finding belongs to: "1 to 2 (a to b)", or "the whole course"."""
    return "the whole course" if finding.place == "course" else printable(finding.place)


def authority_words(finding: Finding, *, source: bool = True) -> str:
    """What a limit rests on: its clause and how well we know it; with the source at length, without it in short."""
    if finding.basis == "practice" and not finding.clause:
        return "common practice, no source"
    clause = f"clause {finding.clause}" if finding.clause else "no clause known"
    if not source:
        return f"{clause}, basis {finding.basis}"
    return printable(f"{clause}, basis: {BASIS_WORDS[finding.basis]}, {finding.source or 'no source given'}")


def provenance(verdict: Verdict) -> tuple[tuple[str, str], ...]:
    """Everything that the verdict was made of, so that somebody else gets the same one."""
    book, origin = verdict.rulebook, verdict.course.origin
    since = f"in force from {book.valid_from}" if book.valid_from else "in force from a date not known"
    until = f" until {book.valid_to}" if book.valid_to else ""
    rows = [("program", f"coursecheck {__version__}")]
    rows += [("course file", origin.file), ("its SHA-256", origin.sha256)] if origin else []
    rows += [
        ("rulebook", f"{book.id}, {book.title}, edition {book.edition}, {since}{until}"),
        ("its files", ", ".join(book.files) or "not known"),
        ("their SHA-256", book.sha256),
        ("its source", book.source),
        ("its coverage", book.coverage),
        *verdict.options.items(),
    ]
    return tuple((name, printable(words)) for name, words in rows)


def length_words(verdict: Verdict) -> tuple[str, ...]:
    """How each length was measured, or why it could not be; classes that share the words share the line."""
    said = [(length.height, _length_note(length)) for length in verdict.lengths]
    return by_class(said, verdict)


def _length_note(length: CourseLength) -> str:
    if length.length_m is None:
        return f"no length: {length.why_not}"
    return f"length {length.described}"


def time_words(verdict: Verdict) -> tuple[str, ...]:
    """How the times were found, what keeps them from being given, and cautions."""
    said = []
    for times in verdict.times:
        sct = _time_note("SCT", times.sct_s, times.sct_rule, times.sct_why_not)
        mct = _time_note("MCT", times.mct_s, times.mct_rule, times.mct_why_not)
        said.append((times.height, "; ".join((sct, mct, *times.notes))))
    return by_class(said, verdict)


def expectation_words(verdict: Verdict) -> tuple[str, ...]:
    """How long the runs will take and where they are fastest and slowest; the pace behind it is an assumption."""
    said = [
        f"{e.height}: expected run {e.typical_s:.0f} s ({e.fast_s:.0f} to {e.slow_s:.0f} s); "
        f"fastest {e.fastest_mps:.1f} m/s {e.fastest_at}, slowest {e.slowest_mps:.1f} m/s {e.slowest_at}"
        for e in verdict.expected
    ]
    return (*said, "expected runs go by the rulebook's assumed pace of each class") if said else ()


def _time_note(name: str, time_s: Decimal | None, rule: str, why_not: str) -> str:
    return f"no {name}: {why_not or rule}" if time_s is None else f"{name} {rule}"


def by_class(said: Iterable[tuple[str, str]], verdict: Verdict) -> tuple[str, ...]:
    """What is said of each height class, as lines; classes that share the words share the line."""
    together: dict[str, list[str]] = {}
    for height, words in said:
        together.setdefault(words, []).append(height)
    return tuple(f"{height_words(heights, verdict)}: {printable(words)}" for words, heights in together.items())
