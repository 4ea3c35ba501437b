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

/** Keys of a screen: {key: action}. None counts while somebody types, or with Ctrl, Alt or Meta held. */
export function onKeys(actions) {
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
    if (event.target.matches("input:not([type=radio]):not([type=checkbox]), select, textarea")) return;
    const action = actions[event.key];
    if (action) {
      event.preventDefault();
      action(event);
    }
  });
}

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
