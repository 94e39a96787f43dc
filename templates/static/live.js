// Follows the page's event stream and shows anew what has changed. Without it the page is as of the
// time that it says.
import { parsePage, say } from "./page.js";

/** Opens the stream that the page names; each "changed" event fetches the page's moving parts. */
export function followLive() {
  let source = null, address = "", timer = 0;

  const open = () => {
    const wanted = document.body.dataset.live ?? "";
    if (wanted === address) return;
    source?.close();
    address = wanted;
    source = wanted ? new EventSource(wanted) : null; // the browser sends Last-Event-ID when it comes back
    source?.addEventListener("changed", () => {
      clearTimeout(timer);
      timer = setTimeout(refresh, 150 + Math.random() * 250); // many pages need not ask in the same instant
    });
  };

  document.addEventListener("page:shown", open);
  addEventListener("pagehide", () => { source?.close(); address = ""; });
  addEventListener("pageshow", open);
  open();
}

async function refresh() {
  // A pair's page says which sheet it was made from, so that it is told when another is in force.
  const asked = new URL(location.href), sheet = document.querySelector("[data-sheet]")?.dataset.sheet;
  if (sheet) asked.searchParams.set("sheet", sheet);
  let page = null, ok = false;
  try {
    const response = await fetch(asked, { headers: { Accept: "text/html", "Lastroom-Refresh": "1" }, credentials: "same-origin" });
    ok = response.ok;
    if (ok || response.status === 409) page = parsePage(await response.text());
  } catch { return; }
  if (!page) return;
  if (!ok) {
    warn([...page.querySelectorAll(".refusal h2, .refusal .next-step")].map((e) => e.textContent).join(". "));
    return;
  }
  for (const next of page.querySelectorAll("[data-part]")) {
    const now = document.querySelector(`[data-part="${next.dataset.part}"]`);
    // What a person has the focus in stays as it is until they leave it.
    if (!now || now.contains(document.activeElement) || now.innerHTML === next.innerHTML) continue;
    now.replaceWith(document.importNode(next, true));
  }
  warn(page.querySelector(".halt[role=alert]")?.textContent);
  const asOf = page.querySelector(".foot-line"), old = document.querySelector(".foot-line");
  if (asOf && old) old.replaceWith(document.importNode(asOf, true));
}

/** Says at the top of a pair's page what stops the work on it, and aloud. */
function warn(text) {
  const stub = document.querySelector(".stub"), shown = document.querySelector(".halt[role=alert]");
  if (!text || !stub || text === shown?.textContent) return;
  shown?.remove();
  const halt = document.createElement("p");
  halt.className = "halt";
  halt.setAttribute("role", "alert");
  halt.textContent = text;
  stub.before(halt);
  say(text);
}
