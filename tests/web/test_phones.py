"""The line check of the medium show by three real browsers whose links are really taken down: every tick once, one view.

Each phone stands in a network namespace of its own. Links go down for 3, 15 and 60 s; a page is reloaded and one browser is
killed while it has no link. In the end every tick is in the record exactly once and all phones show the same.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import BrowserContext, Page, sync_playwright

from support.serving import SOURCE, show_copy
from web.phones import TRUCK_ADDRESS, Phone, Yard, why_not, yard

pytestmark = [
    pytest.mark.lab,
    pytest.mark.skipif(bool(why_not()), reason=why_not() or "none"),
    pytest.mark.timeout(420),
]
PORT = 8077
DOWN_S = (3, 15, 60)
SETTLE_S = 20


@pytest.fixture
def truck(tmp_path: Path) -> Iterator[tuple[Yard, dict[str, str]]]:
    folder = show_copy(tmp_path, "medium")
    with yard(3, tmp_path) as found:
        words = [
            sys.executable,
            "-m",
            "tailboard.cli.main",
            "serve",
            str(folder),
            "--json",
            "--bind",
            TRUCK_ADDRESS,
            "--port",
            str(PORT),
        ]
        server = subprocess.Popen(
            found.command(*words), stdout=subprocess.PIPE, env={**os.environ, "PYTHONPATH": str(SOURCE)}
        )
        try:
            assert server.stdout is not None
            text = b""
            while not text.rstrip().endswith(b"}"):
                line = server.stdout.readline()
                assert line, "the server ended before it began"
                text += line
            yield found, json.loads(text)
        finally:
            server.send_signal(signal.SIGTERM)
            server.wait(20)
            if server.stdout is not None:
                server.stdout.close()


def begin(phone: Phone, context: BrowserContext, join: str, who: str, *, first: bool = True) -> Page:
    """Open the line check on a phone; the first time by the code that is scanned."""
    page = context.pages[0] if context.pages else context.new_page()
    address = join.replace("/#", "/check#") if first else f"http://{TRUCK_ADDRESS}:{PORT}/check"
    page.goto(address)
    page.wait_for_selector(".check-row", timeout=30_000)
    if first:
        page.fill("#who", who)
        page.dispatch_event("#who", "change")
    assert phone.name
    return page


def choose(page: Page, place: str) -> None:
    if not page.is_visible("#place"):
        page.click("#me summary")
    page.select_option("#place", place)
    page.wait_for_timeout(200)


def tick(page: Page, count: int, already: set[str]) -> list[str]:
    """Pass the next rows of the place that is chosen; returns the lines."""
    done = []
    for row in page.query_selector_all(".check-row"):
        line = row.get_attribute("data-line") or ""
        if line in already or not row.is_visible():
            continue
        if row.get_attribute("data-now") is None:
            row.query_selector("h2 button").click()  # type: ignore[union-attr]
        button = row.query_selector("button[data-verdict=pass]")
        assert button is not None
        button.click()
        already.add(line)
        done.append(line)
        if len(done) == count:
            break
    return done


def states(page: Page) -> dict[str, str]:
    return {
        row.get_attribute("data-line") or "": row.get_attribute("data-state") or ""
        for row in page.query_selector_all(".check-row")
    }


def record(yard_: Yard, folder: Path) -> list[dict[str, object]]:
    """Read the record from the truck itself."""
    asked = yard_.command(
        sys.executable,
        "-c",
        f"import urllib.request as u; print(u.urlopen('http://{TRUCK_ADDRESS}:{PORT}/api/record.json').read().decode())",
    )
    told = json.loads(subprocess.run(asked, check=True, capture_output=True, text=True, cwd=folder).stdout)
    found: list[dict[str, object]] = told["operations"]
    return found


def test_three_phones_lose_their_links_and_no_tick(truck: tuple[Yard, dict[str, str]], tmp_path: Path) -> None:
    found, told = truck  # long: one story in its order, whose steps share three browsers
    places = ("BP3", "BP4", "BP5")
    with sync_playwright() as play:
        contexts = [phone.browser(play) for phone in found.phones]
        pages = [
            begin(phone, context, told["join"], f"A2 {phone.number}")
            for phone, context in zip(found.phones, contexts, strict=True)
        ]
        ticked: list[set[str]] = [set(), set(), set()]
        for page, place, done in zip(pages, places, ticked, strict=True):
            choose(page, place)
            tick(page, 3, done)
        downs = list(zip(found.phones, DOWN_S, strict=True))
        for phone, _ in downs:
            phone.link(up=False)
        begun = time.monotonic()
        for page, done in zip(pages, ticked, strict=True):
            tick(page, 4, done)  # without a link
        killed = contexts[1]
        killed.browser.close() if killed.browser else killed.close()  # one browser goes while it has no link
        for phone, down_s in downs:
            time.sleep(max(0.0, down_s - (time.monotonic() - begun)))
            phone.link(up=True)
        contexts[1] = found.phones[1].browser(play)
        pages[1] = begin(found.phones[1], contexts[1], told["join"], "A2 1", first=False)
        pages[0].reload()
        pages[0].wait_for_selector(".check-row", timeout=30_000)
        for page, place, done in zip(pages, places, ticked, strict=True):
            choose(page, place)
            tick(page, 2, done)
        wanted = {line for done in ticked for line in done}
        end = time.monotonic() + SETTLE_S
        kept: list[dict[str, object]] = []
        while time.monotonic() < end:
            kept = record(found, tmp_path)
            if {str(one["subject"]).removeprefix("line ") for one in kept} >= wanted:
                break
            time.sleep(0.5)
        subjects = [str(one["subject"]).removeprefix("line ") for one in kept]
        assert sorted(subjects) == sorted(wanted), (len(subjects), len(wanted))
        assert len({one["id"] for one in kept}) == len(kept)
        for place, done in zip(places, ticked, strict=True):
            for page in pages:
                choose(page, place)
                page.wait_for_function(
                    "lines => lines.every(l => document.querySelector(`.check-row[data-line='${l}']`)?.dataset.state === 'pass')",
                    arg=sorted(done),
                    timeout=15_000,
                )
        views = []
        for page in pages:
            seen: dict[str, str] = {}
            for place in places:
                choose(page, place)
                seen |= states(page)
            views.append(seen)
        assert views[0] == views[1] == views[2]
        for context in contexts:
            context.close()


def test_nothing_of_this_test_stays_behind() -> None:
    assert httpx.__name__
    left = subprocess.run(["ip", "netns"], check=True, capture_output=True, text=True).stdout
    assert f"-{os.getpid()}" not in left
