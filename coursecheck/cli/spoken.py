"""Commands whose help and usage errors speak the reader's language.

Help is written where a command is defined, before anybody knows the language: in docstrings, `help=` and `metavar=`.
The classes here keep these words and look them up whenever click asks for them. Click looks up its own words by
gettext, which `speaking_as_asked` points to our catalogues.
"""

from __future__ import annotations

import gettext
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from inspect import cleandoc
from itertools import zip_longest
from typing import Any

import click

from coursecheck.language import DOMAIN, LANGUAGES, LOCALE, say, speaking, spoken

__all__ = ["Command", "Group", "Option", "argument", "command", "group", "option", "paragraphs", "speaking_as_asked"]

VARIABLE = "COURSECHECK_LANGUAGE"

Function = Callable[..., Any]


@contextmanager
def speaking_as_asked(arguments: Sequence[str]) -> Iterator[None]:
    """Speaks the language that the command line, wherever on it, or else the environment asks for.

    Where there is no such language, it says so and ends the program.
    """
    language = _asked(arguments) or os.environ.get(VARIABLE) or "en"
    if language not in LANGUAGES:
        error = click.UsageError(
            say("no language {name!r}; there are {known}", name=language, known=", ".join(LANGUAGES))
        )
        error.show()
        sys.exit(error.exit_code)
    with speaking(language):
        if language == "en":
            yield
        else:
            with _click_speaking(language):
                yield


def _asked(arguments: Sequence[str]) -> str | None:
    """What the last --language of a command line asks for."""
    language = None
    for word, following in zip_longest(arguments, arguments[1:]):
        if word == "--":
            break
        if word == "--language":
            language = following
        elif word.startswith("--language="):
            language = word.partition("=")[2]
    return language


@contextmanager
def _click_speaking(language: str) -> Iterator[None]:
    """What click says by gettext comes from our catalogues."""
    before, variable = gettext.textdomain(), os.environ.get("LANGUAGE")
    gettext.bindtextdomain(DOMAIN, LOCALE)
    gettext.textdomain(DOMAIN)
    os.environ["LANGUAGE"] = language
    try:
        yield
    finally:
        gettext.textdomain(before)
        del os.environ["LANGUAGE"]
        if variable is not None:
            os.environ["LANGUAGE"] = variable


def paragraphs(words: str) -> str:
    """A docstring as it is looked up: each of its paragraphs on one line."""
    return "\n\n".join(" ".join(part.split()) for part in cleandoc(words).split("\n\n"))


class _Said:
    """An attribute that holds words, and gives them in the language that is spoken."""

    def __set_name__(self, owner: type, name: str) -> None:
        self._key = f"{name} in English"

    def __get__(self, holder: Any, owner: type) -> str | None:
        words: str | None = holder.__dict__.get(self._key)
        return words if not words or spoken() == "en" else say(paragraphs(words))

    def __set__(self, holder: Any, words: str | None) -> None:
        holder.__dict__[self._key] = words


class Option(click.Option):
    """An option whose help and metavar are looked up."""

    help: Any = _Said()
    metavar: Any = _Said()


class Argument(click.Argument):
    """An argument whose metavar is looked up."""

    metavar: Any = _Said()


class Command(click.Command):
    """A command whose help is looked up. It takes --language, which is spoken by the time that options are read."""

    help: Any = _Said()
    options_metavar: Any = _Said()

    def __init__(self, *names: Any, **settings: Any) -> None:
        super().__init__(*names, **settings)
        language = Option(
            ["--language"],
            type=click.Choice(tuple(LANGUAGES)),
            expose_value=False,
            help="Of what is said to people: en (by default), de or fr; COURSECHECK_LANGUAGE sets another default.",
        )
        self.params.append(language)

    def get_help_option(self, ctx: click.Context) -> click.Option | None:
        """The option --help, its help in the language that is spoken."""
        option = super().get_help_option(ctx)
        if option is not None:
            option.help = say("Show this message and exit.")
        return option


class Group(Command, click.Group):
    """A group of commands."""

    command_class = Command
    subcommand_metavar: Any = _Said()


def command(name: str) -> Callable[[Function], Command]:
    """Makes a command of a function."""
    return click.command(name, cls=Command)


def group(name: str, **settings: Any) -> Callable[[Function], Group]:
    """Makes a group of a function."""
    return click.group(name, cls=Group, **settings)


def option(*names: Any, **settings: Any) -> Callable[[Function], Function]:
    """Gives a command an option."""
    return click.option(*names, cls=Option, **settings)


def argument(name: str, **settings: Any) -> Callable[[Function], Function]:
    """Gives a command an argument."""
    return click.argument(name, cls=Argument, **settings)
