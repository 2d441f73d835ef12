"""The outbox of the pages, run outside a browser: what is shown as ticked is kept, sent again, and sent once."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

OUTBOX = Path(__file__).parents[2] / "src" / "tailboard" / "web" / "static" / "outbox.js"
pytestmark = pytest.mark.skipif(
    shutil.which("node") is None, reason="the page's own code needs node to run outside a browser"
)

YARD = """
require(%s);
class Store {  // as a browser's own, with room for some characters
  constructor(room) { this.kept = new Map(); this.room = room; }
  get length() { return this.kept.size; }
  key(at) { return [...this.kept.keys()][at]; }
  getItem(key) { return this.kept.has(key) ? this.kept.get(key) : null; }
  setItem(key, value) { if (value.length > this.room) throw new Error("no room"); this.kept.set(key, value); }
  removeItem(key) { this.kept.delete(key); }
}
let at = 0, waits = [], server = new Map(), mode = "up", calls = 0;
const send = async (path, body) => {
  calls += 1;
  if (mode === "down") throw new Error("no link");
  if (mode === "busy") return { status: 507, told: { detail: "the disk is full" } };
  const refused = body.operations.filter((one) => one.verdict === "wrong").map((one) => ({ id: one.device + "-" + one.count, why: "no such verdict" }));
  const kept = body.operations.filter((one) => one.verdict !== "wrong");
  kept.forEach((one) => server.set(one.device + "-" + one.count, one));
  if (mode === "lost answer") throw new Error("the answer was lost");
  return { status: 200, told: { acknowledged: kept.map((one) => one.device + "-" + one.count), refused } };
};
const open = (store) => Outbox({ store, send, now: () => ++at, changed: () => {}, random: (numbers) => numbers.forEach((_, i) => { numbers[i] = (i * 7 + 3 + store.salt) %% 256; }),
  wait: (f, ms) => { const one = { f, ms, gone: false }; waits.push(one); return { stop: () => { one.gone = true; } }; } });
const run = async () => { const now = waits.filter((one) => !one.gone); waits = []; for (const one of now) await one.f(); return now.map((one) => one.ms); };
const tick = (box, subject, verdict) => box.add({ sort: "tick", subject, verdict });
const store = new Store(10000); store.salt = 0;
(async () => { const out = []; %s; process.stdout.write(JSON.stringify(out)); })().catch((fault) => { console.error(fault); process.exit(1); });
"""


def ran(script: str) -> list[Any]:
    program = YARD % (json.dumps(str(OUTBOX)), script)
    done = subprocess.run(["node", "-e", program], capture_output=True, text=True, timeout=20, check=False)
    assert done.returncode == 0, done.stderr
    found: list[Any] = json.loads(done.stdout)
    return found


def test_what_is_ticked_is_sent_and_forgotten_when_acknowledged() -> None:
    assert ran(
        "const box = open(store); box.call('Ann'); const one = tick(box, 'line 7', 'pass'); out.push(box.waiting().length);"
        "await run(); out.push(box.waiting().length, [...server.values()][0].by, one.count, box.state().link)"
    ) == [1, 0, "Ann", 1, "up"]


def test_without_a_link_it_waits_longer_each_time_and_loses_nothing() -> None:
    pauses = ran(
        "const box = open(store); mode = 'down'; tick(box, 'line 7', 'pass'); for (let n = 0; n < 8; n++) out.push(...await run());"
        "mode = 'up'; await run(); out.push(box.waiting().length, server.size)"
    )
    assert pauses == [0, 500, 1000, 2000, 4000, 8000, 8000, 8000, 0, 1]


def test_a_lost_answer_is_asked_for_again_with_the_same_id() -> None:
    assert ran(
        "const box = open(store); mode = 'lost answer'; tick(box, 'line 7', 'pass'); await run(); out.push(box.waiting().length);"
        "mode = 'up'; await run(); out.push(box.waiting().length, server.size, calls)"
    ) == [1, 0, 1, 2]


def test_a_page_killed_and_opened_again_goes_on_where_it_was() -> None:
    assert ran(
        "let box = open(store); mode = 'down'; tick(box, 'line 7', 'pass'); await run(); waits = [];"
        "box = open(store); out.push(box.waiting().length); const next = tick(box, 'line 8', 'pass'); out.push(next.count);"
        "mode = 'up'; await run(); out.push(box.waiting().length, [...server.keys()].length)"
    ) == [1, 2, 0, 2]


def test_a_refused_tick_is_shown_and_holds_up_no_other() -> None:
    assert ran(
        "const box = open(store); tick(box, 'line 7', 'wrong'); tick(box, 'line 8', 'pass'); await run(); await run();"
        "const left = box.waiting(); out.push(left.length, left[0].refused, server.size, waits.filter((one) => !one.gone).length);"
        "box.clear(left[0].device + '-' + left[0].count); out.push(box.waiting().length)"
    ) == [1, "no such verdict", 1, 0, 0]


def test_a_server_that_cannot_write_is_said() -> None:
    assert ran(
        "const box = open(store); mode = 'busy'; tick(box, 'line 7', 'pass'); await run(); out.push(box.state())"
    ) == [{"link": "refused", "why": "the disk is full", "waiting": 1}]


def test_a_browser_without_room_does_not_say_ticked() -> None:
    assert ran(
        "const full = new Store(60); full.salt = 0; const box = open(full); let said = 'ticked';"
        "try { tick(box, 'line 7', 'pass'); } catch { said = 'not kept'; } out.push(said, box.waiting().length)"
    ) == ["not kept", 0]


def test_two_phones_have_two_names() -> None:
    one, other = ran("const more = new Store(9999); more.salt = 5; out.push(open(store).device(), open(more).device())")
    assert one != other
    assert 8 <= len(one) <= 16


def test_many_that_wait_go_in_parts() -> None:
    assert ran(
        "const box = open(store); mode = 'down'; for (let n = 0; n < 120; n++) tick(box, 'line ' + n, 'pass'); await run(); mode = 'up'; calls = 0;"
        "for (let n = 0; n < 5; n++) await run(); out.push(calls, server.size, box.waiting().length)"
    ) == [3, 120, 0]
