"""Random variants of the faults of load, groups, marking and second networks, and harmless neighbours of each."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.findings import Severity
from tailboard.rules import network
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.streamnet import StreamNet


def too_much(rng: random.Random) -> tuple[Draft, str]:
    """A camera, or an exchange, over the share of its first port, of the trunk, or over the whole."""
    net = StreamNet.draw(rng)
    camera = rng.choice(net.cameras)
    field = rng.choice(["sends", "exchanges"])
    net.tree["devices"][camera][field] = {net.decoder: f"{rng.randrange(860, 1900)} Mb/s"}
    switch, number = net.port_of(f"{net.decoder}/net")
    return net.draft(), f"port-overloaded:{rng.choice([f'{camera}/net', f'{switch}/{number}'])}"


def limit_lowered(rng: random.Random) -> tuple[Draft, str]:
    """The show plans with less than a camera's 60 Mb/s: a limit of 1 to 5 per cent of 1 Gb/s."""
    net = StreamNet.draw(rng)
    net.tree["load limit"] = str(rng.randrange(1, 6))
    return net.draft(), f"port-overloaded:{rng.choice(net.cameras)}/net"


def overloaded(rng: random.Random) -> tuple[Draft, str]:
    return rng.choice([too_much, limit_lowered])(rng)


def just_within(rng: random.Random) -> Draft:
    """As much as the limit lets through, trunks free: pictures stay below 85 % of 1 Gb/s at one switch."""
    net = StreamNet.draw(rng)
    camera = rng.choice(net.cameras)
    net.tree["trunk limit"] = "100"
    others = 60 * (len(net.cameras) - 1)
    net.tree["devices"][camera]["sends"] = {net.decoder: f"{rng.randrange(700, 850) - others} Mb/s"}
    return net.draft()


def flooded(rng: random.Random) -> tuple[Draft, str]:
    """Snooping off, no querier, or a group that is always flooded; the pack gets what it did not ask for."""
    net = StreamNet.draw(rng)
    stream = rng.choice(net.multicast())
    kind = rng.randrange(3)
    record = net.tree["vlans"][net.audio]
    if kind == 0:
        net.snooping(on=False)
    elif kind == 1:
        del record["querier"]
    else:
        net.stream(stream)["group"] = f"{rng.choice([224, 239])}.{rng.choice([0, 128])}.0.{rng.randrange(1, 255)}"
    switch, number = net.port_of(f"{rng.choice(net.packs)}/net")
    return net.draft(), f"slow-port-flooded:{switch}/{number}"


def asked_for(rng: random.Random) -> Draft:
    """A pack that asked for a group; or a flood where no port is slow."""
    net = StreamNet.draw(rng)
    if rng.random() < 0.5:
        net.stream(rng.choice(net.multicast()))["to"].append(rng.choice(net.packs))
        return net.draft()
    for pack in net.packs:
        net.tree["devices"][pack]["kind"] = "own-supply-panel"
    return net.snooping(on=False).draft()


def not_snooping(rng: random.Random) -> tuple[Draft, str]:
    net = StreamNet.draw(rng)
    vlan = rng.choice([net.audio, net.second])
    if rng.random() < 0.5:
        del net.tree["vlans"][vlan]["snooping"]
    else:
        net.tree["vlans"][vlan]["snooping"] = rng.choice(["off", "no"])
    return net.draft(), f"querier-without-snooping:{vlan}"


def floods_on_purpose(rng: random.Random) -> Draft:
    net = StreamNet.draw(rng)
    return net.snooping(on=rng.random() < 0.5).draft()


def two_multicasts(net: StreamNet) -> tuple[str, str]:
    """Return two streams with groups, the earlier written first."""
    net.multicast()
    if len(net.multicast()) < 2:
        net.add_stream(group=net.group())
    first, second = sorted(net.rng.sample(net.multicast(), 2), key=list(net.tree["streams"]).index)
    return first, second


def same_group(rng: random.Random) -> tuple[Draft, str]:
    """The same group, or one of the other 31 with its Ethernet address."""
    net = StreamNet.draw(rng)
    first, second = two_multicasts(net)
    group = net.stream(first)["group"]
    if rng.random() < 0.5:
        parts = group.split(".")
        parts[0] = str(rng.choice([225, 230, 238]))
        parts[1] = str(int(parts[1]) + rng.choice([0, 128]))
        group = ".".join(parts)
    net.stream(second)["group"] = group
    return net.draft(), f"group-shared:{second}"


def neighbouring_groups(rng: random.Random) -> Draft:
    """Groups that differ by one bit of the low 23; or one group in two networks that do not meet."""
    net = StreamNet.draw(rng)
    first, second = two_multicasts(net)
    if rng.random() < 0.5:
        net.stream(first).update({"second vlan": net.second, "second group": net.stream(first)["group"]})
        return net.draft()
    parts = net.stream(first)["group"].split(".")
    parts[rng.choice([1, 2])] = str(int(parts[2]) ^ 1)
    net.stream(second)["group"] = ".".join([*parts[:3], str(int(parts[3]) ^ 128)])
    return net.draft()


