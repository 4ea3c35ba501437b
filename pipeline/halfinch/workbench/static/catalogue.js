// The catalogue: a figure's printed cell is shown over the table, without leaving it. Without this file it is a page.
import { fetchPart } from "./desk.js";

const proof = document.getElementById("proof");
const place = proof.querySelector("div");

document.addEventListener("click", async (event) => {
  const link = event.target.closest("a[data-proof]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
  event.preventDefault();
  const { nodes } = await fetchPart(`${link.href}?part=true`);
  place.replaceChildren(...nodes);
  proof.showModal();
  place.querySelector(".spot")?.scrollIntoView({ block: "center", inline: "center" });
});

proof.addEventListener("click", (event) => {
  if (event.target === proof) proof.close();
});
