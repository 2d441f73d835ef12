// Who this page is to the server: joins with the code in the address, once, and sends what proves it with each change.
"use strict";
(function (root) {
  let csrf = "", role = "look";
  async function call(path, body, ms) {
    const stop = new AbortController(), timer = setTimeout(() => stop.abort(), ms || 8000);
    try {
      const answer = await fetch(path, body === undefined ? { signal: stop.signal, credentials: "same-origin" } : {
        method: "POST", signal: stop.signal, credentials: "same-origin",
        headers: { "Content-Type": "application/json", "X-Tailboard": csrf }, body: JSON.stringify(body) });
      let told = null;
      try { told = await answer.json(); } catch { /* an answer without JSON is said by its status */ }
      return { status: answer.status, told };
    } finally { clearTimeout(timer); }
  }
  function take(told) { csrf = told.csrf; role = told.role; }
  // The code stands behind the # of the address: browsers never send that part. It is taken out of the address at once.
  async function begin() {
    const found = /[#&]join=([A-Za-z0-9_-]+)/.exec(location.hash);
    if (found) {
      try { sessionStorage.setItem("join", found[1]); } catch { /* then the code is scanned again */ }
      history.replaceState(null, "", location.pathname + location.search);
    }
    const before = await call("/api/session");
    if (before.status === 200) take(before.told);
    const code = found ? found[1] : (() => { try { return sessionStorage.getItem("join"); } catch { return null; } })();
    if (role === "look" && code) {
      const { status, told } = await call("/api/join", { token: code });
      if (status === 200) take(told);
      if (status === 200 || status === 403) { try { sessionStorage.removeItem("join"); } catch { /* nothing was kept */ } }
      if (status !== 200) return told ? told.detail : "the truck does not answer";
    }
    return "";
  }
  async function send(path, body, ms) {
    if (!csrf) await begin();
    let answer = await call(path, body, ms);
    if (answer.status === 403) { await begin(); answer = await call(path, body, ms); }
    return answer;
  }
  root.Session = { begin, send, call, role: () => role,
    unlock: async (code) => { const answer = await call("/api/unlock", { code }); if (answer.status === 200) take(answer.told); return answer; } };
})(window);
