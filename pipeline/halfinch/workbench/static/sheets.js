// Dropping files or folders in, and looking on while they are read.
import { fetchPart, send, tell } from "./desk.js";

const BATCH = 100;
const BATCH_BYTES = 40_000_000;
const drop = document.querySelector(".drop");
const jobs = document.getElementById("jobs");

/** Files of dropped entries with their paths; folders are walked through. */
async function walk(entry, above = "") {
  const path = above + entry.name;
  if (entry.isFile) {
    const file = await new Promise((done, fail) => entry.file(done, fail));
    return [{ file, path }];
  }
  const reader = entry.createReader();
  const found = [];
  for (;;) {
    const some = await new Promise((done, fail) => reader.readEntries(done, fail));
    if (!some.length) return found;
    for (const one of some) found.push(...await walk(one, `${path}/`));
  }
}

/** A folder of merchants' folders is left out of the paths, as on the command line: a file's first folder names its
 * merchant. Folders by year or season are none. */
function below(files) {
  const paths = files.map(({ path }) => path.split("/"));
  const inner = new Set(paths.filter((parts) => parts.length > 2).map((parts) => parts[1]));
  const one = new Set(paths.map((parts) => parts[0])).size === 1;
  if (!one || inner.size < 2 || [...inner].every((name) => /^\d/.test(name))) return files;
  return files.map(({ file }, at) => ({ file, path: paths[at].slice(1).join("/") }));
}

function batches(files) {
  const found = [[]];
  let bytes = 0;
  for (const one of files) {
    if (found.at(-1).length >= BATCH || (bytes && bytes + one.file.size > BATCH_BYTES)) {
      found.push([]);
      bytes = 0;
    }
    found.at(-1).push(one);
    bytes += one.file.size;
  }
  return found;
}

async function upload(files) {
  if (!files.length) return;
  let job = "";
  const all = batches(below(files));
  for (const [at, batch] of all.entries()) {
    const body = new FormData();
    body.append("merchant", drop.elements.merchant.value);
    if (drop.elements.newer.checked) body.append("newer", "yes");
    if (job) body.append("job", job);
    if (at < all.length - 1) body.append("more", "yes");
    for (const { file, path } of batch) body.append("files", file, path);
    job = (await send("/sheets/upload", { body })).job;
  }
  await follow(job);
}

/** Shows an import until it is over, then the page anew: its sheets have landed. */
async function follow(handle) {
  for (;;) {
    const part = await fetchPart(`/sheets/jobs/${handle}`);
    const section = part.nodes.find((node) => node.nodeType === Node.ELEMENT_NODE);
    if (!part.ok || !section) return;
    const old = jobs.querySelector(`[data-job="${handle}"]`);
    if (old) {
      const focused = old.contains(document.activeElement);
      old.replaceWith(section);
      if (focused) section.querySelector("button")?.focus();
    } else {
      jobs.prepend(section);
    }
    if (section.dataset.over === "yes") {
      tell(section.querySelector(".telling").textContent.trim());
      if (!document.querySelector("[data-over=no]")) {
        const pile = await fetchPart(location.href);
        for (const id of ["lead", "pile"]) {
          const fresh = pile.nodes.flatMap((node) => [...(node.querySelectorAll?.(`#${id}`) ?? [])])[0];
          document.getElementById(id).replaceChildren(...(fresh?.childNodes ?? []));
        }
      }
      return;
    }
    await new Promise((done) => setTimeout(done, 600));
  }
}

for (const name of ["files", "folder"]) {
  drop.elements[name].addEventListener("change", (event) => {
    const files = [...event.target.files].map((file) => ({ file, path: file.webkitRelativePath || file.name }));
    upload(files).catch((error) => tell(error.message || drop.dataset.failed)).finally(() => { event.target.value = ""; });
  });
}

document.addEventListener("dragover", (event) => {
  event.preventDefault();
  drop.classList.add("over");
});
document.addEventListener("dragleave", (event) => {
  if (!event.relatedTarget) drop.classList.remove("over");
});
document.addEventListener("drop", async (event) => {
  event.preventDefault();
  drop.classList.remove("over");
  const dropped = [...event.dataTransfer.files];
  const entries = [...event.dataTransfer.items].map((item) => item.webkitGetAsEntry?.()).filter(Boolean);
  const files = [];
  for (const entry of entries) files.push(...await walk(entry));
  if (!entries.length) files.push(...dropped.map((file) => ({ file, path: file.name })));
  upload(files).catch((error) => tell(error.message || drop.dataset.failed));
});

for (const open of document.querySelectorAll("[data-over=no]")) follow(open.dataset.job);
