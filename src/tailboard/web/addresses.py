"""The addresses that this machine has, so that one can be chosen; and those that a show was served at before."""

from __future__ import annotations

import ipaddress
import json
import shutil
import socket
import subprocess
from dataclasses import dataclass
from pathlib import Path

LOOPBACK = "127.0.0.1"
PORT = 8321  # where nothing else is asked for; registered for nothing common, from memory
FILE = "address.json"
ASK_S = 3.0  # the system's own list of addresses takes a few milliseconds


@dataclass(frozen=True, slots=True)
class Interface:
    """One address of this machine."""

    name: str
    address: str
    network: str


def interfaces() -> list[Interface]:
    """Return the IPv4 addresses of this machine that others can reach."""
    program = shutil.which("ip")
    if program is not None:
        try:
            done = subprocess.run(  # noqa: S603  our own words
                [program, "-j", "-4", "address"],
                capture_output=True,
                check=True,
                timeout=ASK_S,
                stdin=subprocess.DEVNULL,
            )
            return listed(json.loads(done.stdout))
        except (OSError, ValueError, KeyError, TypeError, subprocess.SubprocessError):
            pass
    try:
        found = socket.gethostbyname_ex(socket.gethostname())[2]
    except OSError:
        found = []
    return [Interface("", address, "") for address in found if not ipaddress.ip_address(address).is_loopback]


def listed(told: list[dict[str, object]]) -> list[Interface]:
    """Return the addresses in what `ip -j address` prints. Raises KeyError, TypeError, ValueError."""
    found = []
    for link in told:
        for entry in link["addr_info"]:  # type: ignore[attr-defined]  # JSON; a wrong shape raises and is caught
            one = ipaddress.ip_interface(f"{entry['local']}/{entry['prefixlen']}")
            if not one.ip.is_loopback:
                found.append(Interface(str(link["ifname"]), str(one.ip), str(one.network)))
    return found


def bind_fault(address: str) -> str:
    """Return why an address cannot be served at; empty where it can be tried."""
    try:
        one = ipaddress.ip_address(address)
    except ValueError:
        return f"'{address}' is no address"
    if one.is_unspecified:
        return f"{address} would open the plan to every network this machine is in, the house's too; choose one address"
    return ""


def last_address(folder: Path) -> tuple[str, int] | None:
    """Return address and port that a show was served at before."""
    try:
        told = json.loads((folder / FILE).read_text(encoding="utf-8"))
        address, port = str(ipaddress.ip_address(told["address"])), int(told["port"])
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return (address, port) if 0 < port < 65536 else None


def keep_address(folder: Path, address: str, port: int) -> None:
    """Write down where a show is served. Raises OSError."""
    new = folder / f".{FILE}.new"
    new.write_text(json.dumps({"address": address, "port": port}), encoding="utf-8")
    new.replace(folder / FILE)


def moved_words(before: tuple[str, int] | None, address: str, port: int) -> str:
    """Return the warning that a show moved; empty where it did not."""
    if before is None or before == (address, port):
        return ""
    return (
        f"This show was served at {before[0]}:{before[1]} before. Phones that joined there do not find it here: they must scan"
        f" again, and ticks that wait on them stay on their old page until it is served at that address again, or until"
        f" they are typed in from their text."
    )


def shown_host(address: str) -> str:
    """Return an address as it stands in a URL."""
    return f"[{address}]" if ":" in address else address


def hosts_of(address: str, port: int) -> frozenset[str]:
    """Return the values of Host that belong to an address and port."""
    names = {shown_host(address)}
    if ipaddress.ip_address(address).is_loopback:
        names |= {LOOPBACK, "localhost"}
    return frozenset(f"{name}:{port}" for name in names) | (frozenset(names) if port == 80 else frozenset())
