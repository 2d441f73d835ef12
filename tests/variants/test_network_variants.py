"""Random variants of the faults of the network rules, and near misses of each rule's own."""

from __future__ import annotations

import json
import random
from collections.abc import Callable

import pytest

from support.draft import Draft
from tailboard.findings import Severity, Status
from tailboard.model.show import device_of
from tailboard.rules import network
from variants import netfaults, netnear
from variants.chainstage import RUNS, claims
from variants.netfaults import Words
from variants.netplans import NetPlan, netplan

Maker = Callable[[NetPlan], Words]


FAULTS: dict[str, Maker] = {
    "vlan-on-one-side": netfaults.vlan_on_one_side, "native-differs": netfaults.native_differs, "access-vlan-wrong": netfaults.access_vlan_wrong,
    "vlan-leaks": netfaults.vlan_leaks, "vlan-leaves-its-switch": netfaults.vlan_leaves, "devices-cannot-meet": netfaults.cannot_meet,
    "network-cable-missing": netfaults.cable_missing, "network-loop": netfaults.loop, "port-used-twice": netfaults.used_twice,
    "shut-port-in-use": netfaults.shut_in_use, "speed-differs": netfaults.speed, "optics-not-a-pair": netfaults.optics, "copper-too-long": netfaults.too_long,
    "eee-on": netfaults.eee, "poe-over-budget": netfaults.over_budget, "poe-missing": netfaults.poe_missing, "poe-without-source": netfaults.poe_no_source,
    "address-shared": netfaults.shared_address, "address-outside-subnet": netfaults.outside, "address-in-dhcp-range": netfaults.in_range,
    "dhcp-without-range": netfaults.no_range, "subnets-overlap": netfaults.overlap, "mac-twice": netfaults.mac, "gateway-outside-vlan": netfaults.gateway,
    "router-joins-vlans": netfaults.router, "two-interfaces-bridge": netfaults.bridging, "querier-missing": netfaults.querier_missing,
    "querier-order": netfaults.querier_order, "found-port-differs": netfaults.found_differs, "vlan-id-twice": netfaults.id_twice,
    "trunk-not-plugged": netfaults.trunk_idle, "strand-used-twice": netfaults.strand_twice, "poe-class-exceeded": netfaults.class_exceeded,
}  # fmt: skip
NEAR_MISSES: dict[str, Callable[[NetPlan], None]] = {
    "vlan-on-one-side": netnear.sides_alike, "native-differs": netnear.other_native_alike, "access-vlan-wrong": netnear.another_device,
    "vlan-leaks": netnear.other_native_alike, "vlan-leaves-its-switch": netnear.stays_where_it_is, "devices-cannot-meet": netnear.all_on_one_side,
    "network-cable-missing": netnear.unplugged_without_address, "network-loop": netnear.ring_with_tree, "port-used-twice": netnear.spare_lead,
    "shut-port-in-use": netnear.shut_behind_a_spare, "speed-differs": netnear.speed_as_it_is, "optics-not-a-pair": netnear.optics_the_other_way,
    "copper-too-long": netnear.longest_allowed, "eee-on": netnear.eee_off, "poe-over-budget": netnear.budget_just_enough,
    "poe-missing": netnear.fed_otherwise, "poe-without-source": netnear.power_where_there_is_some, "address-shared": netnear.next_address,
    "address-outside-subnet": netnear.first_or_last_host, "address-in-dhcp-range": netnear.beside_the_range,
    "dhcp-without-range": netnear.static_or_ranged, "subnets-overlap": netnear.adjacent_subnets, "mac-twice": netnear.macs_nearly_alike,
    "gateway-outside-vlan": netnear.quiet_router, "router-joins-vlans": netnear.router_that_may, "two-interfaces-bridge": netnear.said_to_part,
    "querier-missing": netnear.one_querier, "querier-order": netnear.queriers_changed_over, "found-port-differs": netnear.read_as_planned,
    "vlan-id-twice": netnear.neighbouring_numbers, "trunk-not-plugged": netnear.trunk_not_needed,
    "strand-used-twice": netnear.strands_of_one_drum, "poe-class-exceeded": netnear.class_just_enough,
}  # fmt: skip
MODULES = {module.RULE.name: module for module in network.MODULES}


def written(plan: NetPlan) -> Draft:
    """Return the show, a found document in its own file."""
    document = plan.tree.pop("found document", None)
    draft = plan.draft()
    if document is not None:
        draft.files["found/read.yaml"] = json.dumps(document, indent=1)
    return draft


def bare(draft: Draft) -> str:
    """Return a show's texts without the remark that every variant bears."""
    return "\n".join(
        line for text in draft.files.values() for line in text.splitlines() if '"note": "variant ' not in line
    )


def test_each_fault_has_its_near_miss() -> None:
    """That every rule is here or in a file beside is held by tests/style/test_rule_files.py."""
    assert set(FAULTS) == set(NEAR_MISSES) <= set(MODULES)


@pytest.mark.parametrize("rule", FAULTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    """The finding names what was edited, stands in a file of the show and says how to mend it; the variants differ."""
    seen = set()
    for run in range(RUNS):
        plan = netplan(random.Random(f"{rule} {run}"))
        words = FAULTS[rule](plan)
        draft = written(plan)
        found = [claim.finding for claim in claims(MODULES[rule], draft).values() if claim.status is Status.BROKEN]
        told = {
            f: "\n".join([f.id, f.message, *(reason.words for reason in f.because)]) for f in found if f is not None
        }
        named = [finding for finding, text in told.items() if all(word in text for word in words)]
        assert named, (run, words, list(told.values()))
        assert all(finding.fix and finding.spot.file in draft.files and finding.spot.line for finding in named)
        seen.add((named[0].message, named[0].spot))
    assert len(seen) == RUNS


@pytest.mark.parametrize("rule", NEAR_MISSES)
def test_near_misses_are_left_alone(rule: str) -> None:
    """The rule looks at every one of them, and makes neither an error nor a warning of it; they differ."""
    seen = set()
    for run in range(RUNS):
        plan = netplan(random.Random(f"{rule} harmless {run}"))
        before = bare(written(plan))
        NEAR_MISSES[rule](plan)
        draft = written(plan)
        found = claims(MODULES[rule], draft)
        assert found, (run, "the rule says nothing at all")
        loud = [
            claim.finding.message
            for claim in found.values()
            if claim.finding and claim.finding.severity > Severity.NOTE
        ]
        assert not loud, (run, loud)
        assert bare(draft) != before
        seen.add(bare(draft))
    assert len(seen) == RUNS


def test_the_plan_itself_is_clean() -> None:
    for run in range(20):
        plan = netplan(random.Random(f"clean {run}"))
        left = [finding.id for finding in written(plan).prove().findings if finding.severity > Severity.NOTE]
        assert not left, (run, left)
        assert {device_of(port) for _, port, _ in plan.ends.values()} == {plan.truck, plan.stage}
