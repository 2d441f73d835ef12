"""Every page in a real browser, by day and by night: text that can be read, targets that a glove hits, nothing beside the screen.

Contrast: W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3: 4.5 to 1, and 3 to 1 for text of 24 px, or
of 18.66 px in bold; the ratio and the relative luminance as that recommendation defines them. Targets: 56 px on the line
check is the project's own figure, above the 44 px of success criterion 2.5.5.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from support.serving import opened, show_copy
from web.phones import CHROMIUM

PAGES = (
    "/", "/map", "/map?over=light", "/map?over=load", "/lines", "/lines/15", "/feeds", "/feeds/IFB4", "/things/SB-1",
    "/claims/listener-hears-forbidden:presenter%201", "/find?q=pres", "/check", "/check/comms", "/check/measured", "/record",
    "/book", "/lines/none-such",
)  # fmt: skip
CHECKS = ("/check", "/check/comms", "/check/measured")
TARGET_PX = 56
NORMAL, LARGE = 4.5, 3.0
TEXTS = """
() => {
  const found = [];
  const behind = (one) => {
    for (let at = one; at; at = at.parentElement) {
      const colour = getComputedStyle(at).backgroundColor;
      if (colour && !/, 0\\)$/.test(colour) && colour !== "transparent") return colour;
    }
    return getComputedStyle(document.documentElement).backgroundColor;
  };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, one = node.parentElement;
    if (!node.textContent.trim() || !one || one.closest("script, style, option, title, desc, noscript")) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if (!box.width || !box.height || !one.checkVisibility() || one.closest(".hidden, .skip")) continue;
    const style = getComputedStyle(one), drawn = one.closest("svg");
    found.push({ text: node.textContent.trim().slice(0, 40), colour: drawn ? style.fill : style.color, behind: behind(drawn ? drawn : one),
      px: parseFloat(style.fontSize), bold: Number(style.fontWeight) >= 600, on: drawn ? one.getAttribute("class") || "" : "" });
  }
  document.querySelectorAll("input[placeholder]").forEach((one) => {
    const style = getComputedStyle(one, "::placeholder");
    if (one.checkVisibility()) found.push({ text: one.placeholder.slice(0, 40), colour: style.color, behind: behind(one), px: parseFloat(style.fontSize), bold: false, on: "" });
  });
  return found;
}
"""
TARGETS = """
() => [...document.querySelectorAll("a, button, input, select, textarea, summary")].filter((one) => one.checkVisibility() && !one.closest(".skip"))
  .map((one) => {
    const held = one.type === "checkbox" ? one.closest("label") || one : one, box = held.getBoundingClientRect();
    return { words: one.tagName + " " + (one.id || one.textContent.trim().slice(0, 30)), width: box.width, height: box.height };
  }).filter((one) => one.width && one.height)
"""


def luminance(colour: str) -> float:
    """Return the relative luminance of `rgb(r, g, b)`."""
    parts = [int(float(part)) / 255 for part in colour[colour.index("(") + 1 : -1].split(",")[:3]]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    if not Path(CHROMIUM).exists():
        pytest.skip("needs the Debian package chromium")
    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        yield started
        started.close()


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with opened(show_copy(tmp_path_factory.mktemp("readable"), "medium")) as show:
        yield show.served.address.rstrip("/")


def visited(page: Page, address: str) -> None:
    page.goto(address)
    if "/check" in address:
        page.wait_for_selector(".check-row", timeout=20_000)


def unreadable(page: Page) -> list[dict[str, Any]]:
    """Return the texts of a page whose contrast is too small."""
    found = []
    for one in page.evaluate(TEXTS):
        if not one["colour"].startswith("rgb"):
            continue
        large = one["px"] >= 24 or (one["bold"] and one["px"] >= 18.66)
        ratio = contrast(one["colour"], one["behind"])
        if (
            ratio < (LARGE if large else NORMAL) and "paper" not in one["on"].split()
        ):  # text on a filled shape is turned round
            found.append({**one, "ratio": round(ratio, 2)})
    return found


@pytest.mark.parametrize("light", ["light", "dark"])
def test_every_text_can_be_read(browser: Browser, address: str, light: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, color_scheme=light)  # type: ignore[arg-type]
    page, seen = context.new_page(), 0
    for path in PAGES:
        visited(page, address + path)
        assert unreadable(page) == [], path
        seen += len(page.evaluate(TEXTS))
    context.close()
    assert seen > 500


def test_a_text_that_cannot_be_read_is_seen(browser: Browser) -> None:
    page = browser.new_page()
    page.set_content(
        "<body style='background:#fff'><p style='color:#999'>pale</p><p style='color:#222'>dark</p></body>"
    )
    assert [one["text"] for one in unreadable(page)] == ["pale"]
    page.close()


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_nothing_stands_beside_the_screen(browser: Browser, address: str, width: int) -> None:
    context = browser.new_context(viewport={"width": width, "height": 900})
    page = context.new_page()
    for path in PAGES:
        visited(page, address + path)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
    context.close()


@pytest.mark.parametrize("path", CHECKS)
def test_every_target_of_a_check_is_hit_with_gloves(browser: Browser, address: str, path: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = context.new_page()
    visited(page, address + path)
    for summary in page.query_selector_all("#checks > details > summary"):
        if summary.evaluate("one => !one.parentElement.open"):
            summary.click()
    found = page.evaluate(TARGETS)
    small = [one for one in found if one["height"] < TARGET_PX]
    assert small == []
    assert len(found) > 15
    context.close()


def test_one_row_is_open_and_the_next_comes_when_it_is_asked_for(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = context.new_page()
    visited(page, address + "/check")
    rows = page.locator(".check-row")
    assert rows.count() > 10
    assert page.locator(".check-row[data-now]").count() == 1
    first = page.locator(".check-row[data-now]").get_attribute("data-line")
    assert page.locator(".check-row:not([data-now]) button[data-verdict=pass]").first.is_hidden()
    page.locator(".check-row[data-now] button.next").click()
    second = page.locator(".check-row[data-now]").get_attribute("data-line")
    assert second not in {None, first}
    rows.nth(4).locator("h2 button").click()
    assert page.locator(".check-row[data-now]").get_attribute("data-line") == rows.nth(4).get_attribute("data-line")
    context.close()
