"""What a run of the tests says at its end: what was skipped and why. In continuous integration a skip is a failure."""

import os
from collections import Counter

import pytest
from _pytest.terminal import TerminalReporter

IN_CI = os.environ.get("CI", "").lower() in {"1", "true", "yes"}


def skipped_reasons(reporter: TerminalReporter) -> Counter[str]:
    """Return each reason for which tests were skipped, with their number."""
    reasons: Counter[str] = Counter()
    for report in reporter.stats.get("skipped", []):
        told = report.longrepr
        reason = told[2] if isinstance(told, tuple) else str(told)
        reasons[reason.removeprefix("Skipped: ")] += 1
    return reasons


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """Turn a run that skipped something into a failed one, where nothing may be skipped."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if IN_CI and exitstatus == pytest.ExitCode.OK and reporter is not None and skipped_reasons(reporter):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: TerminalReporter) -> None:
    """Print what was skipped and why."""
    reasons = skipped_reasons(terminalreporter)
    if not reasons:
        return
    terminalreporter.section("skipped", sep="-", yellow=True)
    for reason, count in reasons.most_common():
        terminalreporter.line(f"{count:4} x {reason}")
    if IN_CI:
        terminalreporter.line("CI is set: a skipped test is a failure.", red=True)
