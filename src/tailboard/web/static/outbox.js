// What waits to be sent: kept in the browser, sent until the server says that it is on its disk. No page of its own.
// Works without a secure context: plain http on the truck's network has neither randomUUID nor a service worker.
"use strict";
(function (root) {
  const KEY = "tailboard.outbox", SELF = "tailboard.page", WHO = "tailboard.who";
  const SIGNS = "abcdefghjkmnpqrstuvwxyz23456789";
  const FIRST_MS = 500, MOST_MS = 8000, AT_ONCE = 50, ANSWER_MS = 8000;

  function made(random, length) {
    const numbers = new Uint8Array(length);
    random(numbers);
    return Array.from(numbers, (one) => SIGNS[one % SIGNS.length]).join("");
  }

  // store: like localStorage; send(path, body): resolves to { status, told }; wait(f, ms): like setTimeout.
  function Outbox({ store, send, wait, random, now, changed }) {
    let timer = null, busy = false, pause = FIRST_MS, link = "unknown", why = "";
    const read = (key, other) => { try { const text = store.getItem(key); return text === null ? other : JSON.parse(text); } catch { return other; } };
    const write = (key, value) => store.setItem(key, JSON.stringify(value));   // throws when there is no room: then nothing counts as ticked
    const waiting = () => Object.keys(all()).map((id) => all()[id]).sort((a, b) => a.at_ms - b.at_ms || a.count - b.count);
    // One key an operation, so that two tabs of one phone do not overwrite one another's.
    function all() {
      const found = {};
      for (let at = 0; at < store.length; at++) {
        const key = store.key(at);
        if (key.startsWith(KEY + ".")) { const one = read(key, null); if (one && one.device) found[one.device + "-" + one.count] = one; }
      }
      return found;
    }
    function page() {
      const self = read(SELF, null);
      if (self && /^[a-z0-9]{8,16}$/.test(self.device)) return self;
      const fresh = { device: made(random, 10), count: 0 };
      write(SELF, fresh);
      return fresh;
    }
    // Returns the operation once it is kept by the browser. Throws when the browser has no room.
    function add(note) {
      const self = page();
      self.count += 1;
      write(SELF, self);
      const one = Object.assign({ value: "", words: "", replaces: [], by: who(), source: "page" }, note, { device: self.device, count: self.count, at_ms: now() });
      write(KEY + "." + one.device + "-" + one.count, one);
      pause = FIRST_MS;
      soon(0);
      changed();
      return one;
    }
    function soon(ms) { if (timer !== null && timer.stop) timer.stop(); timer = wait(flush, ms); }
    function drop(id) { store.removeItem(KEY + "." + id); }
    async function flush() {
      if (busy) return;
      const part = waiting().filter((one) => !one.refused).slice(0, AT_ONCE);
      if (!part.length) { changed(); return; }
      busy = true;
      try {
        const { status, told } = await send("/api/ops", { operations: part }, ANSWER_MS);
        if (status === 200) {
          told.acknowledged.forEach(drop);
          told.refused.forEach((one) => { const key = KEY + "." + one.id, kept = read(key, null); if (kept) write(key, Object.assign(kept, { refused: one.why })); });
          pause = FIRST_MS; link = "up"; why = "";
        } else {
          link = "refused"; why = (told && told.detail) || "the truck answers " + status;
        }
      } catch { link = "down"; why = ""; }
      busy = false;
      const left = waiting().filter((one) => !one.refused).length;
      if (left) { soon(link === "up" ? 0 : pause); if (link !== "up") pause = Math.min(pause * 2, MOST_MS); }
      changed();
    }
    function who() { return read(WHO, ""); }
    return {
      add, flush, waiting, who, device: () => page().device,
      call: (name) => { write(WHO, name); changed(); },
      now: () => { pause = FIRST_MS; soon(0); },
      state: () => ({ link, why, waiting: waiting().length }),
      clear: (id) => { drop(id); changed(); },
    };
  }

  // The same form as the server reads: see record/waitingtext.py.
  const TABLE = Array.from({ length: 256 }, (_, number) => { for (let bit = 0; bit < 8; bit++) number = number & 1 ? 0xedb88320 ^ (number >>> 1) : number >>> 1; return number >>> 0; });
  function utf8(text) { return Array.from(unescape(encodeURIComponent(text)), (sign) => sign.charCodeAt(0)); }
  function crc32(text) { let sum = 0xffffffff; for (const byte of utf8(text)) sum = TABLE[(sum ^ byte) & 255] ^ (sum >>> 8); return (sum ^ 0xffffffff) >>> 0; }
  const lineSum = (head, line) => (crc32(head + line) & 0xffff).toString(16).padStart(4, "0");
  const coded = (text) => Array.from(String(text).trim(), (sign) => /[A-Za-z0-9 !$&'()*+,\-./:;<=>?@[\]^_`{}~]/.test(sign) ? sign : encodeURIComponent(sign)).join("");
  function waitingText(operations) {
    let head = "", out = [];
    operations.forEach((one) => {
      const mine = "ticks 1 " + one.device + " " + encodeURIComponent(one.plan_version || "") + "/" + (one.plan_sum || "") + " " + coded(one.by);
      if (mine !== head) { head = mine; out.push(head + " #" + lineSum(head, "")); }
      const line = one.count + " " + one.sort + " " + [coded(one.subject), one.verdict, String(one.at_ms), coded(one.value), coded(one.words)].join("|");
      out.push(line + " #" + lineSum(head, line));
    });
    return out.length ? out.join("\n") + "\n" : "";
  }
  root.Outbox = Outbox;
  root.waitingText = waitingText;
})(typeof window === "undefined" ? globalThis : window);
