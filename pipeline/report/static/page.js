// Tables that sort and filter, charts that are drawn when they come into view. Nothing is fetched.
const data = JSON.parse(document.getElementById("chart-data").textContent);
const dark = matchMedia("(prefers-color-scheme: dark)");

// --- Charts ---------------------------------------------------------------------------------------------------------
function rowsOf(packed) {
  return packed.rows.map((row) => Object.fromEntries(packed.columns.map((name, at) => [name, row[at]])));
}

// Asked of a list of its own: reading `dark` before its event is due would swallow the event.
const night = () => matchMedia(dark.media).matches && !matchMedia("print").matches;

async function draw(place) {
  if (place.dataset.state) return;
  place.dataset.state = "drawing";
  const chart = data.charts[Number(place.dataset.chart)];
  const datasets = Object.fromEntries(Object.entries(chart.data).map(([name, packed]) => [name, rowsOf(packed)]));
  const spec = { ...structuredClone(data.specs[chart.kind]), datasets, height: chart.height };
  const drawnFor = night();
  const config = drawnFor ? data.dark : data.light;
  const options = { mode: "vega-lite", renderer: "svg", actions: false, logLevel: 1, config };
  place.view = (await window.vegaEmbed(place, spec, options)).view;
  place.classList.add("drawn");
  place.querySelectorAll("svg").forEach((svg) => svg.setAttribute("aria-hidden", "true")); // its label tells it
  place.dataset.state = "drawn";
  if (drawnFor !== night()) await redraw(place);
}

function redraw(place) {
  place.view.finalize();
  delete place.dataset.state;
  return draw(place);
}

const seen = new IntersectionObserver((entries) => {
  for (const entry of entries) {
    if (!entry.isIntersecting) continue;
    seen.unobserve(entry.target);
    draw(entry.target);
  }
}, { rootMargin: "400px" });

function watch(within) {
  within.querySelectorAll(".plot").forEach((place) => seen.observe(place));
}

dark.addEventListener("change", () => document.querySelectorAll('.plot[data-state="drawn"]').forEach(redraw));

function figureOf(number) {
  const [title, subtitle, description] = data.charts[number].words;
  const figure = document.createElement("figure");
  const caption = figure.appendChild(document.createElement("figcaption"));
  caption.appendChild(document.createElement("strong")).textContent = title;
  caption.append(document.createElement("br"), subtitle);
  const place = figure.appendChild(document.createElement("div"));
  place.className = "plot";
  place.dataset.chart = number;
  place.setAttribute("role", "img");
  place.setAttribute("aria-label", description);
  return figure;
}

function unfold(button) {
  const row = button.closest("tr");
  if (button.getAttribute("aria-expanded") === "true") return fold(button);
  const extra = document.createElement("tr");
  extra.className = "unfolded";
  const cell = extra.appendChild(document.createElement("td"));
  cell.colSpan = row.children.length;
  cell.append(figureOf(button.dataset.figure));
  row.after(extra);
  button.setAttribute("aria-expanded", "true");
  button.textContent = "close";
  draw(extra.querySelector(".plot")).then(() => extra.scrollIntoView({ block: "nearest" }));
}

function fold(button) {
  button.closest("tr").nextElementSibling.remove();
  button.setAttribute("aria-expanded", "false");
  button.textContent = "draw";
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("button.draw");
  if (button) unfold(button);
});

// --- Tables ---------------------------------------------------------------------------------------------------------
const words = new Intl.Collator("en", { numeric: true, sensitivity: "base" });

function keyOf(cell) {
  const key = cell.dataset.key ?? cell.textContent.trim();
  const number = key === "" ? NaN : Number(key);
  return { key, number };
}

function compare(a, b) {
  if (a.key === "" || b.key === "") return (a.key === "") - (b.key === "");
  return Number.isNaN(a.number) || Number.isNaN(b.number) ? words.compare(a.key, b.key) : a.number - b.number;
}

function sort(table, head) {
  table.querySelectorAll('.draw[aria-expanded="true"]').forEach(fold);
  const down = head.getAttribute("aria-sort") === "ascending";
  table.querySelectorAll("[aria-sort]").forEach((other) => other.removeAttribute("aria-sort"));
  head.setAttribute("aria-sort", down ? "descending" : "ascending");
  const body = table.tBodies[0];
  const rows = [...body.rows].map((row) => ({ row, ...keyOf(row.cells[head.cellIndex]) }));
  rows.sort((a, b) => (down && a.key !== "" && b.key !== "" ? compare(b, a) : compare(a, b)));
  body.append(...rows.map((one) => one.row));
}

function filter(grid, text) {
  const table = grid.querySelector("table");
  table.querySelectorAll('.draw[aria-expanded="true"]').forEach(fold);
  const wanted = text.toLocaleLowerCase().split(/\s+/).filter(Boolean);
  let left = 0;
  for (const row of table.tBodies[0].rows) {
    row.words ??= [...row.cells].map((cell) => cell.textContent).join(" ").toLocaleLowerCase();
    row.hidden = !wanted.every((word) => row.words.includes(word));
    left += !row.hidden;
  }
  grid.querySelector(".found").textContent = wanted.length ? `${left} of ${table.tBodies[0].rows.length} rows` : "";
}

for (const grid of document.querySelectorAll(".grid")) {
  const table = grid.querySelector("table");
  table.tHead.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (button) sort(table, button.closest("th"));
  });
  grid.querySelector(".filter input")?.addEventListener("input", (event) => filter(grid, event.target.value));
}

// A link into a folded or filtered table opens it.
function reveal() {
  const target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (!target) return;
  target.closest("details")?.setAttribute("open", "");
  target.hidden = false;
  target.scrollIntoView();
}
addEventListener("hashchange", reveal);
reveal();

// --- Paper ----------------------------------------------------------------------------------------------------------
// Charts near the top are drawn at once, the rest of the visible ones while nobody waits, so that a print shows them.
watch(document);
const idle = (run) => window.requestIdleCallback ? requestIdleCallback(run, { timeout: 50 }) : setTimeout(run, 200);
const waiting = [...document.querySelectorAll(".plot")].filter((place) => !place.closest("details:not([open])"));
(function next() {
  const place = waiting.shift();
  if (place) idle(() => draw(place).finally(next));
})();
