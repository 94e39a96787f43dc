// Answers forms by fetch and shows the page that comes back in place, so that keys typed between two
// scans are not lost. Whatever goes wrong, the form is sent the plain way.
import { parsePage, show, freshKey } from "./page.js";
import { mayWait, keep, notSent } from "./offline.js";

let busy = Promise.resolve();

/** Takes every form that posts within the page over. */
export function answerForms() {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || form.method !== "post") return;
    event.preventDefault();
    const body = bodyOf(form, event.submitter);
    if (form.hasAttribute("data-scan")) readyForNext(form);
    // One after the other: a burst of scans must arrive in the order of the scans.
    busy = busy.then(() => answer(form, body));
  });
}

function bodyOf(form, submitter) {
  const data = new FormData(form);
  if (submitter?.name) data.append(submitter.name, submitter.value);
  return form.enctype === "multipart/form-data" ? data : new URLSearchParams(data);
}

/** The next scan may come before this one is answered: it is another act, with another key. */
function readyForNext(form) {
  form.elements.key.value = freshKey();
  form.elements.code.value = "";
}

async function answer(form, body) {
  let response, page = null;
  try {
    response = await fetch(form.action, { method: "POST", body, headers: { Accept: "text/html" }, credentials: "same-origin" });
    if (response.headers.get("Content-Type")?.startsWith("text/html")) page = parsePage(await response.text());
  } catch {
    if (mayWait(form)) keep(form, body);
    else notSent();
    return;
  }
  if (page) show(page, response.redirected ? response.url : null, form);
  else if (response.redirected) location.assign(response.url); // a paper to print
  else form.submit();
}
