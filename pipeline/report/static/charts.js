// Charts that are drawn when they come into view, or where a row of a table unfolds. Nothing is fetched.
const data = JSON.parse(document.getElementById("chart-data").textContent);
const dark = matchMedia("(prefers-color-scheme: dark)");

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

// On paper two charts stand side by side; drawn for a wide screen and shrunk, their words would be too small to read.
const COLUMN = 340;

function resize(width) {
  document.querySelectorAll('.plot[data-state="drawn"]').forEach((place) => place.view.width(width ?? place.clientWidth).run());
}

addEventListener("beforeprint", () => resize(COLUMN));
addEventListener("afterprint", () => resize());

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
