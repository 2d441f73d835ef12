"""Six real software switches in network namespaces of their own: Open vSwitch, joined by veth cables, with probes at every edge.

Built once; a network of up to six switches in a tree is then only a matter of setting ports. Everything that is not used is
shut. Needs root, iproute2 and the Debian package openvswitch-switch. Every daemon is a child of the test and is ended by its
own process id; the namespaces bear the test's process id, so that no other run is touched.
"""

from __future__ import annotations

import contextlib
import ctypes
import json
import os
import re
import shutil
import signal
import socket
import struct
import subprocess
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations
from pathlib import Path
from typing import Any

from answers.network_random import Case, Copy, Mode

SWITCHES = 6
EDGES = 4
NAMESPACE = "tailboard-lab"
SHUT = ["vlan_mode=trunk", "tag=[]", "trunks=4095"]  # VLAN 4095 is reserved, so such a port passes nothing
UNREGISTERED_TYPE = 0x88B5  # EtherType for local experiments, IEEE 802 (from memory)
TPID = 0x8100
ETH_P_ALL = 3
# Linux: include/uapi/linux/if_packet.h, sched.h, prctl.h; include/uapi/asm-generic/socket.h
SOL_PACKET, PACKET_AUXDATA, PACKET_IGNORE_OUTGOING, TP_STATUS_VLAN_VALID, CLONE_NEWNET = 263, 8, 23, 1 << 4, 0x40000000
SO_RCVBUFFORCE, PR_SET_PDEATHSIG = 33, 1
EARS_BYTES = 64 << 20  # a burst that floods every edge makes a thousand copies
QUIET_ROUNDS, QUIET_S = (
    12,
    0.004,
)  # measured: with one round frames were missed in 8 of 100 networks, with six in none of 1000
BURST = 64  # frames sent before the switches are awaited, so that no receive buffer overflows
TOOLS = ("ip", "ovs-vsctl", "ovsdb-tool", "ovsdb-server", "ovs-vswitchd")
SCHEMA = Path("/usr/share/openvswitch/vswitch.ovsschema")

_libc = ctypes.CDLL(None, use_errno=True)


