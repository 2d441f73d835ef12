"""Random shows of clocks: a tree of switches, clocks of two domains on them, some trunks without the VLAN."""

from __future__ import annotations

import random

from support.draft import Draft

ROLES = ("follower only", "", "")


def clock_show(rng: random.Random, *, clocks: int = 6, ties: bool = False) -> Draft:
    """Return a show with that many clocks; with `ties`, priorities are often equal and hardware addresses often missing."""
    switches = [f"SW-{number}" for number in range(1, rng.randint(2, 4))]
    free = {switch: iter(range(1, 17)) for switch in switches}
    devices = [
        f"  {switch}: {{kind: switch-16-copper-4-sfp, address: {{AUDIO: 10.0.20.{n + 1}}}}}"
        for n, switch in enumerate(switches)
    ]
    cables = []
    for number, switch in enumerate(switches[1:], 1):
        other = rng.choice(switches[:number])
        carried = "AUDIO" if rng.random() < 0.8 else "OTHER"
        ends = f"from: {other}/{next(free[other])}, to: {switch}/{next(free[switch])}"
        cables.append(f"  T-{number}: {{kind: cat solid, length: 20 m, {ends}, carries: [{carried}], native: PARK}}")
    for number in range(1, clocks + 1):
        switch = rng.choice(switches)
        devices.append(
            f"  CL-{number}: {{kind: recorder-32, address: {{AUDIO: 10.0.20.{number + 100}}}{clock_of(rng, number, ties)}}}"
        )
        cables.append(
            f"  C-{number}: {{kind: cat solid, length: 5 m, from: {switch}/{next(free[switch])}, to: CL-{number}/audio}}"
        )
    vlans = "vlans:\n  AUDIO: {id: 20, subnet: 10.0.20.0/24, multicast: yes}\n  OTHER: {id: 30}\n  PARK: {id: 999}"
    text = "\n".join([vlans, "devices:", *devices, "cables:", *cables])
    return Draft({"show.yaml": text + "\n"})


def clock_of(rng: random.Random, number: int, ties: bool) -> str:
    """Return the hardware address and the clock settings of one device."""
    role = rng.choice(ROLES)
    first = rng.choice([100, 128]) if ties else 50 + rng.randrange(100)
    keys = [f"domain: {rng.randrange(2)}", f"role: {role}" if role else f"priority1: {first}"]
    if rng.random() < 0.3:
        keys.append(f"priority2: {rng.choice([127, 128])}")
    mac = "" if ties and rng.random() < 0.5 else f", MAC: 02:00:00:00:{rng.randrange(256):02x}:{number:02x}"
    return f"{mac}, clock: {{{', '.join(keys)}, rate: 48 kHz}}"


def clean_clock_show(rng: random.Random) -> Draft:
    """Return a show of 4 to 8 clocks on one switch, one the leader, one the second, that exchange streams at one rate."""
    names = rng.sample(
        [f"{letter}{other}-{n}" for letter in "ABCDEFG" for other in "KLMN" for n in range(1, 10)], rng.randint(4, 8)
    )
    first = rng.randint(10, 90)
    roles = [f"priority1: {first}, role: leader", f"priority1: {first + rng.randint(1, 20)}, role: second"]
    roles += [rng.choice(["role: follower only", f"priority1: {200 + n}"]) for n in range(len(names) - 2)]
    vlan = rng.choice(["AUDIO", "SOUND", "PROGRAMME"])
    devices = [f"  SW-1: {{kind: switch-16-copper-4-sfp, address: {{{vlan}: 10.0.20.1}}}}"]
    cables, streams = [], []
    for number, (name, role) in enumerate(zip(names, roles, strict=True), 1):
        clock = f"clock: {{domain: 0, {role}, rate: 48 kHz}}"
        devices.append(
            f"  {name}: {{kind: console-96, ports: {{audio: {vlan}}}, address: {{{vlan}: 10.0.20.{number + 100}}}, {clock}}}"
        )
        cables.append(f"  C-{number}: {{kind: cat solid, length: 5 m, from: SW-1/{number}, to: {name}/audio}}")
    for number, sender in enumerate(names):
        receivers = ", ".join(
            f"{name}: {8 * number + 1}..{8 * number + 8}" for name in rng.sample([n for n in names if n != sender], 2)
        )
        streams.append(f"  ST-{number + 1}: {{from: {sender}, packet time: 1 ms, rate: 48 kHz, to: {{{receivers}}}}}")
    ports = f"switches:\n  SW-1: {{1..{len(names)}: {{access: {vlan}}}}}"
    vlans = f"vlans:\n  {vlan}: {{id: 20, subnet: 10.0.20.0/24, multicast: yes}}"
    sections = ["devices:", *devices, "cables:", *cables, "streams:", *streams]
    return Draft({"show.yaml": "\n".join([vlans, ports, *sections]) + "\n"})
