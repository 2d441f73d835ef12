"""The load that the answer computes against a real L24 stream: GStreamer sends, and the frames on the trunk are counted.

The pace is taken from the time stamps in the packets, not from a stopwatch, so a busy machine does not change it. A
captured frame lacks check sum, preamble and gap; these 24 bytes are added to it (RFC 2544 appendix B, IEEE 802.3).
"""

from __future__ import annotations

import json
import shutil
import socket
import struct
import subprocess
import time
from collections.abc import Iterator
from itertools import pairwise

import pytest

from answers.network_random import Mode
from lab.fabric import Fabric, die_with_parent, fabric, run, why_not
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.flows import flows
from tailboard.answers.load import loads

pytestmark = pytest.mark.lab
GROUP = "239.69.1.1"
PORT, UDP = 5004, 17
PACKETS, LIMIT_S = 2000, 10.0
NOT_CAPTURED_BYTES = 24
SHOW = """
format: 1
kinds:
  sw: {role: switch, ports: {1: {medium: network, way: both, rate: 1 G}, t: {medium: network, way: both, rate: 1 G}}}
  box: {role: box, ports: {net: {medium: network, way: both, rate: 1 G}, 1..8: {medium: analogue, way: in}}}
  desk: {role: console, ports: {net: {medium: network, way: both, rate: 1 G}}}
vlans:
  AUDIO: {id: 10, multicast: yes, subnet: 10.0.10.0/24, snooping: yes, querier: {S0: 10.0.10.250}}
devices:
  S0: {kind: sw}
  S1: {kind: sw}
  SB: {kind: box, address: {AUDIO: 10.0.10.1}}
  CON: {kind: desk, address: {AUDIO: 10.0.10.2}}
switches:
  S0: {1: {access: AUDIO}, t: {tagged: AUDIO}}
  S1: {1: {access: AUDIO}, t: {tagged: AUDIO}}
cables:
  T: {kind: cat solid, length: 5 m, from: S0/t, to: S1/t}
  L0: {kind: cat solid, length: 5 m, from: S0/1, to: SB/net}
  L1: {kind: cat solid, length: 5 m, from: S1/1, to: CON/net}
streams:
  ST: {from: SB, channels: 1..%d, to: CON, group: 239.69.1.1, packet time: %s, rate: 48 kHz, vlan: AUDIO}
"""


@pytest.fixture(scope="module")
def switches() -> Iterator[Fabric]:
    reason = why_not() or ("" if shutil.which("gst-launch-1.0") else "the stream needs the packages gstreamer1.0-*")
    if reason:
        pytest.skip(reason)
    with fabric(2, 1) as built:
        built.configure({"e0_1": Mode("access", 10), "e1_1": Mode("access", 10),
                         "c0_1": Mode("trunk", None, frozenset({10})), "c1_0": Mode("trunk", None, frozenset({10}))})  # fmt: skip
        run("ip", "-n", built.hosts_ns, "address", "add", "10.0.10.1/24", "dev", "h0_1")
        yield built


def counted(built: Fabric, port: str) -> tuple[int, int]:
    """Return the frames and bytes that a port has received."""
    (link,) = json.loads(run("ip", "-n", built.switches_ns, "-s", "-j", "link", "show", port))
    return link["stats64"]["rx"]["packets"], link["stats64"]["rx"]["bytes"]


def time_stamps(built: Fabric, count: int) -> list[int]:
    """Return the RTP time stamps of packets in the order in which they reach the other edge."""
    stamps: list[int] = []
    end_s = time.monotonic() + LIMIT_S
    while len(stamps) < count:
        assert time.monotonic() < end_s, f"only {len(stamps)} packets came"
        try:
            packet = built.ears.recv(2048, socket.MSG_DONTWAIT)
        except BlockingIOError:
            time.sleep(0.005)
            continue
        if packet[23] == UDP and struct.unpack_from("!H", packet, 36)[0] == PORT:
            stamps.append(struct.unpack_from("!I", packet, 46)[0])
    return stamps


@pytest.mark.parametrize(("channels", "packet_time", "samples"), [(8, "1 ms", 48), (2, "1 ms", 48), (8, "0.125 ms", 6)])
def test_the_trunk_carries_what_the_load_says(switches: Fabric, channels: int, packet_time: str, samples: int) -> None:
    reading = Draft({"show.yaml": SHOW % (channels, packet_time)}).read()
    assert not reading.findings, reading.findings
    ask = Ask(reading.model)
    load = loads(ask)["S0/t"]
    (flow,) = ask(flows).at["S0/t"]
    time_ns = round(samples / 48e3 * 1e9)
    pipe = (
        f"audiotestsrc is-live=true samplesperbuffer={samples} ! audio/x-raw,format=S24BE,rate=48000,channels={channels},"
        f"layout=interleaved,channel-mask=(bitmask)0x0 ! rtpL24pay min-ptime={time_ns} max-ptime={time_ns} ! "
        f"udpsink host={GROUP} port={PORT} auto-multicast=false multicast-iface=h0_1 ttl-mc=32"
    )
    command = ["ip", "netns", "exec", switches.hosts_ns, "timeout", "20", "gst-launch-1.0", "-q", *pipe.split()]
    before = counted(switches, "c1_0")
    player = subprocess.Popen(command, preexec_fn=die_with_parent)  # noqa: PLW1509  one thread runs here
    try:
        stamps = time_stamps(switches, PACKETS)
    finally:
        player.terminate()
        player.wait(timeout=10)
    while switches.received() is not None:
        pass  # what was on its way
    frames, octets = (after - first for after, first in zip(counted(switches, "c1_0"), before, strict=True))
    assert {(later - one) % 2**32 for one, later in pairwise(stamps)} == {samples}, (
        "a packet was lost, or is of another size"
    )
    audio_time_s = (stamps[-1] - stamps[0]) % 2**32 / 48e3
    on_wire_bytes = (octets + NOT_CAPTURED_BYTES * frames) / frames
    assert on_wire_bytes == flow.frame_bytes
    assert 8 * on_wire_bytes * (len(stamps) - 1) / audio_time_s == pytest.approx(load.rate_bit_per_s)
