// Links into what is folded or not built yet, and what is done while nobody waits.
function reveal() {
  const id = location.hash && decodeURIComponent(location.hash.slice(1));
  const late = id && !document.getElementById(id);
  const target = id && placeOf(id);
  if (!target) return;
  target.closest("details")?.setAttribute("open", "");
  target.hidden = false;
  if (late) location.replace(location.hash); // again, now that the row is there to be marked as the link's target
  target.scrollIntoView();
}
addEventListener("hashchange", reveal);
reveal();

const near = new IntersectionObserver((entries) => {
  for (const entry of entries) {
    if (!entry.isIntersecting) continue;
    near.unobserve(entry.target);
    complete(entry.target);
  }
}, { rootMargin: "400px" });
const grids = [...document.querySelectorAll(".grid")];
grids.forEach((grid) => near.observe(grid));

// Charts near the top are drawn at once, the other visible ones while nobody waits, so that a print shows them; then rows
// are built, so that the browser's own search finds them; what is folded comes last.
watch(document);
const folded = (place) => place.closest("details:not([open])") !== null;
const idle = (run) => window.requestIdleCallback ? requestIdleCallback(run, { timeout: 50 }) : setTimeout(run, 200);
const waiting = [
  ...[...document.querySelectorAll(".plot")].filter((place) => !folded(place)).map((place) => () => draw(place)),
  ...grids.sort((a, b) => folded(a) - folded(b)).map((grid) => async () => complete(grid)),
];
(function next() {
  const work = waiting.shift();
  if (work) idle(() => work().finally(next));
})();
addEventListener("beforeprint", () => grids.forEach(complete));
