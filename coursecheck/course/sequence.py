"""The words of a sequence: an obstacle's id, then, if wanted, `reverse`, and `left` or `right`."""

from __future__ import annotations

from coursecheck.course.model import Pass
from coursecheck.language import say

__all__ = ["read_word", "spell", "word_mistake"]

_OPTIONS = ("reverse", "left", "right")


def word_mistake(word: str) -> tuple[str, str] | None:
    """What is wrong with a word of `run` apart from its id, and what would be right; None where nothing is."""
    parts = word.split()
    if not parts:
        return say("found an empty word"), say('write the id of an obstacle, such as "a" or "a reverse left"')
    options = parts[1:]
    unknown = next((option for option in options if option not in _OPTIONS), None)
    if unknown is not None:
        wrong = say('unknown word "{word}" behind the id', word=unknown)
        return wrong, say('write "reverse", "left" or "right", or leave it out')
    if "left" in options and "right" in options:
        return say("the dog cannot turn both left and right"), say('write "left" or "right"')
    if len(set(options)) < len(options):
        return say("the same word stands twice behind the id"), say("write it once")
    return None


def read_word(number: int, word: str) -> Pass:
    """The pass that a word without mistakes stands for."""
    name, *options = word.split()
    turn = next((option for option in options if option != "reverse"), None)
    return Pass(number, name, "reverse" in options, turn)


def spell(run: Pass) -> str:
    """The word of a pass."""
    return " ".join([run.obstacle, *(["reverse"] if run.reverse else []), *([run.turn] if run.turn else [])])
