// Search as you type, from three letters on; an emptied field shows all again.
import { parsePage, say } from "./page.js";

const WAIT = 150; // ms after the last key

/** Adds to the search form of the page, if it has one. */
export function searchAsTyped() {
  let timer = 0, asked = null;

  document.addEventListener("input", (event) => {
    const form = event.target.form;
    if (!form?.dataset.search) return;
    const typed = form.elements.q.value.trim();
    clearTimeout(timer);
    if (typed.length === 1 || typed.length === 2) return;
    timer = setTimeout(() => ask(form), WAIT);
  });

  const ask = async (form) => {
    asked?.abort();
    asked = new AbortController();
    const address = `${form.action}?${new URLSearchParams(new FormData(form))}`;
    try {
      const response = await fetch(address, { headers: { Accept: "text/html" }, credentials: "same-origin", signal: asked.signal });
      const page = response.ok ? parsePage(await response.text()) : null;
      const part = `[data-part="${form.dataset.search}"]`;
      const now = document.querySelector(part), next = page?.querySelector(part);
      if (!now || !next) return;
      now.replaceWith(document.importNode(next, true));
      history.replaceState(null, "", address);
      say(next.querySelector("[data-said]")?.textContent ?? "");
    } catch { /* the form still works by its button */ }
  };
}
