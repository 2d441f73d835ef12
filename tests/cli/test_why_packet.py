"""`why` of a packet's arrival: the ledger step by step, and moments of release that can be replayed."""

from __future__ import annotations

import json
import re

from cli.shell import SMALL, run
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.delay import arrivals
from tailboard.answers.delay_network import queues
from tailboard.physics.adversary import replayed
from tailboard.rules.delay.packet_evidence import met_flows, pattern_of


def test_the_ledger_adds_up_to_what_the_claim_says() -> None:
    view = json.loads(run("why", SMALL, "packet-late:ST-3:SB-1", "--json").out)
    steps = [step["words"] for step in view["evidence"]]
    assert steps[0] == "a packet of ST-3 is full after 0.125 ms"
    assert steps[1] == "CON-1 releases it up to 10 us late"
    hops = [step for step in steps if ": up to " in step]
    assert [step.partition(":")[0] for step in hops] == ["CON-1/audio", "SW-T/S1", "SW-B/1"]
    spent_us = 135.0  # packet time and release
    for step in hops:
        parts = re.search(r"up to ([\d.]+) us \((.*)\), then ([\d.]+) us", step)
        assert parts is not None, step
        inside_us = sum(float(figure) for figure in re.findall(r"([\d.]+) us", parts[2]))
        assert abs(inside_us - float(parts[1])) < 0.03
        spent_us += float(parts[1]) + float(parts[3])
    assert abs(spent_us - 215) < 0.5
    assert "ST-3 reaches SB-1 in time: after 0.215 ms at most, 0.149 ms to spare" in view["says"]
    assert "SB-1 plays it out 0.375 ms after its first sample" in steps


def test_the_moments_are_shown_with_their_share_of_the_bound() -> None:
    shown = " ".join(run("why", SMALL, "packet-late:ST-1:CON-1").out.split())
    assert "moments that can be replayed: a packet of ST-1, due at 0 and released at 10 us" in shown
    assert re.search(r"arrives at [\d.]+ us, (99|100)[\d.]* % of the [\d.]+ us that the ledger allows", shown)
    assert "SB-1 releases ST-2 at " in shown
    assert "a large frame of others and 5 clock messages take SW-B/S1 at " in shown


def test_the_moments_do_what_is_said_of_them() -> None:
    ask = Ask(Draft.example("medium").read().model)
    checked = 0
    for found in ask(arrivals)[::9]:
        if found.worst_s is None or found.flow.period_s is None:
            continue
        _, pattern, bound_s = pattern_of(ask, found)
        _, traffic = met_flows(ask(queues), found)
        again = replayed(traffic, ask(queues).lines, pattern)
        assert again.gone_s[pattern.flow][pattern.route[-1]][-1] == pattern.arrival_s
        assert 0.9 * bound_s < pattern.arrival_s <= bound_s * (1 + 1e-9), found.subject
        checked += 1
    assert checked >= 5


def test_an_open_arrival_shows_no_number() -> None:
    shown = run("why", SMALL.parent / "medium", "packet-late:FA-1:GW-1").out
    assert "not written: how late FAC may release a packet" in " ".join(shown.split())
    assert "moments" not in shown
