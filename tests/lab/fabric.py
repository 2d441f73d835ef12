"""Real software switches in network namespaces of their own: Open vSwitch, joined by veth cables, with probes at every edge.

Built once; a network of so many switches in a tree is then only a matter of setting ports. Everything that is not used is
shut. Needs root, iproute2 and the Debian package openvswitch-switch. Every daemon is a child of the test, is ended by its
own process id, and ends by itself after a while; the namespaces bear the test's process id, so that no other run is touched.
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
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations, count
from pathlib import Path
from typing import Any

from answers.network_random import Copy, Mode

SWITCHES, EDGES = 6, 4  # as most random networks need; the shows need more edges
LIFE_S = 300  # the daemons end by themselves after this, whatever becomes of the test
ANSWER_S = 10  # longest wait for a daemon's answer
NAMESPACE = "tailboard-lab"
NOTHING: tuple[str, list[int]] = ("set", [])  # an empty column, RFC 7047
SHUT = {"vlan_mode": "trunk", "tag": NOTHING, "trunks": 4095}  # VLAN 4095 is reserved, so such a port passes nothing
UNREGISTERED_TYPE = 0x88B5  # EtherType for local experiments, IEEE 802 (from memory)
TPID = 0x8100
UDP, AUDIO_PORT = 17, (5004).to_bytes(2, "big")  # RFC 3551: RTP audio and video
ETH_P_ALL = 3
# Linux: include/uapi/linux/if_packet.h, sched.h, prctl.h; include/uapi/asm-generic/socket.h
SOL_PACKET, PACKET_AUXDATA, PACKET_IGNORE_OUTGOING, TP_STATUS_VLAN_VALID, CLONE_NEWNET = 263, 8, 23, 1 << 4, 0x40000000
SO_RCVBUFFORCE, PR_SET_PDEATHSIG = 33, 1
EARS_BYTES = 64 << 20  # a burst that floods every edge makes a thousand copies
QUIET_ROUNDS, QUIET_S = (
    12,
    0.004,
)  # measured: with one round frames were missed in 8 of 100 networks, with six in none of 1000
PATIENT_S = 0.3  # own choice: a hundred times as long
BURST = 64  # frames sent before the switches are awaited, so that no receive buffer overflows
TOOLS = ("ip", "timeout", "ovs-vsctl", "ovsdb-tool", "ovsdb-server", "ovs-vswitchd")
SCHEMA = Path("/usr/share/openvswitch/vswitch.ovsschema")

SERIAL = count()
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
class Rpc:
    """A JSON-RPC connection to a daemon (RFC 7047; JSON-RPC 1.0)."""

    wire: socket.socket
    text: str = ""
    number: int = 0

    @classmethod
    def to(cls, path: Path) -> Rpc:
        """Return a connection; a daemon that does not answer in time makes the test fail."""
        wire = socket.socket(socket.AF_UNIX)
        wire.settimeout(ANSWER_S)
        wire.connect(str(path))
        return cls(wire)

    def call(self, method: str, *params: Any) -> Any:
        """Return the answer to a call. Raises RuntimeError with the daemon's own words if it refuses."""
        self.number += 1
        self.send({"method": method, "params": params, "id": self.number})
        while (message := self.message()).get("id") != self.number or "method" in message:
            if message.get("method") == "echo":
                self.send({"id": message["id"], "result": message["params"], "error": None})
        if message["error"]:
            raise RuntimeError(f"{method}: {message['error']}")
        return message["result"]

    def send(self, message: dict[str, Any]) -> None:
        """Send a message."""
        self.wire.sendall(json.dumps(message).encode())

    def message(self) -> Any:
        """Return the next message."""
        while True:
            with contextlib.suppress(json.JSONDecodeError):
                found, end = json.JSONDecoder().raw_decode(self.text)
                self.text = self.text[end:].lstrip()
                return found
            more = self.wire.recv(1 << 16)
            if not more:
                raise RuntimeError("the daemon has gone")
            self.text += more.decode()


