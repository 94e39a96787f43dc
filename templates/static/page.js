// What a fetched page is taken apart into, and how it takes the place of the one shown.
import { play } from "./sound.js";

/** Parses a whole page; null when it is not one of ours. */
export function parsePage(html) {
  const page = new DOMParser().parseFromString(html, "text/html");
  return page.querySelector("main#main") ? page : null;
}

/** Says a sentence to a screen reader without moving the focus. */
export function say(text) {
  const said = document.getElementById("said");
  if (!said) return;
  said.textContent = "";
  setTimeout(() => { said.textContent = text; }, 50);
}

/** Shows a fetched page in place of this one. from is the form that was answered. */
export function show(page, url, from) {
  const scanned = from?.hasAttribute("data-scan");
  document.title = page.title;
  for (const attribute of ["class", "data-live"]) {
    const value = page.body.getAttribute(attribute);
    if (value === null) document.body.removeAttribute(attribute);
    else document.body.setAttribute(attribute, value);
  }
  for (const part of [".top", "#main", ".foot-line"]) {
    const now = document.querySelector(part), next = page.querySelector(part);
    if (now && next) now.replaceWith(document.importNode(next, true));
  }
  if (url && url !== location.href) history.replaceState(null, "", url);
  const main = document.getElementById("main");
  const said = main.querySelector("[data-said], .refusal, .faults");
  if (said) say(said.textContent.replace(/\s+/g, " ").trim());
  play(main.dataset.sound);
  focusOn(main, scanned);
  document.dispatchEvent(new CustomEvent("page:shown"));
}

/** After a scan the page's own wish decides; after another form, what comes next. */
function focusOn(main, scanned) {
  const wish = main.querySelector("[autofocus]");
  const next = main.querySelector("form .act");
  const faulty = main.querySelector("[aria-invalid][autofocus]");
  let target = faulty ?? wish, seen = target;
  if (!scanned && !faulty && next) seen = target = next.form.querySelector("input:not([type=hidden]), textarea, select") ?? next;
  // What ends a pair's work is pressed by a hand that means it, never by the Enter of a scanner.
  if (target?.closest("form")?.hasAttribute("data-ends")) target = main.querySelector("form[data-scan] [name=code]");
  (target ?? main).focus({ preventScroll: scanned || target !== seen });
  if (target?.name === "code") target.select(); // the next code takes the place of a refused one
  if (!scanned && seen) seen.scrollIntoView({ block: target === seen ? "nearest" : "center" });
}

/** A random key, 16 bytes in hex. randomUUID would need a secure context, which a house network is not. */
export function freshKey() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
}
