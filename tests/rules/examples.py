"""Documented examples: a show written as one text, the one rule that fires on it, and the text that mends it."""

from __future__ import annotations

from dataclasses import dataclass

from support.draft import Draft
from tailboard.findings import Finding, Severity

MARK = "# "


@dataclass(frozen=True)
class Example:
    """The smallest show for which a rule fires, and alone.

    text    the files of the show, each after a line '# NAME'.
    mends   (old, new): one edit of that text after which the rule is silent.
    at      where the finding stands: 'lines.csv:3:11'.
    says    words that the message must hold.
    """

    text: str
    mends: tuple[str, str]
    at: str
    says: tuple[str, ...]

    @property
    def draft(self) -> Draft:
        """The faulty show."""
        return show(self.text)

    @property
    def mended(self) -> Draft:
        """The show after the edit."""
        old, new = self.mends
        assert self.text.count(old) == 1, f"{old!r} stands {self.text.count(old)} times"
        return show(self.text.replace(old, new))


def show(text: str) -> Draft:
    """Return the show written in one text."""
    files: dict[str, list[str]] = {}
    name = ""
    for line in text.strip("\n").splitlines():
        if line.startswith(MARK) and "." in line:
            name = line.removeprefix(MARK)
            files[name] = []
        else:
            files[name].append(line)
    return Draft({name: "\n".join(lines) + "\n" for name, lines in files.items()})


def roots(draft: Draft, rule: str) -> list[Finding]:
    """Return the errors and warnings that are no consequence of another, and every root of one rule, notes too."""
    proof = draft.prove()
    found = [item for item in proof.findings if item.id not in proof.parent]
    return [item for item in found if item.severity > Severity.NOTE or item.rule == rule]


def prove_example(rule: str, example: Example) -> None:
    """Assert that one rule alone fires on an example, where and with what words, and is silent on the mended text."""
    findings = roots(example.draft, rule)
    assert {finding.rule for finding in findings} == {rule}, [(item.id, item.message) for item in findings]
    (finding,) = findings
    assert str(finding.spot) == example.at
    told = "\n".join((finding.message, *(reason.words for reason in finding.because)))
    assert not [word for word in example.says if word not in told], told
    assert finding.fix
    left = roots(example.mended, rule)
    assert not left, [(item.id, item.message) for item in left]
