"""Real clocks at the edges of the fabric: ptp4l of linuxptp, each asked over its own Unix socket what it does.

Management messages of IEEE 1588-2008 clause 15 and linuxptp's numbers for states and data sets (fsm.h, tlv.h).
"""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import socket
import struct
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

from lab.fabric import Fabric, die_with_parent, run

PORT_DATA_SET, PARENT_DATA_SET = 0x2004, 0x2002
STATES = {4: "LISTENING", 6: "MASTER", 7: "PASSIVE", 8: "UNCALIBRATED", 9: "SLAVE", 10: "GRAND_MASTER"}
FOLLOWING = {"UNCALIBRATED", "SLAVE"}  # a clock that does not steer the computer's stays uncalibrated
LIFE_S = 60  # a clock ends by itself after this
ANNOUNCE_LOG = -4  # 16 announcements a second, so that an election takes a third of a second; the default is one in two
ANNOUNCE_TIMEOUT = 3


def why_no_clocks() -> str:
    """Return why no clock can be run here; empty where it can."""
    return "" if shutil.which("ptp4l") else "the elections need the Debian package linuxptp"


@dataclass(frozen=True)
class Settings:
    """What a clock announces of itself, in the numbers of the standard; `edge` is the fabric's port it is at."""

    edge: str
    domain: int
    priority1: int
    clock_class: int
    accuracy: int
    variance: int
    priority2: int
    follower_only: bool = False

    @property
    def mac(self) -> str:
        """The hardware address of the probe's side of the edge port, from its name."""
        switch, number = self.edge[1:].split("_")
        return f"02:00:00:00:{int(switch):02x}:{int(number):02x}"

    def text(self, path: Path) -> str:
        """Return the clock's settings as its program reads them."""
        values = {
            "uds_address": path, "domainNumber": self.domain, "priority1": self.priority1,
            "clockClass": self.clock_class, "clockAccuracy": hex(self.accuracy),
            "offsetScaledLogVariance": hex(self.variance), "priority2": self.priority2,
            "slaveOnly": int(self.follower_only), "logAnnounceInterval": ANNOUNCE_LOG,
            "announceReceiptTimeout": ANNOUNCE_TIMEOUT, "logSyncInterval": ANNOUNCE_LOG, "tx_timestamp_timeout": 200,
            "fault_reset_interval": -128, "free_running": 1,
        }  # fmt: skip
        return "[global]\n" + "".join(f"{name} {value}\n" for name, value in values.items())


@dataclass(frozen=True)
class Told:
    """What a clock says of itself: the state of its port, and the identity of the grandmaster it names."""

    state: str
    grandmaster: bytes


class RealClock:
    """One ptp4l at an edge port."""

    def __init__(self, built: Fabric, settings: Settings) -> None:
        """Start the clock."""
        self.settings = settings
        self.path = built.folder / f"{settings.edge}.ptp"
        self.client = built.folder / f"{settings.edge}.ask"
        interface = f"h{settings.edge[1:]}"
        run("ip", "-n", built.hosts_ns, "link", "set", interface, "address", settings.mac)
        config = built.folder / f"{settings.edge}.cfg"
        config.write_text(settings.text(self.path), encoding="utf-8")
        words = ["ip", "netns", "exec", built.hosts_ns, "timeout", str(LIFE_S), "ptp4l", "-f", str(config)]
        self.process = subprocess.Popen(
            [*words, "-S", "-2", "-i", interface, "-q"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            preexec_fn=die_with_parent,  # noqa: PLW1509  one thread runs here
        )  # fmt: skip

    def told(self) -> Told | None:
        """Return what it says; None while it does not answer."""
        state, parent = self.data(PORT_DATA_SET), self.data(PARENT_DATA_SET)
        if state is None or parent is None:
            return None
        return Told(STATES.get(state[10], "other"), parent[24:32])

    def data(self, number: int) -> bytes | None:
        """Return a data set, or None where no answer comes in time."""
        head = struct.pack(
            "!BBHBBHqI10sHBb", 0xD, 2, 54, self.settings.domain, 0, 0, 0, 0, b"\1" * 10, number & 0xFF, 4, 0x7F
        )
        body = struct.pack("!10sBBBBHHH", b"\xff" * 10, 1, 1, 0, 0, 1, 2, number)
        self.client.unlink(missing_ok=True)
        with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as own:
            own.settimeout(0.5)
            own.bind(str(self.client))
            try:
                own.sendto(head + body, str(self.path))
                while True:
                    answer = own.recv(2048)
                    if len(answer) > 54 and struct.unpack_from("!H", answer, 52)[0] == number:
                        return answer[54:]
            except (FileNotFoundError, ConnectionRefusedError, TimeoutError):
                return None

    def kill(self) -> None:
        """End it at once, as a pulled plug does."""
        own = self.process.pid
        children = Path(f"/proc/{own}/task/{own}/children")
        for child in children.read_text(encoding="ascii").split() if children.exists() else ():
            with contextlib.suppress(ProcessLookupError):
                os.kill(int(child), signal.SIGKILL)
        self.process.kill()
        self.process.wait()


def settled(clocks: list[RealClock], steady_s: float, limit_s: float) -> dict[str, Told]:
    """Return what the clocks say, by edge port, once nothing has changed for a while. Raises TimeoutError."""
    end_s = time.monotonic() + limit_s
    last: dict[str, Told | None] = {}
    since_s = time.monotonic()
    while time.monotonic() < end_s:
        now = {item.settings.edge: item.told() for item in clocks}
        if now != last:
            last, since_s = now, time.monotonic()
        elif time.monotonic() - since_s > steady_s and None not in now.values():
            return {edge: told for edge, told in now.items() if told is not None}
        time.sleep(0.02)
    raise TimeoutError(f"the clocks did not settle: {last}")