@dataclass
class Fabric:
    """The switches as they run.

    control  the switch daemon; database  its settings; senders  edge port: its probe; ears  the one socket that hears all
    probes. Edge port 3 of switch 0 is `e0_3`; the end at switch 0 of its cable to switch 2 is `c0_2`.
    """

    folder: Path
    switches_ns: str
    hosts_ns: str
    switches: int
    edges: int
    daemons: list[subprocess.Popen[bytes]] = field(default_factory=list)
    control: Rpc = field(default_factory=lambda: Rpc(socket.socket()))
    database: Rpc = field(default_factory=lambda: Rpc(socket.socket()))
    ears: socket.socket = field(default_factory=socket.socket)
    senders: dict[str, socket.socket] = field(default_factory=dict)
    sent: int = 0
    quiet_s: float = QUIET_S

    @property
    def edge_ports(self) -> list[str]:
        """Every port with a probe."""
        return [f"e{switch}_{number}" for switch in range(self.switches) for number in range(1, self.edges + 1)]

    @property
    def ports(self) -> list[str]:
        """Every port: the edges, and both ends of a cable between each two switches."""
        pairs = combinations(range(self.switches), 2)
        return self.edge_ports + [f"c{one}_{other}" for pair in pairs for one, other in (pair, pair[::-1])]

    def close(self) -> None:
        """End the daemons, each by its own process id, and delete the namespaces."""
        for open_socket in (self.control.wire, self.database.wire, self.ears, *self.senders.values()):
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
        """Change the switches, and wait until the change is in force."""
        run("ovs-vsctl", f"--db=unix:{self.folder / 'db.sock'}", "--timeout=10", *words)

    def configure(self, modes: Mapping[str, Mode]) -> None:
        """Set these ports so, shut all others, wait until it is in force, and forget what was learned."""
        rows = [
            {"op": "update", "table": "Port", "where": [["name", "==", port]], "row": columns}
            for port in self.ports
            for columns in [ovs_columns(modes[port]) if port in modes else SHUT]
        ]
        count = {"op": "mutate", "table": "Open_vSwitch", "where": [], "mutations": [["next_cfg", "+=", 1]]}
        asked = {"op": "select", "table": "Open_vSwitch", "where": [], "columns": ["next_cfg"]}
        wanted = self.transact(*rows, count, asked)[-1]["rows"][0]["next_cfg"]
        self.transact({
            "op": "wait", "table": "Open_vSwitch", "where": [], "columns": ["cur_cfg"], "until": "==",
            "rows": [{"cur_cfg": wanted}], "timeout": 1000 * ANSWER_S,
        })  # fmt: skip
        for switch in range(self.switches):
            self.control.call("fdb/flush", f"sw{switch}")
        self.control.call("revalidator/purge")

    def transact(self, *operations: dict[str, Any]) -> Any:
        """Return the results of operations on the database. Raises RuntimeError where one fails."""
        results = self.database.call("transact", "Open_vSwitch", *operations)
        if failed := [result for result in results if result and "error" in result]:
            raise RuntimeError(f"the switches refused: {failed}")
        return results

    def delivered(
        self, frames: Iterable[Copy], make: Callable[[int, int | None], bytes] | None = None
    ) -> list[Counter[Copy]]:
        """Return what comes out where, for each frame sent in at (edge port, tag); tag 0 is a priority tag.

        make  a frame from its number and tag; a broadcast where nothing is said.
        """
        make = make or frame_bytes
        todo = list(frames)
        out: list[Counter[Copy]] = [Counter() for _ in todo]
        for begin in range(0, len(todo), BURST):
            first = self.sent + 1
            for port, tag in todo[begin : begin + BURST]:
                self.sent += 1
                self.senders[port].send(make(self.sent, tag))
            for number, port, tag in self.heard():
                if number >= first:  # one that comes too late is missed where it belongs, and sent again
                    out[begin + number - first][port, tag] += 1
        return out

    def again(self, frame: Copy) -> Counter[Copy]:
        """Send one frame again and wait long; on a busy machine a copy may come after all others were awaited."""
        self.quiet_s = PATIENT_S
        (copies,) = self.delivered([frame])
        self.quiet_s = QUIET_S
        return copies

    def heard(self) -> Iterator[tuple[int, str, int | None]]:
        """Yield (number of the frame, edge port, tag) until the switches have nothing more to say."""
        quiet, since_s = 0, time.monotonic()
        while quiet < QUIET_ROUNDS or time.monotonic() - since_s < self.quiet_s:
            self.control.call("version")
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
        return number_of(text), "e" + address[0].removeprefix("h"), tag


def frame_bytes(number: int, tag: int | None) -> bytes:
    """Return a broadcast with a sender's address and a number of its own."""
    head = b"\xff" * 6 + b"\x02\x00" + struct.pack("!I", number)
    vlan = b"" if tag is None else struct.pack("!HH", TPID, tag)
    return (head + vlan + struct.pack("!HI", UNREGISTERED_TYPE, number)).ljust(64, b"\0")


def number_of(text: bytes) -> int:
    """Return the number of one of our frames, and 0 of any other."""
    if struct.unpack_from("!H", text, 12)[0] == UNREGISTERED_TYPE:
        return int(struct.unpack_from("!I", text, 14)[0])
    is_audio = len(text) >= 46 and text[12:14] == b"\x08\x00" and text[23] == UDP and text[36:38] == AUDIO_PORT
    return int(struct.unpack_from("!I", text, 42)[0]) if is_audio else 0