def unusable_group(rng: random.Random) -> tuple[Draft, str]:
    net = StreamNet.draw(rng)
    stream = rng.choice(net.multicast())
    low = rng.randrange(1, 255)
    net.stream(stream)["group"] = rng.choice(
        [
            f"224.0.0.{low}",
            f"239.0.0.{low}",
            f"239.128.0.{low}",
            f"10.3.{low}.9",
            f"224.0.1.{129 + low % 4}",
            f"240.1.1.{low}",
        ]
    )
    return net.draft(), f"group-not-usable:{stream}"


def usable_group(rng: random.Random) -> Draft:
    net = StreamNet.draw(rng)
    low = rng.randrange(1, 255)
    groups = [f"239.0.{low}.7", f"239.129.0.{low}", f"232.1.1.{low}", f"239.255.255.{low}", f"224.0.2.{low}"]
    net.stream(rng.choice(net.multicast()))["group"] = rng.choice(groups)
    return net.draft()


def outside(rng: random.Random) -> tuple[Draft, str]:
    """Our group outside our range, or inside that of others; a stranger's inside ours."""
    net = StreamNet.draw(rng)
    stream = rng.choice(net.multicast())
    record, kind = net.tree["vlans"][net.audio], rng.randrange(3)
    if kind == 0:
        record["groups"] = [f"239.{rng.randrange(80, 200)}.0.0/16"]
    elif kind == 1:
        record.update({"groups": ["239.77.0.0/16"], "other groups": [f"{net.stream(stream)['group']}/32"]})
    else:
        record["groups"] = ["239.77.0.0/16"]
        net.tree["devices"][net.stream(stream)["from"]]["owner"] = rng.choice(["the house", "a guest"])
    return net.draft(), f"group-outside-range:{stream}"


def inside(rng: random.Random) -> Draft:
    net = StreamNet.draw(rng)
    record = net.tree["vlans"][net.audio]
    record["groups"] = [rng.choice(["239.77.0.0/16", "239.64.0.0/10", "239.0.0.0/8"])]
    if rng.random() < 0.5:
        record["other groups"] = [f"239.{rng.randrange(80, 200)}.0.0/16"]
    return net.draft()


def large_packet(rng: random.Random) -> tuple[Draft, str]:
    """More channels than fit: 10 at 1 ms, 40 at 0.25 ms, 2 at 4 ms (check_values FRM-22)."""
    net = StreamNet.draw(rng)
    packet, least = rng.choice([("1 ms", 11), ("0.25 ms", 41), ("4 ms", 3)])
    stream = net.add_stream(**{"packet time": packet, "channel count": str(rng.randrange(least, 65))})
    return net.draft(), f"packet-too-large:{stream}"


def packet_that_fits(rng: random.Random) -> Draft:
    """As many channels as fit, or one fewer."""
    net = StreamNet.draw(rng)
    packet, most = rng.choice([("1 ms", 10), ("0.25 ms", 40), ("4 ms", 2), ("0.125 ms", 64)])
    net.add_stream(**{"packet time": packet, "channel count": str(most - rng.randrange(2))})
    return net.draft()


def marked_wrong(rng: random.Random) -> tuple[Draft, str]:
    """Audio with the clock's number, a clock behind audio, or pictures before it; stated at VLAN, device or stream."""
    net = StreamNet.draw(rng)
    vlans, devices = net.tree["vlans"], net.tree["devices"]
    audio = rng.randrange(20, 40)
    vlans[net.audio]["marking"] = vlans[net.second]["marking"] = str(audio)
    stream = rng.choice(list(net.tree["streams"]))
    sender, kind = net.stream(stream)["from"], rng.randrange(3)
    if kind == 0:
        other = rng.choice([name for name in net.gateways if name != sender])
        devices[other]["clock"] = {"role": "follower only", "rate": "48 kHz", "marking": "46"}
        rng.choice([devices[sender], net.stream(stream)])["marking"] = "46"
        return net.draft(), f"marking-clash:{sender}"
    if kind == 1:
        devices[sender]["clock"] = {"role": "follower only", "rate": "48 kHz", "marking": str(rng.randrange(audio))}
        return net.draft(), f"marking-clash:{sender}"
    camera = rng.choice(net.cameras)
    rng.choice([devices[camera], vlans[net.pictures]])["marking"] = str(rng.randrange(audio, 64))
    return net.draft(), f"marking-clash:{camera}"


def marked_right(rng: random.Random) -> Draft:
    """Clock above audio above pictures by number; or another order, where the show says so; or only some are stated."""
    net = StreamNet.draw(rng)
    vlans, devices = net.tree["vlans"], net.tree["devices"]
    numbers = sorted(rng.sample(range(1, 64), 3), reverse=True)
    if rng.random() < 0.5:
        rng.shuffle(numbers)
        net.tree["priority"] = [*map(str, numbers), "0"]
    clock, audio, pictures = map(str, numbers)
    vlans[net.audio]["marking"] = vlans[net.second]["marking"] = audio
    if rng.random() < 0.7:
        devices[rng.choice(net.gateways)]["clock"] = {"role": "follower only", "rate": "48 kHz", "marking": clock}
    if rng.random() < 0.7:
        vlans[net.pictures]["marking"] = pictures
    return net.draft()


