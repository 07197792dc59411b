"""The words for what has a code: outcomes, severities, bases, coverage; and the cautions of every report."""

from __future__ import annotations

from coursecheck.language import say, say_as, to_say
from coursecheck.rulebook.model import Rulebook

__all__ = [
    "BASES",
    "basis_name",
    "basis_words",
    "book_title",
    "cautions",
    "coverage_name",
    "outcome_words",
    "severity_name",
    "severity_words",
]

_OUTCOMES = {
    "breach": to_say("breach"),
    "close": to_say("close"),
    "unmeasurable": to_say("not measurable"),
    "met": to_say("met"),
    "not-applicable": to_say("not applicable"),
    "not-covered": to_say("not covered"),
}

BASES = {
    "text": to_say("the rulebook's own text"),
    "summary": to_say("a published account of the rulebook"),
    "practice": to_say("common practice, without a source"),
    "memory": to_say("from memory, not checked"),
}

_SEVERITIES = {
    "must": to_say("the rulebook requires it"),
    "should": to_say("advised; a breach does not make the plan illegal"),
    "note": to_say("for the judge to know"),
}


def cautions() -> tuple[str, ...]:
    """What every report says of itself."""
    return (
        say("The plan is checked on paper. The judge walks and inspects the course as it is built."),
        say("The current rulebook, the organiser, the appointed judge and a vet prevail over this report."),
        say("Ground, weather, footing and the condition of the equipment are not seen by a program."),
    )


def outcome_words(outcome: str) -> str:
    """An outcome in words."""
    return say(_OUTCOMES[outcome])


def severity_name(severity: str) -> str:
    """A severity in a word."""
    return say_as("severity", severity)


def severity_words(severity: str) -> str:
    """What a severity means."""
    return say(_SEVERITIES[severity])


def basis_name(basis: str) -> str:
    """How well a limit is known, in a word."""
    return say_as("basis", basis)


def basis_words(basis: str) -> str:
    """What a basis means."""
    return say(BASES[basis])


def book_title(book: Rulebook) -> str:
    """The title of a rulebook, in the language that is spoken where it ships with the program."""
    return say(book.title)


def coverage_name(book: Rulebook) -> str:
    """How much of the rules a rulebook holds, in a word."""
    return say_as("coverage", book.coverage)
