// The hem follows the slider: the server draws and reckons, the page takes its part over.
import { fetchPart, token } from "./desk.js";

const form = document.querySelector("form.try");
if (form) {
  const slider = form.elements.finished[0] ?? form.elements.finished;
  let running = false;
  let again = false;

  const show = async () => {
    if (running) {
      again = true;
      return;
    }
    running = true;
    const fields = new URLSearchParams({ pair: form.elements.pair.value, shoe: form.elements.shoe.value, finished: slider.value });
    const { ok, nodes } = await fetchPart(form.action, {
      method: "POST", body: fields, headers: { "X-Part": "1", "X-CSRF-Token": token },
    });
    if (ok) {
      const part = nodes.find((node) => node.id === "hem");
      document.getElementById("hem").replaceWith(part);
      slider.setAttribute("aria-valuetext", part.querySelector("dd").textContent.trim());
    }
    running = false;
    if (again) {
      again = false;
      show();
    }
  };

  slider.addEventListener("input", show);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (event.submitter && event.submitter.name === "finished") slider.value = event.submitter.value;
    show();
  });
}