def one_copy(rng: random.Random) -> tuple[Draft, str]:
    """The cable of a receiver, or of the sender, on one of the two networks carries nothing."""
    net = StreamNet.draw(rng)
    stream = net.doubled()
    end = rng.choice([*net.stream(stream)["to"], net.stream(stream)["from"]])
    net.cable_of(f"{end}/{rng.choice('ab')}")["state"] = rng.choice(["laid", "capped"])
    return net.draft(), f"copy-missing:{stream}"


def both_copies(rng: random.Random) -> Draft:
    """A device that is no end of a doubled stream lacks the second network."""
    net = StreamNet.draw(rng)
    stream = net.doubled()
    ends = {
        end for item in net.tree["streams"].values() if "second vlan" in item for end in (item["from"], *item["to"])
    }
    idle = [name for name in net.gateways if name not in ends]
    if idle:
        net.cable_of(f"{rng.choice(idle)}/b")["state"] = "laid"
    net.stream(stream)["note"] = "on both"
    return net.draft()


def shared_way(rng: random.Random) -> tuple[Draft, str]:
    """Both ports of two gateways in the switches of the first network, or both networks in one VLAN of it."""
    net = StreamNet.draw(rng)
    stream = net.doubled()
    sender, receiver = net.stream(stream)["from"], net.stream(stream)["to"][0]
    for end in (sender, receiver):
        switch = net.port_of(f"{end}/a")[0]
        cable = net.cable_of(f"{end}/b")
        net.used[switch] += 1
        net.tree["switches"][switch][str(net.used[switch])] = {"access": net.second}
        cable["from"] = f"{switch}/{net.used[switch]}"
    for ports in net.tree["switches"].values():
        for port in ports.values():
            if "tagged" in port:
                port["tagged"] = [net.audio, net.pictures, net.second]
    return net.draft(), f"copies-share-way:{stream}"


def separate_ways(rng: random.Random) -> Draft:
    """The second network has a switch more, or the trunks of the first carry its VLAN to nobody."""
    net = StreamNet.draw(rng)
    net.doubled()
    for ports in net.tree["switches"].values():
        for port in ports.values():
            if "tagged" in port:
                port["tagged"] = [net.audio, net.pictures, net.second]
    return net.draft()


def far_apart(rng: random.Random) -> tuple[Draft, str]:
    """A lead of more than 150 us, 4.9 ns a metre, on one of the networks."""
    net = StreamNet.draw(rng)
    stream = net.doubled()
    receiver = rng.choice(net.stream(stream)["to"])
    net.cable_of(f"{receiver}/{rng.choice('ab')}").update(
        kind="single-mode strand", length=f"{rng.randrange(33000, 80000)} m"
    )
    return net.draft(), f"copies-far-apart:{stream}:{receiver}"


def near_enough(rng: random.Random) -> Draft:
    """A long lead within class D's 150 us, the switches of the first network counted; or longer, in class A."""
    net = StreamNet.draw(rng)
    receiver = rng.choice(net.stream(net.doubled())["to"])
    length_m, kind = rng.randrange(1000, 15000), "gateway-2"
    if rng.random() < 0.5:
        length_m, kind = rng.randrange(40000, 80000), "gateway-a"
    for name in net.gateways:
        net.tree["devices"][name]["kind"] = kind
    net.cable_of(f"{receiver}/b").update(kind="single-mode strand", length=f"{length_m} m")
    return net.draft()


VARIANTS: dict[str, tuple[Fault, Harmless]] = {
    "port-overloaded": (overloaded, just_within),
    "slow-port-flooded": (flooded, asked_for),
    "querier-without-snooping": (not_snooping, floods_on_purpose),
    "group-shared": (same_group, neighbouring_groups),
    "group-not-usable": (unusable_group, usable_group),
    "group-outside-range": (outside, inside),
    "packet-too-large": (large_packet, packet_that_fits),
    "marking-clash": (marked_wrong, marked_right),
    "copy-missing": (one_copy, both_copies),
    "copies-share-way": (shared_way, separate_ways),
    "copies-far-apart": (far_apart, near_enough),
}
MODULES = {module.RULE.name: module for module in network.MODULES}


def test_the_plan_itself_is_clean() -> None:
    for run in range(20):
        proof = StreamNet.draw(random.Random(f"clean {run}")).draft().prove()
        left = [finding.id for finding in proof.findings if finding.severity > Severity.NOTE]
        assert not left, (run, left)


@pytest.mark.parametrize("rule", VARIANTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], VARIANTS[rule][0])


@pytest.mark.parametrize("rule", VARIANTS)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], VARIANTS[rule][1])
