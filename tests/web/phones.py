"""Phones on the truck's network: real browsers in network namespaces of their own, whose links can really be taken down.

Needs root, iproute2, Chromium and its driver. Namespaces bear the test's process id; every process is a child of the test.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import BrowserContext, Playwright

CHROMIUM = "/usr/bin/chromium"
TRUCK_ADDRESS = "10.77.0.1"
TOOLS = ("ip", "timeout")
LIFE_S = 240  # every program in a namespace ends by itself after this
SIZE = {"width": 390, "height": 820}


def why_not() -> str:
    """Return why phones cannot be made here; empty where they can."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        return "phones need root (network namespaces)"
    if any(shutil.which(tool) is None for tool in TOOLS) or not Path(CHROMIUM).exists():
        return "phones need the Debian packages iproute2 and chromium"
    return ""


def ip(*words: str) -> None:
    """Run ip; raises CalledProcessError."""
    subprocess.run(["ip", *words], check=True, capture_output=True)


@dataclass(frozen=True)
class Phone:
    """One phone. `home` keeps what its browser keeps when it is killed."""

    number: int
    name: str
    truck: str
    home: Path

    def link(self, *, up: bool) -> None:
        """Take its link down, or put it up again."""
        ip("-n", self.truck, "link", "set", f"p{self.number}", "up" if up else "down")

    def browser(self, play: Playwright) -> BrowserContext:
        """Start its browser; what it kept before is there again."""
        program = self.home.with_suffix(".sh")
        program.write_text(f'#!/bin/sh\nexec timeout {LIFE_S} ip netns exec {self.name} {CHROMIUM} "$@"\n')
        program.chmod(program.stat().st_mode | stat.S_IXUSR)
        return play.chromium.launch_persistent_context(
            str(self.home), executable_path=str(program), viewport=SIZE, args=["--no-sandbox", "--disable-gpu"],  # type: ignore[arg-type]
            has_touch=True, is_mobile=True,
        )  # fmt: skip


@dataclass(frozen=True)
class Yard:
    """The truck and its phones."""

    truck: str
    phones: tuple[Phone, ...]

    def command(self, *words: str) -> list[str]:
        """Return a command that runs in the truck, and not for ever."""
        return ["timeout", str(LIFE_S), "ip", "netns", "exec", self.truck, *words]


@contextlib.contextmanager
def yard(count: int, folder: Path) -> Iterator[Yard]:
    """Build the truck's network with some phones on it, and take it away again."""
    truck = f"tailboard-truck-{os.getpid()}"
    phones = tuple(
        Phone(number, f"tailboard-phone{number}-{os.getpid()}", truck, folder / f"phone{number}")
        for number in range(count)
    )
    try:
        ip("netns", "add", truck)
        ip("-n", truck, "link", "set", "lo", "up")
        ip("-n", truck, "link", "add", "air", "type", "bridge")
        ip("-n", truck, "address", "add", f"{TRUCK_ADDRESS}/24", "dev", "air")
        ip("-n", truck, "link", "set", "air", "up")
        for phone in phones:
            ip("netns", "add", phone.name)
            ip("-n", phone.name, "link", "set", "lo", "up")
            ip(
                "-n",
                truck,
                "link",
                "add",
                f"p{phone.number}",
                "type",
                "veth",
                "peer",
                "name",
                "wlan",
                "netns",
                phone.name,
            )
            ip("-n", truck, "link", "set", f"p{phone.number}", "master", "air")
            ip("-n", truck, "link", "set", f"p{phone.number}", "up")
            ip("-n", phone.name, "address", "add", f"10.77.0.{11 + phone.number}/24", "dev", "wlan")
            ip("-n", phone.name, "link", "set", "wlan", "up")
        yield Yard(truck, phones)
    finally:
        for name in (truck, *(phone.name for phone in phones)):
            subprocess.run(["ip", "netns", "delete", name], check=False, capture_output=True)
