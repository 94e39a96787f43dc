// A scanner that types. It may type into any field, or into none, and on the keyboard layout of another
// country; the check digits decide what was a scan.

const SILENCE = 100; // ms without a key that end a burst
const LATE = 500; // ms within which the Enter of a burst that silence ended is still that burst's
const SLIP = 8; // digits in one burst that a person's hand does not make
const TWICE = 2000; // ms within which the same code is one scan
const LENGTHS = { 1: 11, 2: 11, 7: 11, 9: 15 }; // digits of each kind of code

/** The remainder of a string of digits modulo 97. */
export function mod97(digits) {
  let r = 0;
  for (const d of digits) r = (r * 10 + Number(d)) % 97;
  return r;
}

/** The code at the end of a text, a bare code or an address that ends in one; "" when there is none. */
export function codeIn(text) {
  const run = /^[\d ]+$/.test(text.trim()) ? text.replace(/ /g, "") : (text.trim().match(/(\d+)\/?$/)?.[1] ?? "");
  return LENGTHS[run[0]] === run.length && mod97(run) === 1 ? run : "";
}

/** What a key types on a US keyboard, whatever layout the machine has; "" for keys that type nothing. */
export function usKey(code, shift) {
  let m;
  if ((m = /^(?:Digit|Numpad)(\d)$/.exec(code))) return shift && code.startsWith("Digit") ? ")!@#$%^&*("[m[1]] : m[1];
  if ((m = /^Key([A-Z])$/.exec(code))) return shift ? m[1] : m[1].toLowerCase();
  const other = { Slash: "/?", Period: ".>", Semicolon: ";:", Minus: "-_", NumpadDivide: "//", NumpadDecimal: "..", Space: "  " }[code];
  return other ? other[shift ? 1 : 0] : "";
}

/** Collects what is typed until it is a code. */
export class Burst {
  constructor() { this.clear(); }
  clear() { this.byKey = ""; this.byCode = ""; this.last = -Infinity; }
  /** One key at an instant in ms. A pause longer than a scanner makes begins anew. */
  add(key, code, shift, at) {
    if (at - this.last > SILENCE) this.clear();
    this.last = at;
    if (key.length === 1) this.byKey += key;
    this.byCode += usKey(code, shift);
  }
  /** The code that was typed, by either reading of the keys. */
  code() { return codeIn(this.byKey) || codeIn(this.byCode); }
}

/** Listens on the whole page and gives each scan to the page's scan form or badge field. */
export function listenForScans() {
  const burst = new Burst();
  let seen = { code: "", at: -Infinity };
  let timer = 0;
  let ended = -Infinity; // when the last key of a scan was pressed
  let before = null; // the field that was typed into, as it was when the burst began

  const finish = (event) => {
    clearTimeout(timer);
    const code = burst.code();
    const last = burst.last, digits = burst.byCode.replace(/\D/g, "");
    burst.clear();
    // A scanner's Enter after a code with a slip in it must not press what has the focus: it is refused aloud.
    const pressed = event && digits.length >= SLIP && document.activeElement?.matches("button, a, summary");
    if (!code && pressed) {
      event.preventDefault();
      event.stopPropagation();
      take(digits);
      return;
    }
    if (!code) return;
    ended = last;
    event?.preventDefault();
    event?.stopPropagation();
    const now = performance.now();
    const twice = code === seen.code && now - seen.at < TWICE;
    seen = { code, at: now };
    restore(before);
    before = null;
    if (!twice) take(code);
    else clearScanField();
  };

  document.addEventListener("keydown", (event) => {
    if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
    const now = event.timeStamp;
    if (event.key === "Enter" || event.key === "Tab") {
      if (now - burst.last <= SILENCE) finish(event);
      else if (now - ended <= LATE) { event.preventDefault(); event.stopPropagation(); }
      ended = -Infinity;
      return;
    }
    if (event.key.length !== 1 && event.key !== "Dead") return;
    if (now - burst.last > SILENCE) before = fieldNow();
    burst.add(event.key, event.code, event.shiftKey, now);
    clearTimeout(timer);
    // A code that is only part of a longer run would not be followed by silence.
    timer = setTimeout(() => finish(null), SILENCE);
  }, true);

  // The plain way in: a code or address that lies in the scan field when it is sent.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.hasAttribute("data-scan")) return;
    const field = form.elements.code;
    if (field.value.trim() === "") { event.preventDefault(); field.focus(); }
  }, true);

  document.addEventListener("page:shown", keepKeyboardAway);
  keepKeyboardAway();
}

function fieldNow() {
  const field = document.activeElement;
  if (!field || !("value" in field) || typeof field.selectionStart !== "number") return null;
  return { field, value: field.value };
}

/** Takes a burst out of a field that it was not meant for. */
function restore(before) {
  if (!before || before.field.form?.hasAttribute("data-scan")) return;
  before.field.value = before.value;
}

function clearScanField() {
  const field = document.querySelector("form[data-scan] [name=code]");
  if (field) field.value = "";
}

function take(code) {
  const scan = document.querySelector("form[data-scan]");
  if (scan) {
    scan.elements.code.value = code;
    scan.requestSubmit();
    return;
  }
  const badge = document.querySelector("form[data-badge]");
  if (badge && code[0] === "9" && badge.elements.badge) {
    badge.elements.badge.value = code;
    badge.elements.pin.focus();
    return;
  }
  if (code[0] === "1" || code[0] === "2") location.assign("/S/" + code);
}

/** On a tablet the scan field would call the keyboard up each time it takes the focus. A button does. */
function keepKeyboardAway() {
  const form = document.querySelector("form[data-scan]");
  if (!form || !matchMedia("(pointer: coarse)").matches || form.querySelector(".type")) return;
  const field = form.elements.code;
  field.inputMode = "none";
  const button = document.createElement("button");
  button.type = "button";
  button.className = "type";
  button.textContent = form.dataset.type;
  button.addEventListener("click", () => { field.inputMode = "numeric"; field.blur(); field.focus(); });
  field.after(button);
}
