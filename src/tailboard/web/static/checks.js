// Line check, comms check and measured values: rows from the server, or as they were last seen; what is noted goes through
// the outbox. Rows stay where they are while states change, so that a tap never lands on another row.
"use strict";
(() => {
  const root = document.getElementById("checks"), get = (id) => document.getElementById(id);
  const sheet = root.dataset.sheet, SEEN = "tailboard.seen." + sheet;
  const SIGNS = { pass: "\u2713", fault: "\u2717", "not there": "\u25ad", later: "\u2026", heard: "\u2713", "not heard": "\u25ad" };
  const SHEETS = {
    "line-check": { sort: "tick", verdicts: ["pass", "fault", "not there", "later"],
      head: (row) => [[row.box, row.hole].filter(Boolean).join(" / "), row.label].filter(Boolean).join("  "),
      lines: (row) => [["line " + row.line, row.plug, row.cable && "cable " + row.cable, row.spare && "spare"].filter(Boolean).join(", "),
        row.phantom && "48 V " + (row.phantom === "off" ? "off" : "ON"), row.see && "A1 sees " + row.see] },
    "comms-check": { sort: "comms", verdicts: ["heard", "not heard", "later"], head: (row) => row.who,
      lines: (row) => [row.what, "it must be " + row.expected] },
    measured: { sort: "measured", verdicts: [], head: (row) => row.where, lines: (row) => ["expected: " + row.expected] },
  }[sheet];
  let view = null, built = "", current = "";
  const parts = new Map();
  try { view = JSON.parse(localStorage.getItem(SEEN)); } catch { view = null; }
  const box = Outbox({
    store: localStorage, send: Session.send, now: () => Date.now(), random: (numbers) => crypto.getRandomValues(numbers),
    wait: (f, ms) => { const timer = setTimeout(f, ms); return { stop: () => clearTimeout(timer) }; }, changed: () => show(),
  });

  function add(parent, tag, words, name) {
    const one = document.createElement(tag);
    if (words) one.textContent = words;
    if (name) one.className = name;
    parent.append(one);
    return one;
  }
  function button(parent, words, act) {
    const one = add(parent, "button", words);
    one.type = "button";
    one.addEventListener("click", act);
    return one;
  }
  const put = (one, words) => { if (one.textContent !== words) one.textContent = words; };
  const say = (words) => put(get("told"), words);

  function note(row, verdict, more) {
    if (!box.who()) { get("me").open = true; get("who").focus(); say("Say who you are first; nothing is noted yet."); return false; }
    const mine = box.waiting().filter((one) => one.subject === row.key && one.sort === SHEETS.sort).map((one) => one.device + "-" + one.count);
    const plan = get("from-paper").checked ? { source: "paper", plan_version: get("paper-version").value.trim() }
      : { row_sum: row.sum, plan_version: view.version, plan_sum: view.plan_sum };
    const told = { ...plan, ...more, sort: SHEETS.sort, subject: row.key, verdict, replaces: row.noted.notes.map((one) => one.id).concat(mine).slice(-20) };
    try { box.add(told); say(""); return true; } catch { /* no room: perhaps without the picture */ }
    try { if (told.photo) { box.add({ ...told, photo: "" }); say("This phone has no room for the picture; the words are kept."); return true; } } catch { /* none at all */ }
    say("This phone has no room left: this is NOT kept. Use the sheet in the lid.");
    return false;
  }
  function faultForm(row, parent) {
    const form = add(parent, "div", "", "fault-form");
    form.hidden = true;
    const words = add(add(form, "label", "What is wrong? "), "input"), file = add(add(form, "label", "Picture, if it helps "), "input");
    words.maxLength = 500;
    file.type = "file";
    file.accept = "image/*";
    file.setAttribute("capture", "environment");
    button(form, "Note the fault", async () => {
      let photo = "";
      if (file.files.length) { try { photo = await photoText(file.files[0]); } catch { say("The picture cannot be used; the words are kept."); } }
      if (note(row(), "fault", { words: words.value.trim().slice(0, 500), photo })) { form.hidden = true; words.value = ""; file.value = ""; }
    });
    return form;
  }
  function readForm(row, parent) {
    const label = add(parent, "label", "Reading in " + row().unit + " "), input = add(label, "input");
    input.maxLength = 40;
    input.inputMode = "text";
    input.placeholder = row().like;
    const soon = add(parent, "p", "", "soon");
    input.addEventListener("input", () => put(soon, atOnce(row(), input.value)));
    button(parent, "Note it", () => { if (input.value.trim() && note(row(), "read", { value: input.value.trim() })) { input.value = ""; put(soon, ""); } });
    button(parent, SIGNS.later + " later", () => note(row(), "later", {}));
  }
  // Without a link: a bare number against the window that came with the row. With one, the server's own words follow.
  function atOnce(row, text) {
    const number = /^[+-]?[0-9]+([.,][0-9]+)?$/.test(text.trim().replace("\u2212", "-")) ? Number(text.trim().replace("\u2212", "-").replace(",", ".")) : NaN;
    if (Number.isNaN(number) || (row.least === null && row.most === null)) return "";
    const size = row.what === "earth" ? Math.abs(number) : number;
    const within = (row.least === null || size >= row.least) && (row.most === null || size <= row.most);
    return within ? "within what is expected" : row.what === "earth" ? "NOT near zero: do not join; ask the electrician" : "NOT as expected: " + row.expected;
  }
  function build(rows) {
    const out = get("rows");
    out.textContent = "";
    parts.clear();
    rows.forEach((row) => {
      const one = add(out, "section", "", "check-row"), now = () => find(row.key);
      one.dataset.key = row.key;
      if (row.line) one.dataset.line = row.line;
      const head = button(add(one, "h2"), SHEETS.head(row), () => go(row.key));
      SHEETS.lines(row).filter(Boolean).forEach((words) => add(one, "p", words));
      (row.cautions || []).forEach((words) => add(one, "p", words, "caution"));
      const state = add(one, "p", "", "state"), told = add(one, "div", "", "judged"), act = add(one, "div", "", "act");
      state.setAttribute("role", "status");
      if (sheet === "measured") readForm(now, act);
      const form = sheet === "line-check" ? faultForm(now, one) : null;
      SHEETS.verdicts.forEach((verdict) => {
        button(act, SIGNS[verdict] + " " + verdict, () => {
          if (verdict === "fault") { form.hidden = !form.hidden; if (!form.hidden) form.querySelector("input").focus(); } else note(now(), verdict, {});
        }).dataset.verdict = verdict;
      });
      button(one, "next \u203a", () => go(after(row.key))).className = "next";
      parts.set(row.key, { one, state, told, head });
    });
    if (!parts.has(current)) current = after("");
    open();
  }
  // One row is open at a time; the others are a line each. It changes only when somebody says so: a second tap hits the same row.
  function open() {
    parts.forEach((part, key) => {
      part.one.toggleAttribute("data-now", key === current);
      part.head.setAttribute("aria-expanded", String(key === current));
    });
  }
  function go(key) {
    if (!parts.has(key)) return;
    current = key;
    open();
    parts.get(key).one.scrollIntoView({ block: "start" });
    parts.get(key).head.focus({ preventScroll: true });
  }
  function after(key) {
    const keys = [...parts.keys()], at = keys.indexOf(key), turned = [...keys.slice(at + 1), ...keys.slice(0, Math.max(at, 0))];
    const mine = new Set(box.waiting().filter((one) => one.sort === SHEETS.sort).map((one) => one.subject));
    return turned.find((one) => !mine.has(one) && find(one) && find(one).noted.state === "open") || turned[0] || key;
  }
  const find = (key) => view.places.flatMap((place) => place.rows).find((row) => row.key === key);
  function words(row, mine) {
    const own = mine[row.key];
    if (own) return { name: own.verdict, words: (SIGNS[own.verdict] || "") + " " + (own.value || own.verdict) + (own.words ? " (" + own.words + ")" : "") + (own.refused ? ", refused: " + own.refused : ", waiting on this phone") };
    const noted = row.noted, old = noted.notes.map((one) => one.stale).find(Boolean);
    return { name: old ? "stale" : noted.state, words: (noted.state === "conflict" ? "They differ: " : SIGNS[noted.state] ? SIGNS[noted.state] + " " : "") + noted.says + (old ? "; " + old : "") };
  }
  function show() {
    const now = box.state(), text = waitingText(box.waiting());
    put(get("waiting-count"), String(now.waiting));
    if (get("waiting-text").textContent !== text) {
      put(get("waiting-text"), text);
      get("waiting-code").hidden = !text || !qrDraw(get("waiting-code"), text);
    }
    put(get("link-state"), (now.waiting ? now.waiting + " waiting on this phone" : "everything is sent") +
      (now.link === "down" ? "; no link to the truck" : now.link === "refused" ? "; " + now.why : ""));
    if (!view) return;
    const place = get("place"), names = view.places.map((one) => [one.place, one.words].filter(Boolean).join(", ") || "no place");
    if ([...place.options].map((one) => one.textContent).join("\n") !== names.join("\n")) {
      const chosen = place.value || (localStorage.getItem("tailboard.place") || "");
      place.textContent = "";
      names.forEach((name, at) => { add(place, "option", name).value = view.places[at].place; });
      if (view.places.some((one) => one.place === chosen)) place.value = chosen;
    }
    const chosenPlace = place.selectedOptions[0];
    put(get("me-words"), box.who() ? box.who() + (chosenPlace ? " at " + chosenPlace.textContent : "") + " \u00b7 change" : "Who and where");
    put(get("minutes"), view.time ? view.time.says : view.rows + " rows, " + view.done + " done, " + view.wrong + " wrong, " + view.open + " open");
    const at = view.places.find((one) => one.place === place.value) || view.places[0], rows = at ? at.rows : [];
    const wanted = JSON.stringify([at && at.place, rows.map((row) => row.key + row.sum)]);
    if (wanted !== built) { built = wanted; build(rows); }
    const mine = {};
    box.waiting().forEach((one) => { if (one.sort === SHEETS.sort) mine[one.subject] = one; });
    rows.forEach((row) => {
      const part = parts.get(row.key), told = words(row, mine);
      part.one.dataset.state = told.name;
      put(part.state, told.words);
      const judged = Array.isArray(row.judged) ? row.judged.map((one) => one.value + ": " + one.mark + ", " + one.words) : row.judged ? [row.judged] : [];
      put(part.told, judged.join(". "));
    });
  }
  async function load() {
    try {
      const { status, told } = await Session.call("/api/" + sheet);
      if (status === 200) { view = told; try { localStorage.setItem(SEEN, JSON.stringify(told)); } catch { /* the ticks need the room */ } }
    } catch { /* the rows seen last stay */ }
    show();
  }
  get("who").value = box.who();
  get("me").open = !box.who();
  get("who").addEventListener("change", () => { box.call(get("who").value.trim()); show(); });
  get("place").addEventListener("change", () => {
    try { localStorage.setItem("tailboard.place", get("place").value); } catch { /* chosen again next time */ }
    current = "";
    show();
    if (box.who()) get("me").open = false;
  });
  get("typed-send").addEventListener("click", async () => {
    try {
      const { status, told } = await Session.send("/api/ops/text", { text: get("typed").value });
      put(get("typed-answer"), status !== 200 ? told.detail : told.faults.length ? told.faults.join("; ") : told.acknowledged.length + " taken in" +
        (told.refused.length ? "; refused: " + told.refused.map((one) => one.id + " " + one.why).join("; ") : ""));
    } catch { put(get("typed-answer"), "No link to the truck; nothing was taken in."); }
  });
  document.addEventListener("state", (event) => { if (event.detail.warning) say(event.detail.warning); load(); box.now(); });
  window.addEventListener("online", () => box.now());
  document.getElementById("page").dataset.own = "yes";
  show();
  Session.begin().then((why) => { if (why) say(why); }).catch(() => {}).finally(() => { load(); box.now(); });
})();