def why_not() -> str:
    """Return why the switches cannot be built here; empty where they can."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        return "the lab needs root (network namespaces)"
    missing = [tool for tool in TOOLS if shutil.which(tool) is None]
    if missing or not SCHEMA.exists():
        return "the lab needs the Debian packages iproute2 and openvswitch-switch"
    return ""


def run(*words: str, text: str = "") -> str:
    """Run a program; raises CalledProcessError with its own words if it fails."""
    return subprocess.run(words, input=text, capture_output=True, text=True, check=True).stdout


def die_with_parent() -> None:
    """Ask the kernel to end this process when the test ends, however it ends."""
    _libc.prctl(PR_SET_PDEATHSIG, signal.SIGTERM)


@contextlib.contextmanager
def inside(namespace: str) -> Iterator[None]:
    """Be in a network namespace; a socket opened there stays in it."""
    with open("/proc/self/ns/net", "rb") as own, open(f"/run/netns/{namespace}", "rb") as other:  # noqa: PTH123  descriptors
        enter(other.fileno())
        try:
            yield
        finally:
            enter(own.fileno())


def enter(descriptor: int) -> None:
    """Move this thread to a network namespace."""
    if _libc.setns(descriptor, CLONE_NEWNET):
        raise OSError(ctypes.get_errno(), "setns")


@dataclass
class Fabric:
    """The switches as they run.

    control  socket of the switch daemon; senders  edge port: its probe; ears  the one socket that hears all probes.
    """

    folder: Path
    switches_ns: str
    hosts_ns: str
    daemons: list[subprocess.Popen[bytes]] = field(default_factory=list)
    control: socket.socket = field(default_factory=socket.socket)
    ears: socket.socket = field(default_factory=socket.socket)
    senders: dict[str, socket.socket] = field(default_factory=dict)
    sent: int = 0

    def close(self) -> None:
        """End the daemons, each by its own process id, and delete the namespaces."""
        for open_socket in (self.control, self.ears, *self.senders.values()):
            open_socket.close()
        for daemon in reversed(self.daemons):
            daemon.terminate()
            try:
                daemon.wait(timeout=10)
            except subprocess.TimeoutExpired:
                daemon.kill()
                daemon.wait()
        for namespace in (self.switches_ns, self.hosts_ns):
            subprocess.run(["ip", "netns", "delete", namespace], capture_output=True, check=False)
        shutil.rmtree(self.folder, ignore_errors=True)

    def vsctl(self, *words: str) -> None:
        """Change the settings of the switches, and wait until they are in force."""
        run("ovs-vsctl", f"--db=unix:{self.folder / 'db.sock'}", "--timeout=10", *words)

    def ask(self, method: str, *words: str) -> Any:
        """Ask the switch daemon; the answer means that it went round its main loop once, polling every port."""
        self.control.sendall(json.dumps({"method": method, "params": list(words), "id": 1}).encode())
        text = b""
        while True:
            text += self.control.recv(65536)
            with contextlib.suppress(json.JSONDecodeError):
                return json.loads(text)["result"]

    def configure(self, case: Case) -> None:
        """Set every port as the network wants it, shut all others, and forget what was learned."""
        wanted = {device_port(case, port): mode for port, mode in case.modes.items()}
        words: list[str] = []
        for port in all_ports():
            columns = ovs_columns(wanted[port]) if port in wanted else SHUT
            words += ["--", "set", "port", port, *columns]
        self.vsctl(*words[1:])
        for switch in range(SWITCHES):
            self.ask("fdb/flush", f"sw{switch}")
        self.ask("revalidator/purge")

    def delivered(self, case: Case, frames: list[Copy]) -> list[Counter[Copy]]:
        """Return what comes out where, for each frame sent in at (edge port, tag); tag 0 is a priority tag."""
        names = {device_port(case, port): port for port in case.edges}
        out: list[Counter[Copy]] = [Counter() for _ in frames]
        for begin in range(0, len(frames), BURST):
            first = self.sent + 1
            burst = frames[begin : begin + BURST]
            for port, tag in burst:
                self.sent += 1
                self.senders[device_port(case, port)].send(frame_bytes(self.sent, tag))
            for number, port, tag in self.heard():
                assert first <= number <= self.sent, "a frame of an earlier burst came late"
                out[begin + number - first][names[port], tag] += 1
        return out

    def heard(self) -> Iterator[tuple[int, str, int | None]]:
        """Yield (number of the frame, edge port, tag) until the switches have nothing more to say."""
        quiet, since_s = 0, time.monotonic()
        while quiet < QUIET_ROUNDS or time.monotonic() - since_s < QUIET_S:
            self.ask("version")
            quiet += 1
            while (copy := self.received()) is not None:
                if copy[0]:
                    yield copy
                quiet, since_s = 0, time.monotonic()

    def received(self) -> tuple[int, str, int | None] | None:
        """Return the next frame at a probe, its number 0 if it is none of ours; None where there is none."""
        try:
            text, notes, _, address = self.ears.recvmsg(2048, 256, socket.MSG_DONTWAIT)
        except BlockingIOError:
            return None
        tag = None
        for level, kind, note in notes:
            if level == SOL_PACKET and kind == PACKET_AUXDATA:
                status, _, _, _, _, tci, _ = struct.unpack("=IIIHHHH", note[:20])
                tag = tci & 0xFFF if status & TP_STATUS_VLAN_VALID else None
        ours = struct.unpack_from("!H", text, 12)[0] == UNREGISTERED_TYPE
        return (struct.unpack_from("!I", text, 14)[0] if ours else 0), "e" + address[0].removeprefix("h"), tag


def frame_bytes(number: int, tag: int | None) -> bytes:
    """Return a broadcast with a sender's address and a number of its own."""
    head = b"\xff" * 6 + b"\x02\x00" + struct.pack("!I", number)
    vlan = b"" if tag is None else struct.pack("!HH", TPID, tag)
    return (head + vlan + struct.pack("!HI", UNREGISTERED_TYPE, number)).ljust(64, b"\0")


def all_ports() -> list[str]:
    """Return every port of the switches: edges `e0_1`, and both ends of a cable between each two switches, `c0_1` and `c1_0`."""
    edges = [f"e{switch}_{number}" for switch in range(SWITCHES) for number in range(1, EDGES + 1)]
    return edges + [f"c{one}_{other}" for pair in combinations(range(SWITCHES), 2) for one, other in (pair, pair[::-1])]


def device_port(case: Case, port: str) -> str:
    """Return the port of the switches that stands for one of the network: `S0/1` is e0_1, an end of S0 - S3 is c0_3."""
    switch, _, name = port.partition("/")
    if port in case.edges:
        return f"e{switch.removeprefix('S')}_{name}"
    (far,) = [pair[1 - side] for pair in case.cables for side in (0, 1) if pair[side] == port]
    return f"c{switch.removeprefix('S')}_{far.partition('/')[0].removeprefix('S')}"


def ovs_columns(mode: Mode) -> list[str]:
    """Return the columns of Open vSwitch that set a port so: all three each time, for one left over changes the mode.

    From ovs-vswitchd.conf.db(5): access drops every tag; native-untagged also takes its own VLAN tagged; an empty list of
    trunks would mean all VLANs.
    """
    if mode.word == "shut":
        return SHUT
    if mode.word == "access" and mode.strict:
        return ["vlan_mode=access", f"tag={mode.untagged}", "trunks=[]"]
    if mode.untagged is not None:
        members = sorted(mode.tagged | {mode.untagged})
        return ["vlan_mode=native-untagged", f"tag={mode.untagged}", f"trunks={','.join(map(str, members))}"]
    return ["vlan_mode=trunk", "tag=[]", f"trunks={','.join(map(str, sorted(mode.tagged))) or 4095}"]


