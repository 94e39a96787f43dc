// Reviews the order form as it is filled: the same form is sent, and what comes back is put beside what a
// person is doing, never over it. Points are set by a click on a photo.
import { parsePage, say } from "./page.js";

const quiet = 600; // ms after the last key

let timer = 0, turn = 0;

/** Takes every form that asks for it with data-review. */
export function reviewAsFilled() {
  document.addEventListener("input", (event) => later(event.target));
  document.addEventListener("change", (event) => {
    const form = event.target.closest?.("form[data-review]");
    if (form && event.target.type === "file" && event.target.files.length) send(form, "review");
    else later(event.target);
  });
  document.addEventListener("submit", () => { clearTimeout(timer); turn++; }, true);
  document.addEventListener("click", (event) => {
    const drawing = event.target.closest?.("[data-photo] svg.photo");
    if (drawing) setPoint(drawing, event);
    const beside = event.target.closest?.('a[href^="#finding-"]');
    if (beside) document.getElementById(beside.hash.slice(1))?.querySelector("input")?.focus({ preventScroll: true });
  });
}

function later(target) {
  const form = target.closest?.("form[data-review]");
  if (!form || target.type === "file" || /^(who|reason)\./.test(target.name)) return;
  clearTimeout(timer);
  timer = setTimeout(() => review(form), quiet);
}

/** Sends the form as its button would. */
function send(form, value) {
  form.requestSubmit(form.querySelector(`button[name=do][value=${value}]`));
}

async function review(form) {
  const mine = ++turn;
  const data = new FormData(form);
  data.delete("photo");
  data.set("do", "review");
  const sent = new Map([...form.elements].filter((e) => e.name).map((e) => [e.name, e.value]));
  let page = null;
  try {
    const response = await fetch(form.action, { method: "POST", body: data, headers: { Accept: "text/html" }, credentials: "same-origin" });
    page = parsePage(await response.text());
  } catch { return; } // the button is still there
  const next = page?.querySelector("form[data-review]");
  if (!next || mine !== turn || !form.isConnected) return;
  next.querySelectorAll("[autofocus]").forEach((e) => e.removeAttribute("autofocus"));
  form.elements.base.value = next.elements.base.value;
  const before = document.getElementById("review-summary")?.textContent;
  for (const id of ["benches", "photos", "review"]) merge(document.getElementById(id), next.querySelector("#" + id), sent);
  for (const button of form.querySelectorAll("button[name=do]")) {
    button.className = next.querySelector(`button[name=do][value=${button.value}]`).className;
  }
  const after = document.getElementById("review-summary")?.textContent;
  if (after && after !== before) say(after);
}

/** Makes the children of a list those of the next one, by their ids. */
function merge(now, next, sent) {
  let last = null;
  for (const child of [...next.children]) {
    const old = child.id ? document.getElementById(child.id) : null;
    if (!old) {
      if (!child.id) continue;
      const made = document.importNode(child, true);
      if (last) last.after(made); else now.prepend(made);
      last = made;
      continue;
    }
    if (child.id === "review-findings") findings(old, child);
    else if (child.matches(".field")) field(old, child, sent);
    else if (child.hasAttribute("data-list")) {
      if (child.open) old.open = true; // what the review speaks of is unfolded; nothing is folded
      merge(old, child, sent);
    } else if (!old.contains(document.activeElement) && old.innerHTML !== child.innerHTML) old.replaceWith(document.importNode(child, true));
    last = document.getElementById(child.id);
  }
  for (const child of [...now.children]) {
    if (child.id && !next.querySelector("#" + CSS.escape(child.id)) && !child.contains(document.activeElement)) child.remove();
  }
}

/** A field that a person is in, or typed into since, keeps what is typed and gets what is said about it. */
function field(old, next, sent) {
  const control = old.querySelector("input, select, textarea"), other = next.querySelector("input, select, textarea");
  if (!old.contains(document.activeElement) && sent.get(control.name) === control.value) {
    old.replaceWith(document.importNode(next, true));
    return;
  }
  old.className = next.className;
  old.querySelectorAll(".fault, .said").forEach((e) => e.remove());
  const entry = old.querySelector(".entry");
  for (const part of next.querySelectorAll(".fault, .said")) entry.before(document.importNode(part, true));
  for (const name of ["aria-invalid", "aria-describedby"]) {
    if (other.hasAttribute(name)) control.setAttribute(name, other.getAttribute(name));
    else control.removeAttribute(name);
  }
}

/** A finding that somebody is answering stays as it is. */
function findings(old, next) {
  const kept = new Map();
  for (const li of old.querySelectorAll("li[id]")) {
    const typed = [...li.querySelectorAll("input[type=text]")].some((e) => e.value);
    if (typed || li.contains(document.activeElement)) kept.set(li.id, li);
  }
  const focused = document.activeElement;
  const made = document.importNode(next, true);
  for (const li of made.querySelectorAll("li[id]")) if (kept.has(li.id)) li.replaceWith(kept.get(li.id));
  old.replaceWith(made);
  if (focused?.isConnected && focused !== document.activeElement) focused.focus({ preventScroll: true });
}

/** Puts where a photo was clicked into the first row of its points that is empty. */
function setPoint(drawing, event) {
  const photo = drawing.closest("[data-photo]"), id = photo.dataset.photo, box = drawing.getBoundingClientRect();
  const percent = (at, from, size) => (Math.round(1000 * (at - from) / size) / 10).toString();
  for (let n = 1; ; n++) {
    const x = document.querySelector(`[name="point.${id}.${n}.x"]`), y = document.querySelector(`[name="point.${id}.${n}.y"]`);
    if (!x || !y) return;
    if (x.value || y.value) continue;
    x.value = percent(event.clientX, box.left, box.width);
    y.value = percent(event.clientY, box.top, box.height);
    document.querySelector(`[name="point.${id}.${n}.for"]`)?.focus();
    review(x.form);
    return;
  }
}
