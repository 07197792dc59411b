"""Which edition is in force on a day: told as far as the files know, and never guessed."""

import datetime
from dataclasses import replace

import pytest

from coursecheck.plans import load_rulebook
from coursecheck.rulebook.editions import edition_note, family

DAY = datetime.date(2020, 6, 1)


def book(year, begins=None, ends=None):
    def date(text):
        return datetime.date.fromisoformat(text) if text else None

    named = {"id": f"club-{year}", "edition": year, "valid_from": date(begins), "valid_to": date(ends)}
    return replace(load_rulebook("club-show"), **named)


OLD = book("2012", "2012-01-01", "2017-12-31")
NEW = book("2018", "2018-01-01")
OPEN = book("2012", "2012-01-01")
UNKNOWN = book("2019")


@pytest.mark.parametrize(
    ("named", "others", "words"),
    [
        (NEW, [OLD], None),
        (OLD, [NEW], "it ended on 2017-12-31; of the shipped editions, club-2018 is"),
        (OLD, [UNKNOWN], "no shipped edition is known to be; when club-2019 began is not known"),
        (OLD, [], "no shipped edition is"),
        (book("2021", "2021-01-01"), [OLD, NEW], "it begins on 2021-01-01; of the shipped editions, club-2018 is"),
        (OPEN, [NEW], "gives no date for its end, and club-2018 is in force on 2020-06-01"),
        (OPEN, [], None),
        (UNKNOWN, [OPEN, NEW], "gives no date for its end, and club-2018 is in force"),
        (book("2007", "2007-01-01", "2011-12-31"), [OPEN, NEW], "of the shipped editions, club-2018 is"),
        (book("2007", "2007-01-01", "2011-12-31"), [OPEN], "of the shipped editions, club-2012 is"),
        (UNKNOWN, [], "is not known: it does not say when it began"),
        (UNKNOWN, [NEW], "gives no date for its end, and club-2018 is in force"),
    ],
)
def test_what_is_said_about_an_edition_on_a_day(named, others, words):
    note = edition_note(named, DAY, [named, *others])
    assert (note is None) == (words is None)
    assert words is None or words in note


@pytest.mark.parametrize(
    ("day", "told"), [("2011-12-31", 1), ("2012-01-01", 0), ("2017-12-31", 0), ("2018-01-01", 1)]
)
def test_the_first_and_the_last_day_belong_to_an_edition(day, told):
    assert (edition_note(OLD, datetime.date.fromisoformat(day), []) is not None) == told


@pytest.mark.parametrize(
    ("name", "expected"), [("fci-2018", "fci"), ("club-show", "club-show"), ("akc-premier-2016", "akc-premier")]
)
def test_editions_share_the_name_before_the_year(name, expected):
    assert family(name) == expected
