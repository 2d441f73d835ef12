"""`explain`: what a rule finds and why it matters."""

from __future__ import annotations

import argparse

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.term.why import rule_page, rules_page
from tailboard.text.nearmiss import nearest
from tailboard.views.rulebook import rule_view, rules_by_name

SCHEMA_ONE = "tailboard/rule/1"
SCHEMA_ALL = "tailboard/rules/1"


def run(options: argparse.Namespace, out: Output) -> int:
    """Print the document of one rule, or the list of all."""
    rules = rules_by_name()
    if not options.names:
        views = [rule_view(rule) for rule in rules.values()]
        out.show({"schema": SCHEMA_ALL, "rules": views}, lambda style: rules_page(views, style))
        return 0
    if len(options.names) > 1:
        raise CannotRun("explain takes one rule at a time")
    wanted = options.names[0].partition(":")[0]  # the id of a claim begins with its rule
    rule = rules.get(wanted)
    if rule is None:
        near = nearest(wanted, rules)
        meant = f"did you mean '{near}'?" if near else "'tailboard explain' lists them"
        raise CannotRun(f"there is no rule '{wanted}'; {meant}")
    view = rule_view(rule)
    out.show({"schema": SCHEMA_ONE, **view}, lambda style: rule_page(view, style))
    return 0
