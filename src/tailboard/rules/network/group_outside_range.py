"""A stream's group is outside the range that the VLAN's senders use, or inside one that others use.

What it finds: a group of one of our senders outside the `groups` of its VLAN, or inside its `other groups`; a group of a
device with another owner inside our `groups`. Speaks only where a VLAN states a range.
Why it matters: the house counts on the ranges that were agreed; a group of theirs that we use too sounds at their
receivers.
Example: FAC has `groups: 239.120.4.0/24`, and our HB-1 goes to 239.120.0.11.
Fix: take a group out of the range agreed.
Does not find: a range that was agreed and never written.
Source: common practice, no source; the ranges are those of the plan.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.stream_groups import GroupUse, group_uses, is_ours
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Vlan
from tailboard.units.wording import listed

RULE = Rule("group-outside-range", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a group in a VLAN that states ranges."""
    for use in ask(group_uses):
        vlan = ask.model.vlans.get(use.vlan)
        if vlan is None or not (vlan.groups or vlan.other_groups):
            continue
        ours = is_ours(ask.model, use.stream.sender)
        says = f"the group of {use.stream.id}, {use.address}, is in the range agreed for {vlan.id}"
        fault, attribute = fault_of(use, vlan, ours=ours)
        if not fault:
            yield RULE.holds(use.subject, says)
            continue
        yield RULE.broken(
            use.subject,
            says,
            spot=use.stream.at.spot(use.attribute),
            message=f"{use.stream.id} of {use.stream.sender} goes to {use.address}, {fault}",
            because=[Because(vlan.at.spot(attribute), f"{vlan.id} says so")],
            fix=f"give {use.stream.id} a group in {listed([str(net) for net in vlan.groups])}"
            if ours and vlan.groups
            else f"give {use.stream.id} another group, or correct the ranges of {vlan.id}",
        )


def fault_of(use: GroupUse, vlan: Vlan, *, ours: bool) -> tuple[str, str]:
    """Return how a group breaks the ranges of its VLAN, empty if it does not, and the field that says so."""
    own = [str(net) for net in vlan.groups]
    inside = any(use.address in net for net in vlan.groups)
    foreign = next((net for net in vlan.other_groups if use.address in net), None)
    if ours and foreign is not None:
        return f"inside {foreign}, which others use in {vlan.id}", "other_groups"
    if ours and own and not inside:
        return f"outside {listed(own)}, the range of our groups in {vlan.id}", "groups"
    if not ours and inside and foreign is None:
        return f"inside {listed(own)}, the range of our groups in {vlan.id}", "groups"
    return "", ""
