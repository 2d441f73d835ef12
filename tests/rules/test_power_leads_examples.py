"""Devices with two leads, a UPS that is too weak, and what goes on behind a UPS."""

from __future__ import annotations

from rules.examples import show
from tailboard.answers.ask import Ask
from tailboard.answers.copper import copper
from tailboard.answers.fault_things import things
from tailboard.answers.power import power

LEADS = """
# show.yaml
supplies: {GEN: {earth: ET, breakers: {B1: 120 W}}, ALT: {earth: ET, breakers: {A1: 100 W, A2: 100 W}}}
places: {rack: {supply: GEN}}
devices:
  REC-1: {kind: recorder-32, place: rack, load: 60 W, supply 2: ALT, breaker 2: A2}
  SW-A: {kind: switch-8-copper-2-sfp, place: rack, load: 25 W}
  AMP-1: {kind: power-amplifier-2, place: rack, supply: ALT, breaker: A2, load: 50 W}
"""


def test_a_device_with_two_leads_counts_whole_on_both_breakers() -> None:
    """Once one supply is gone the other lead carries all of it."""
    found = {(one.supply, one.name): one.sum_w for one in Ask(show(LEADS).read().model)(power).breakers}
    assert found == {("GEN", "B1"): 85.0, ("ALT", "A1"): 0.0, ("ALT", "A2"): 110.0}
    (finding,) = show(LEADS).findings("breaker-overloaded")
    assert "breaker A2 of ALT carries 110 W" in finding.message


def test_a_second_lead_without_a_breaker_is_asked_for() -> None:
    text = LEADS.replace(", breaker 2: A2", "")
    claims = {claim.id for claim in show(text).claims("breaker-overloaded") if claim.status.value == "open"}
    assert "breaker-overloaded:ALT:breakers" in claims
    assert not show(LEADS.replace("load: 50 W", "load: 10 W")).findings("breaker-overloaded")  # 70 of 100 W


UPS = """
# show.yaml
kinds:
  rack-ups: {role: ups, UPS energy: 500 Wh, UPS power: 200 W, ports: {}}
supplies: {GEN: {earth: ET}}
places: {rack: {supply: GEN}}
devices:
  UPS-1: {kind: rack-ups, place: rack, UPS: 10 min}
  REC-1: {kind: recorder-32, place: rack, on UPS: UPS-1, load: 150 W}
  SW-A: {kind: switch-8-copper-2-sfp, place: rack, on UPS: UPS-1, load: 25 W}
"""


def test_a_ups_that_cannot_give_so_much_at_once_is_found() -> None:
    (finding,) = show(UPS.replace("load: 150 W", "load: 300 W")).findings("ups-minutes-short")
    assert "UPS-1 gives 200 W at most; 325 W hang on it" in finding.message
    assert "125 W or more" in finding.fix
    assert not show(UPS).findings("ups-minutes-short")


def test_what_hangs_on_a_ups_goes_on_without_the_supply_and_falls_with_the_ups() -> None:
    def takes(text: str, thing: str) -> set[str]:
        return set(Ask(show(text).read().model)(things).takes[thing])

    assert "device SW-A" not in takes(UPS, "supply GEN")
    assert "device SW-A" in takes(UPS, "device UPS-1")
    assert "device SW-A" in takes(UPS.replace(", UPS: 10 min", ""), "supply GEN")


COPPER = """
# show.yaml
supplies: {GEN: {earth: ET}, ALT: {earth: EH}, HALL: {earth: ET}}
places: {rack: {supply: GEN}, hall: {supply: HALL}}
devices:
  SW-A: {kind: switch-8-copper-2-sfp, place: rack, supply 2: ALT}
  SW-B: {kind: switch-8-copper-2-sfp, place: hall}
cables:
  C-01: {kind: cat solid, from: SW-A/1, to: SW-B/1}
"""


def test_copper_sees_the_earth_of_a_second_lead() -> None:
    """Both leads of a device meet in its chassis: common practice, no source."""
    (link,) = Ask(show(COPPER).read().model)(copper)
    assert (link.supplies, link.earths) == (("ALT", "HALL"), ("EH", "ET"))
    alone = COPPER.replace(", supply 2: ALT", "")
    (link,) = Ask(show(alone).read().model)(copper)
    assert (link.supplies, link.crosses) == (("GEN", "HALL"), False)