def ovs_columns(mode: Mode) -> dict[str, Any]:
    """Return the columns of Open vSwitch that set a port so: all three each time, for one left over changes the mode.

    From ovs-vswitchd.conf.db(5): access drops every tag; native-untagged also takes its own VLAN tagged; an empty list of
    trunks would mean all VLANs.
    """
    if mode.word == "shut":
        return SHUT
    if mode.word == "access" and mode.strict:
        return {"vlan_mode": "access", "tag": mode.untagged, "trunks": NOTHING}
    if mode.untagged is not None:
        members = sorted(mode.tagged | {mode.untagged})
        return {"vlan_mode": "native-untagged", "tag": mode.untagged, "trunks": ("set", members)}
    return {"vlan_mode": "trunk", "tag": NOTHING, "trunks": ("set", sorted(mode.tagged) or [4095])}


def sweep() -> None:
    """Delete what a killed run of this test left: namespaces and folders whose process is gone."""
    for name in re.findall(rf"{NAMESPACE}-\w+-\d+", run("ip", "netns", "list")):
        if not Path(f"/proc/{name.rpartition('-')[2]}").exists():
            run("ip", "netns", "delete", name)
    for folder in Path(tempfile.gettempdir()).glob(f"{NAMESPACE}-[0-9]*-*"):
        if not Path(f"/proc/{folder.name.removeprefix(f'{NAMESPACE}-').partition('-')[0]}").exists():
            shutil.rmtree(folder, ignore_errors=True)


@contextlib.contextmanager
def fabric(switches: int = SWITCHES, edges: int = EDGES, *, own_time: bool = False) -> Iterator[Fabric]:
    """Build so many switches with so many edge ports each, and take them away again, also when the test is told to end.

    own_time  the switches' clock can be set forward, for what takes minutes.
    """
    sweep()
    own, serial = os.getpid(), next(SERIAL)
    folder = Path(tempfile.mkdtemp(prefix=f"{NAMESPACE}-{own}-"))
    built = Fabric(folder, f"{NAMESPACE}-switches{serial}-{own}", f"{NAMESPACE}-hosts{serial}-{own}", switches, edges)
    before = signal.signal(signal.SIGTERM, lambda *_: sys.exit(128 + signal.SIGTERM))
    try:
        lay_cables(built)
        start_daemons(built, own_time=own_time)
        open_probes(built)
        yield built
    finally:
        built.close()
        signal.signal(signal.SIGTERM, before)


def lay_cables(built: Fabric) -> None:
    """Make the namespaces, a veth pair for each edge and one for each pair of switches."""
    lines: list[str] = []
    for namespace in (built.switches_ns, built.hosts_ns):
        run("ip", "netns", "add", namespace)
        for scope in ("all", "default"):  # no neighbour discovery of the kernel's own
            run("ip", "netns", "exec", namespace, "sysctl", "-qw", f"net.ipv6.conf.{scope}.disable_ipv6=1")
    for port in built.ports:
        if port.startswith("e"):
            lines.append(f"link add {port} type veth peer name h{port[1:]} netns {built.hosts_ns}")
        elif int(port[1]) < int(port[3]):
            lines.append(f"link add {port} type veth peer name c{port[3]}_{port[1]}")
    lines += [f"link set {port} up" for port in built.ports]
    run("ip", "-n", built.switches_ns, "-batch", "-", text="\n".join(lines))
    hosts = [f"link set h{port[1:]} up" for port in built.edge_ports]
    run("ip", "-n", built.hosts_ns, "-batch", "-", text="\n".join(hosts))


def start_daemons(built: Fabric, *, own_time: bool) -> None:
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
    start(
        built,
        "ovs-vswitchd",
        f"unix:{folder / 'db.sock'}",
        f"--unixctl={folder / 'switch.ctl'}",
        *["--enable-dummy"] * own_time,
    )
    await_path(folder / "switch.ctl")
    words: list[str] = []
    for switch in range(built.switches):
        words += ["--", "add-br", f"sw{switch}", "--", "set", "bridge", f"sw{switch}", "datapath_type=netdev"]
    for port in built.ports:
        words += ["--", "add-port", f"sw{port[1]}", port, "vlan_mode=trunk", "trunks=4095"]
    built.vsctl(*words[1:])


def start(built: Fabric, *words: str) -> None:
    """Start a daemon in the switches' namespace, in the foreground, so that its process id is known."""
    command = ["ip", "netns", "exec", built.switches_ns, "timeout", str(LIFE_S), *words, "-vconsole:off"]
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
    built.control.wire.close()
    built.database.wire.close()
    built.ears.close()
    built.control = Rpc.to(built.folder / "switch.ctl")
    built.database = Rpc.to(built.folder / "db.sock")
    with inside(built.hosts_ns):
        for port in built.edge_ports:
            built.senders[port] = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, 0)
            built.senders[port].bind((f"h{port[1:]}", 0))
        built.ears = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(ETH_P_ALL))
    built.ears.setsockopt(socket.SOL_SOCKET, SO_RCVBUFFORCE, EARS_BYTES)
    built.ears.setsockopt(SOL_PACKET, PACKET_AUXDATA, 1)
    built.ears.setsockopt(SOL_PACKET, PACKET_IGNORE_OUTGOING, 1)
