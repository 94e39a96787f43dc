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
  let page = null;
  try {
    const response = await fetch(location.href, { headers: { Accept: "text/html" }, credentials: "same-origin" });
    if (response.ok) page = parsePage(await response.text());
  } catch { return; }
  if (!page) return;
  for (const next of page.querySelectorAll("[data-part]")) {
    const now = document.querySelector(`[data-part="${next.dataset.part}"]`);
    // What a person has the focus in stays as it is until they leave it.
    if (!now || now.contains(document.activeElement) || now.innerHTML === next.innerHTML) continue;
    now.replaceWith(document.importNode(next, true));
  }
  const warning = page.querySelector(".halt[role=alert]");
  const shown = document.querySelector(".halt[role=alert]");
  if (warning && warning.textContent !== shown?.textContent) {
    shown?.remove();
    document.querySelector(".stub")?.before(document.importNode(warning, true));
  }
  const asOf = page.querySelector(".foot-line"), old = document.querySelector(".foot-line");
  if (asOf && old) old.replaceWith(document.importNode(asOf, true));
  if (warning) say(warning.textContent);
}
