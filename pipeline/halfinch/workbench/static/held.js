// Brings the marked place into view where the sheet is larger than its frame.
const spot = document.querySelector(".original .spot");
const frame = spot?.closest(".paper, .grid");
if (frame) {
  const inner = spot.getBoundingClientRect();
  const outer = frame.getBoundingClientRect();
  frame.scrollLeft += inner.left + inner.width / 2 - outer.left - outer.width / 2;
  frame.scrollTop += inner.top + inner.height / 2 - outer.top - outer.height / 2;
}