def sweep() -> None:
    """Delete what a killed run of this test left: namespaces and folders whose process is gone."""
    for name in re.findall(rf"{NAMESPACE}-\w+-\d+", run("ip", "netns", "list")):
        if not Path(f"/proc/{name.rpartition('-')[2]}").exists():
            run("ip", "netns", "delete", name)
    for folder in Path(tempfile.gettempdir()).glob(f"{NAMESPACE}-[0-9]*-*"):
        if not Path(f"/proc/{folder.name.removeprefix(f'{NAMESPACE}-').partition('-')[0]}").exists():
            shutil.rmtree(folder, ignore_errors=True)


@contextlib.contextmanager
def fabric() -> Iterator[Fabric]:
    """Build the switches, and take them away again."""
    sweep()
    own = os.getpid()
    folder = Path(tempfile.mkdtemp(prefix=f"{NAMESPACE}-{own}-"))
    built = Fabric(folder, f"{NAMESPACE}-switches-{own}", f"{NAMESPACE}-hosts-{own}")
    try:
        lay_cables(built)
        start_daemons(built)
        open_probes(built)
        yield built
    finally:
        built.close()


def lay_cables(built: Fabric) -> None:
    """Make the namespaces, a veth pair for each edge and one for each pair of switches."""
    lines: list[str] = []
    for namespace in (built.switches_ns, built.hosts_ns):
        run("ip", "netns", "add", namespace)
        for scope in ("all", "default"):  # no neighbour discovery of the kernel's own
            run("ip", "netns", "exec", namespace, "sysctl", "-qw", f"net.ipv6.conf.{scope}.disable_ipv6=1")
    for port in all_ports():
        if port.startswith("e"):
            lines.append(f"link add {port} type veth peer name h{port[1:]} netns {built.hosts_ns}")
        elif int(port[1]) < int(port[3]):
            lines.append(f"link add {port} type veth peer name c{port[3]}_{port[1]}")
    lines += [f"link set {port} up" for port in all_ports()]
    run("ip", "-n", built.switches_ns, "-batch", "-", text="\n".join(lines))
    hosts = [f"link set h{port[1:]} up" for port in all_ports() if port.startswith("e")]
    run("ip", "-n", built.hosts_ns, "-batch", "-", text="\n".join(hosts))


def start_daemons(built: Fabric) -> None:
    """Start the database and the switch daemon, and make the bridges with all ports shut."""
    folder = built.folder
    run("ovsdb-tool", "create", str(folder / "conf.db"), str(SCHEMA))
    start(
        built,
        "ovsdb-server",
        str(folder / "conf.db"),
        f"--remote=punix:{folder / 'db.sock'}",
        f"--unixctl={folder / 'db.ctl'}",
    )
    await_path(folder / "db.sock")
    built.vsctl("--no-wait", "init")
    start(built, "ovs-vswitchd", f"unix:{folder / 'db.sock'}", f"--unixctl={folder / 'switch.ctl'}")
    await_path(folder / "switch.ctl")
    words: list[str] = []
    for switch in range(SWITCHES):
        words += ["--", "add-br", f"sw{switch}", "--", "set", "bridge", f"sw{switch}", "datapath_type=netdev"]
    for port in all_ports():
        words += ["--", "add-port", f"sw{port[1]}", port, *SHUT]
    built.vsctl(*words[1:])


def start(built: Fabric, *words: str) -> None:
    """Start a daemon in the switches' namespace, in the foreground, so that its process id is known."""
    command = ["ip", "netns", "exec", built.switches_ns, *words, "-vconsole:off"]
    built.daemons.append(
        subprocess.Popen(command, cwd=built.folder, preexec_fn=die_with_parent)  # noqa: PLW1509  one thread runs here
    )


def await_path(path: Path) -> None:
    """Wait until a daemon has made its socket. Raises TimeoutError after 10 s."""
    until_s = time.monotonic() + 10
    while not path.exists():
        if time.monotonic() > until_s:
            raise TimeoutError(f"{path} was not made")
        time.sleep(0.005)


def open_probes(built: Fabric) -> None:
    """Open a socket to send at each edge, one that hears all of them, and the control socket."""
    built.control.close()
    built.ears.close()
    built.control = socket.socket(socket.AF_UNIX)
    built.control.connect(str(built.folder / "switch.ctl"))
    with inside(built.hosts_ns):
        for port in all_ports():
            if port.startswith("e"):
                built.senders[port] = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, 0)
                built.senders[port].bind((f"h{port[1:]}", 0))
        built.ears = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(ETH_P_ALL))
    built.ears.setsockopt(socket.SOL_SOCKET, SO_RCVBUFFORCE, EARS_BYTES)
    built.ears.setsockopt(SOL_PACKET, PACKET_AUXDATA, 1)
    built.ears.setsockopt(SOL_PACKET, PACKET_IGNORE_OUTGOING, 1)
