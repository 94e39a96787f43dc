// Scans made while the network is away. They wait in this browser, in order, each with the key that
// makes sending it twice the same as once, and the page says how many wait.
import { parsePage, show, freshKey, say } from "./page.js";
import { play } from "./sound.js";

const STORE = "lastroom.waiting";
const AGAIN = 3000; // ms between two tries

let sending = false;
let refused = [];

const MAY = new Set(["scan", "load", "start", "confirm", "reading", "finish"]);

/** Whether a form may wait: what is done at a bench may; a decision or a change is for now or never. */
export function mayWait(form) {
  const path = new URL(form.action).pathname;
  return path.startsWith("/station/") && MAY.has(path.split("/").at(-1));
}

/** Says that a form which may not wait was not sent. What was typed stays in it. */
export function notSent() {
  const box = document.getElementById("waiting");
  box.hidden = false;
  box.querySelector(".count").textContent = box.dataset.lost;
  play("refused");
}

/** Keeps what was to be sent. It is marked with the instant, so that the ledger has the time of the scan. */
export function keep(form, body) {
  const fields = [...body.entries()].filter(([name]) => name !== "waited");
  fields.push(["waited", new Date().toISOString()]);
  write([...read(), { action: form.action, fields, what: describe(form, body) }]);
  // No page answers, so the same form is used again: its next use is another act.
  form.elements.key.value = freshKey();
  form.elements.code?.focus();
  play("waits");
  paint();
  schedule();
}

/** Shows what waits and sends it when the network is back. */
export function watchQueue() {
  paint();
  addEventListener("online", send);
  addEventListener("storage", (event) => { if (event.key === STORE) paint(); });
  document.addEventListener("page:shown", paint);
  if (read().length) send();
}

const read = () => { try { return JSON.parse(localStorage.getItem(STORE)) ?? []; } catch { return []; } };
const write = (items) => localStorage.setItem(STORE, JSON.stringify(items));

function describe(form, body) {
  return body.get("code") || new URL(form.action).pathname.split("/").slice(-2).join(" ");
}

function schedule() { setTimeout(send, AGAIN); }

async function send() {
  if (sending) return;
  sending = true;
  let sent = 0, last = null;
  try {
    for (let items = read(); items.length; items = read()) {
      const item = items[0];
      let response;
      try {
        response = await fetch(item.action, { method: "POST", body: new URLSearchParams(item.fields), headers: { Accept: "text/html" }, credentials: "same-origin" });
      } catch { break; }
      // Signing in comes first; a fault of the server or a pause it asks for is no answer yet.
      if (response.status === 401) { show(parsePage(await response.text()), null, null); break; }
      if (response.status >= 500 || response.status === 429 || response.status === 408) break;
      const page = parsePage(await response.text());
      if (!response.ok) refused.push({ what: item.what, why: reason(page) });
      else last = { page, url: response.url };
      write(read().slice(1));
      sent++;
      paint();
    }
  } finally { sending = false; }
  if (read().length) schedule();
  if (sent === 0) return;
  if (last?.page && !read().length) show(last.page, last.url, null);
  if (refused.length) play("refused");
  const box = document.getElementById("waiting");
  say([box.dataset.sent.replace("{count}", sent), ...refused.map((r) => `${r.what} ${box.dataset.refused} ${r.why}`)].join(" "));
  paint();
}

function reason(page) {
  const said = page?.querySelector("[data-refusal] h2, .faults li");
  const then = page?.querySelector("[data-refusal] .next-step");
  return [said?.textContent.trim(), then?.textContent.trim()].filter(Boolean).join(". ");
}

function paint() {
  const box = document.getElementById("waiting");
  if (!box) return;
  const count = read().length;
  box.hidden = count === 0 && refused.length === 0;
  const text = count === 0 ? "" : box.dataset.many.replace("{count}", count);
  const line = box.querySelector(".count");
  if (line.textContent !== text) line.textContent = text;
  const list = box.querySelector("ul");
  list.replaceChildren(...refused.map((one, i) => {
    const li = document.createElement("li");
    const b = document.createElement("b");
    b.textContent = `${one.what} ${box.dataset.refused}`;
    const button = document.createElement("button");
    button.textContent = box.dataset.dismiss;
    button.addEventListener("click", () => { refused.splice(i, 1); paint(); document.querySelector("form[data-scan] [name=code]")?.focus(); });
    li.append(b, ` ${one.why} `, button);
    return li;
  }));
}
