"""The plan while it is served: what changes on disk is seen, what cannot be read leaves the last good state on screen."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from support.serving import show_copy
from tailboard.text.folder import Folder
from tailboard.web import live as live_module
from tailboard.web.access import Buckets
from tailboard.web.addresses import bind_fault, hosts_of, interfaces, listed, moved_words
from tailboard.web.live import Live


def write(path: Path, text: str) -> None:
    """Write a file so that its time or its size differs whatever the clock of the disk."""
    path.write_text(text + "\n" * write.count, encoding="utf-8")  # type: ignore[attr-defined]
    write.count += 1  # type: ignore[attr-defined]


write.count = 1  # type: ignore[attr-defined]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return show_copy(tmp_path)


def watched(folder: Path) -> Live:
    return Live(folder, Folder(folder))


def test_nothing_new_is_nothing_new(folder: Path) -> None:
    live = watched(folder)
    said: list[int] = []
    live.changed = lambda: said.append(1)
    assert not live.look()
    assert said == []
    (folder / "log").mkdir()
    (folder / "log" / "record.sqlite").write_bytes(b"x")
    assert not live.look(), "the tool's own record is no change of the plan"


def test_a_change_gives_a_new_state(folder: Path) -> None:
    live = watched(folder)
    write(folder / "lines.csv", (folder / "lines.csv").read_text(encoding="utf-8").replace("PNO L", "PIANO"))
    assert live.look(walk=False)
    assert live.shown.number == 2
    assert live.shown.model.lines["1"].label == "PIANO"


def test_a_new_file_is_found(folder: Path) -> None:
    live = watched(folder)
    write(folder / "found" / "more.yaml", "read: {by: A2}")
    assert live.look()


@pytest.mark.parametrize("broken", ["vlans: [", "a: b: c", "\t- x", "\udcff"])
def test_a_broken_file_keeps_the_last_good_state(folder: Path, broken: str) -> None:
    live = watched(folder)
    before = live.shown
    path = folder / "rig.yaml"
    good = path.read_bytes()
    path.write_bytes(good + b"\n" + broken.encode("utf-8", "surrogateescape") + b"\n")
    assert live.look()
    assert live.shown.check is before.check
    assert "rig.yaml" in live.shown.fault
    path.write_bytes(good)
    assert live.look()
    assert live.shown.fault == ""
    assert live.shown.number == 3


def test_a_folder_that_goes_away_keeps_the_last_good_state(folder: Path) -> None:
    live = watched(folder)
    shutil.rmtree(folder)
    assert live.look()
    assert "no show" in live.shown.fault
    assert live.shown.model.lines


def test_a_fault_of_the_program_is_said_and_does_not_end_watching(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    live = watched(folder)
    with monkeypatch.context() as broken:
        broken.setattr(live_module, "prove", lambda *_: 1 / 0)
        write(folder / "lines.csv", (folder / "lines.csv").read_text(encoding="utf-8"))
        assert live.look()
        assert "fault of tailboard (ZeroDivisionError)" in live.shown.fault
    write(folder / "lines.csv", (folder / "lines.csv").read_text(encoding="utf-8"))
    assert live.look()
    assert live.shown.fault == ""


def test_addresses_are_read_as_the_system_prints_them() -> None:
    """The form of `ip -j -4 address` of iproute2 6.1, cut to what is used."""
    told: list[dict[str, object]] = [
        {"ifname": "lo", "addr_info": [{"local": "127.0.0.1", "prefixlen": 8}]},
        {"ifname": "eth1", "addr_info": [{"local": "10.41.10.5", "prefixlen": 24}]},
        {"ifname": "wlan0", "addr_info": []},
    ]
    assert [(one.name, one.address, one.network) for one in listed(told)] == [("eth1", "10.41.10.5", "10.41.10.0/24")]
    assert all(not one.address.startswith("127.") for one in interfaces())


def test_only_the_chosen_address_is_answered_to() -> None:
    assert hosts_of("10.41.10.5", 8321) == {"10.41.10.5:8321"}
    assert hosts_of("127.0.0.1", 8321) == {"127.0.0.1:8321", "localhost:8321"}
    assert hosts_of("::1", 8321) == {"[::1]:8321", "127.0.0.1:8321", "localhost:8321"}
    assert "choose one address" in bind_fault("::")
    assert bind_fault("10.41.10.5") == ""
    assert moved_words(("10.41.10.5", 8321), "10.41.10.5", 8321) == ""
    assert "10.41.10.5:8321" in moved_words(("10.41.10.5", 8321), "10.41.10.6", 8321)


def test_a_bucket_fills_at_its_rate_and_remembers_only_so_many() -> None:
    now = [0.0]
    bucket = Buckets(2.0, 3, lambda: now[0])
    assert [bucket.take("a") for _ in range(4)] == [True, True, True, False]
    now[0] += 1.0
    assert [bucket.take("a") for _ in range(3)] == [True, True, False]
    for number in range(12_000):
        bucket.take(f"address {number}")
    assert len(bucket._levels) <= 10_000
