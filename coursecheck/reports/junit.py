"""The verdict as JUnit XML: a suite for each plan, a case for each limit.

A case fails where the limit counts against the plan at or above the severity asked for; it is skipped where it was
not checked at all. A plan that could not be judged is a suite with an error.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from coursecheck.reports.grouping import SHOWN
from coursecheck.reports.wording import printable, provenance, verdict_words
from coursecheck.rulebook.model import SEVERITIES
from coursecheck.verdict.model import Finding, Verdict

__all__ = ["junit_document", "junit_error", "junit_suite"]


def junit_suite(file: str, verdict: Verdict, fail_on: str) -> str:
    """The suite of one plan.

    Args:
        file: as the user named it.
        verdict: what was found.
        fail_on: the least severity that fails a case, or "never".
    """
    suite = Element("testsuite", name=_clean(file))
    properties = SubElement(suite, "properties")
    about = [("verdict", verdict_words(verdict)), *provenance(verdict), *(("note", note) for note in verdict.notes)]
    for name, words in about:
        SubElement(properties, "property", name=_clean(name), value=_clean(words))
    for limit, findings in _grouped(verdict).items():
        _case(suite, verdict, limit, findings, fail_on)
    for limit in verdict.left_out:
        _skipped(suite, verdict, limit, "left out by selection, so not checked")
    for gap in verdict.uncovered:
        _skipped(suite, verdict, gap.topic, f"not covered by the rulebook, so not checked: {gap.about}")
    return _closed(suite)


def junit_error(file: str, problem: str) -> str:
    """The suite of a plan that could not be judged."""
    suite = Element("testsuite", name=_clean(file))
    case = SubElement(suite, "testcase", classname="coursecheck", name="the plan can be judged")
    SubElement(case, "error", message=_clean(problem.splitlines()[0]), type="unreadable").text = "\n".join(
        _clean(line) for line in problem.splitlines()
    )
    return _closed(suite)


def junit_document(suites: Iterator[str]) -> Iterator[str]:
    """The whole document, suite by suite."""
    yield '<?xml version="1.0" encoding="UTF-8"?>\n<testsuites name="coursecheck">\n'
    yield from suites
    yield "</testsuites>\n"


def _grouped(verdict: Verdict) -> Mapping[str, list[Finding]]:
    limits: dict[str, list[Finding]] = {}
    for finding in verdict.findings:
        limits.setdefault(finding.limit, []).append(finding)
    return dict(sorted(limits.items()))


def _case(suite: Element, verdict: Verdict, limit: str, findings: list[Finding], fail_on: str) -> None:
    case = SubElement(suite, "testcase", classname=_clean(verdict.rulebook.id), name=_clean(limit))
    if all(finding.outcome == "not-applicable" for finding in findings):
        SubElement(case, "skipped", message="nothing in this plan falls under it")
        return
    graves = SEVERITIES[: SEVERITIES.index(fail_on) + 1] if fail_on in SEVERITIES else ()
    told = []
    for finding in findings:
        if finding.counts_against and finding.severity in graves:
            SubElement(case, "failure", message=_words(finding), type=finding.outcome)
        elif finding.outcome in SHOWN:
            told.append(f"{finding.severity} {finding.outcome}: {_words(finding)}")
    if told:
        SubElement(case, "system-out").text = "\n".join(told)


def _words(finding: Finding) -> str:
    height = f" [{finding.height}]" if finding.height else ""
    waived = f" (waived by {finding.waived.who}: {finding.waived.reason})" if finding.waived else ""
    return _clean(f"{finding.message}{height}{waived}")


def _skipped(suite: Element, verdict: Verdict, name: str, why: str) -> None:
    case = SubElement(suite, "testcase", classname=_clean(verdict.rulebook.id), name=_clean(name))
    SubElement(case, "skipped", message=_clean(why))


def _closed(suite: Element) -> str:
    cases = suite.findall("testcase")
    suite.set("tests", str(len(cases)))
    for attribute, tag in (("failures", "failure"), ("errors", "error"), ("skipped", "skipped")):
        suite.set(attribute, str(sum(case.find(tag) is not None for case in cases)))
    indent(suite)
    return tostring(suite, encoding="unicode") + "\n"


def _clean(text: str) -> str:
    """Without characters that XML 1.0 cannot hold: `printable` leaves just two of them."""
    return printable(text).replace("\ufffe", "\ufffd").replace("\uffff", "\ufffd")
