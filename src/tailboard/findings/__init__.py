"""What the tool says: spots in the user's text, rules, findings, claims. Standard library only."""

from tailboard.findings.claim import Claim, Status
from tailboard.findings.finding import Because, Finding, Severity
from tailboard.findings.rule import Rule
from tailboard.findings.spot import NOWHERE, Spot

__all__ = ["NOWHERE", "Because", "Claim", "Finding", "Rule", "Severity", "Spot", "Status"]
