// What every page has: sending with the page's token, saying something aloud, keys. Screens import from here.

const policy = window.trustedTypes
  ? window.trustedTypes.createPolicy("halfinch", { createHTML: (text) => text })
  : { createHTML: (text) => text };

export const token = document.querySelector('meta[name="csrf"]').content;

/** Sends to a path of ours and gives the answer; what went wrong is said, then thrown. */
export async function send(path, { method = "POST", body, headers = {}, signal } = {}) {
  const answer = await fetch(path, {
    method, body, signal, credentials: "same-origin",
    headers: { "X-CSRF-Token": token, Accept: "application/json", ...headers },
  });
  if (!answer.ok) {
    const told = await answer.json().catch(() => ({ error: answer.statusText }));
    tell(told.error);
    throw new Error(told.error);
  }
  return answer.status === 204 ? null : answer.json();
}

/** A part of a page that the server has rendered (its own templates only), as nodes. */
export async function fetchPart(path, options = {}) {
  const answer = await fetch(path, { credentials: "same-origin", ...options });
  const page = new DOMParser().parseFromString(policy.createHTML(await answer.text()), "text/html");
  return { ok: answer.ok, nodes: [...page.body.childNodes] };
}

let fading;
/** Says a sentence at the foot of the page, and to a screen reader. */
export function tell(sentence) {
  const place = document.getElementById("told");
  place.textContent = sentence;
  clearTimeout(fading);
  fading = setTimeout(() => { place.textContent = ""; }, 6000);
}

document.documentElement.classList.add("scripting");

// Single keys: what has data-key="r" is pressed (or entered, if one types there) by that key. None counts while somebody
// types, with Ctrl, Alt or Meta held, or where they were switched off.
const KEYS = "halfinch-keys";
let keysOn = localStorage.getItem(KEYS) !== "off";

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing || event.repeat) return;
  const typing = event.target.matches("input:not([type=radio]):not([type=checkbox]), select, textarea");
  if (typing && event.key === "Escape") event.target.blur();
  if (!keysOn || typing) return;
  if (event.key === "Enter" && event.target.matches("a, button, summary")) return;
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const meant = [...document.querySelectorAll("[data-key]")].find((one) => one.dataset.key === key && !one.disabled);
  if (!meant) return;
  event.preventDefault();
  if (meant.matches("input:not([type=radio]):not([type=checkbox])")) {
    meant.focus();
    meant.select();
  } else {
    meant.click();
  }
});

const keysButton = document.getElementById("keys");
function showKeys() {
  if (!keysButton) return;
  keysButton.setAttribute("aria-pressed", String(keysOn));
  keysButton.textContent = keysOn ? keysButton.dataset.on : keysButton.dataset.off;
}
keysButton?.addEventListener("click", () => {
  keysOn = !keysOn;
  localStorage.setItem(KEYS, keysOn ? "on" : "off");
  showKeys();
});
showKeys();

// The small form of preferences sends itself; Escape and a click beside it close it.
const preferences = document.querySelector(".preferences");
preferences.addEventListener("change", () => preferences.querySelector("form").submit());
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && preferences.open) {
    preferences.open = false;
    preferences.querySelector("summary").focus();
  }
});
document.addEventListener("click", (event) => {
  if (!preferences.contains(event.target)) preferences.open = false;
});
