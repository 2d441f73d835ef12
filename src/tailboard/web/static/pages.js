// What every page does: follows the plan as it changes, finds things while you type, day and night.
"use strict";
(() => {
  const root = document.documentElement, page = document.getElementById("page"), link = document.getElementById("link");

  // Day or night, as chosen on this device; nothing chosen: as the device itself says.
  const kept = { get: (name) => { try { return localStorage.getItem(name); } catch { return null; } },
                 set: (name, value) => { try { localStorage.setItem(name, value); } catch { /* private mode keeps nothing */ } } };
  const light = document.getElementById("light");
  const dark = () => root.dataset.light ? root.dataset.light === "night" : matchMedia("(prefers-color-scheme: dark)").matches;
  if (kept.get("light")) root.dataset.light = kept.get("light");
  light.setAttribute("aria-pressed", String(dark()));
  light.addEventListener("click", () => {
    root.dataset.light = dark() ? "day" : "night";
    kept.set("light", root.dataset.light);
    light.setAttribute("aria-pressed", String(dark()));
  });

  // The plan changed: fetch the middle of this page anew, keep what is open, where we are and what is being typed.
  let busy = false, again = false;
  async function renew() {
    if (page.dataset.own === "yes" || page.querySelector("form.edit :focus")) return;
    if (busy) { again = true; return; }
    busy = true;
    try {
      const answer = await fetch(location.href, { headers: { "X-Part": "page" }, credentials: "same-origin" });
      if (answer.ok || answer.status === 404) {
        const open = [...page.querySelectorAll("details[open]")].map((one) => one.id).filter(Boolean);
        const at = scrollY;
        page.innerHTML = await answer.text();
        open.forEach((id) => { const one = document.getElementById(id); if (one) one.open = true; });
        scrollTo(0, at);
        root.dataset.number = answer.headers.get("X-Number") || root.dataset.number;
        document.dispatchEvent(new Event("page-renewed"));
      }
    } catch { say("no link to the truck; what stands here may be old"); }
    busy = false;
    if (again) { again = false; renew(); }
  }
  function say(words) { link.textContent = words; }
  if (window.EventSource) {
    const events = new EventSource("/events");
    events.addEventListener("state", (event) => {
      say("");
      const state = JSON.parse(event.data);
      document.dispatchEvent(new CustomEvent("state", { detail: state }));
      if (String(state.number) !== root.dataset.number) renew();
    });
    events.addEventListener("error", () => say("no link to the truck; what stands here may be old"));
  }

  // Find while typing; arrows and Enter choose.
  const find = document.getElementById("find"), found = document.getElementById("found");
  let timer = 0, asked = 0, chosen = -1;
  const rows = () => [...found.querySelectorAll("li")];
  function choose(step) {
    const all = rows();
    if (!all.length) return;
    chosen = (chosen + step + all.length) % all.length;
    all.forEach((one, index) => one.setAttribute("aria-selected", String(index === chosen)));
  }
  async function look() {
    const text = find.value.trim(), mine = ++asked;
    if (!text) { found.innerHTML = ""; return; }
    try {
      const answer = await fetch("/find?q=" + encodeURIComponent(text), { headers: { "X-Part": "page" }, credentials: "same-origin" });
      if (mine === asked && answer.ok) { found.innerHTML = await answer.text(); chosen = -1; }
    } catch { say("no link to the truck; the search needs it"); }
  }
  find.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(look, 60); });
  find.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") { choose(event.key === "ArrowDown" ? 1 : -1); event.preventDefault(); }
    if (event.key === "Escape") { find.value = ""; found.innerHTML = ""; find.blur(); }
    if (event.key === "Enter" && rows().length) {
      const one = rows()[Math.max(chosen, 0)].querySelector("a");
      if (one) { event.preventDefault(); location.href = one.href; }
    }
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "/" && !/INPUT|TEXTAREA|SELECT/.test(document.activeElement.tagName)) { event.preventDefault(); find.focus(); }
  });
  document.addEventListener("click", (event) => { if (!event.target.closest("form[role=search]")) found.innerHTML = ""; });

  // A box or cable in a drawing leads to its page.
  page.addEventListener("click", (event) => {
    const one = event.target.closest("[data-device], [data-cable]");
    if (one && one.closest("svg")) location.href = "/things/" + encodeURIComponent(one.dataset.device || one.dataset.cable);
  });

  // A change of the plan: first look what it would do, then write it.
  page.addEventListener("submit", async (event) => {
    const form = event.target.closest("form.edit");
    if (!form) return;
    event.preventDefault();
    const changes = [...form.querySelectorAll("input[data-was]")].filter((one) => one.value !== one.dataset.was)
      .map((one) => ({ table: form.dataset.table, row: form.dataset.row, column: one.name, value: one.value, was: one.dataset.was }));
    const out = form.querySelector(".answer");
    if (!changes.length) { out.textContent = "Nothing is changed yet."; return; }
    const confirmed = event.submitter && event.submitter.dataset.confirm === "yes";
    try {
      const { told } = await window.Session.send("/api/changes", { changes, confirmed: Boolean(confirmed) }, 20000);
      show(out, told);
      if (told.written && told.written.length) setTimeout(() => { if (document.activeElement) document.activeElement.blur(); renew(); }, 50);
    } catch { out.textContent = "No link to the truck; nothing was written."; }
  });
  page.addEventListener("submit", async (event) => {
    const form = event.target.closest("form.unlock");
    if (!form) return;
    event.preventDefault();
    const out = form.querySelector(".answer");
    try {
      const answer = await window.Session.unlock(form.elements.code.value.trim());
      if (answer.status === 200) location.reload();
      else out.textContent = answer.told ? answer.told.detail : "The truck does not answer.";
    } catch { out.textContent = "No link to the truck."; }
  });
  function add(parent, tag, words, name) {
    const one = document.createElement(tag);
    one.textContent = words;
    if (name) one.className = name;
    parent.append(one);
    return one;
  }
  function show(out, told) {
    out.textContent = "";
    if (told.detail) add(out, "p", told.detail);
    (told.refused || []).forEach((one) => add(out, "p", one, "lead"));
    (told.clashes || []).forEach((one) => {
      const box = add(out, "div", "", "clash");
      add(box, "p", "You saw '" + one.was + "' and wrote '" + one.value + "'.");
      add(box, "p", "By now the plan says '" + one.stands + "' (" + one.at + "). Nothing was overwritten.");
    });
    (told.harm || []).forEach((one) => add(out, "p", "It would break: " + one, "lead"));
    if (told.ask) add(out, "button", told.harm.length ? "Write it all the same" : "Write it", "").dataset.confirm = "yes";
    if (told.written && told.written.length) add(out, "p", "Written: " + told.written.join(", ") + "; the version before is kept.");
  }
})();
