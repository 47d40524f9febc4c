// Tables that sort and filter. Rows beyond the first are packed as JSON (packing.py) and built before anyone needs them.
function buildRow(pack, at) {
  const row = document.createElement("tr");
  if (pack.ids[at]) row.id = pack.ids[at];
  pack.columns.forEach((column, place) => row.append(buildCell(column, at, place === 0)));
  if (pack.figures.length) row.insertCell().append(...drawButton(pack.figures[at]));
  return row;
}

function buildCell(column, at, first) {
  const cell = document.createElement(first ? "th" : "td");
  if (first) cell.scope = "row";
  else if (column.style) cell.className = column.style;
  if (column.keys && !first) cell.dataset.key = column.keys[at];
  let holder = cell;
  if (column.links?.[at]) {
    holder = cell.appendChild(document.createElement("a"));
    holder.className = "record";
    holder.href = `#record-${column.links[at]}`;
  }
  const words = column.words[column.at ? column.at[at] : at];
  if (column.html) holder.innerHTML = words; // the page's own marks, every value in them escaped
  else holder.textContent = words;
  return cell;
}

function drawButton(figure) {
  if (figure === null) return [];
  const button = document.createElement("button");
  button.type = "button";
  button.className = "draw";
  button.dataset.figure = figure;
  button.setAttribute("aria-expanded", "false");
  button.textContent = "draw";
  return [button];
}

function complete(grid) {
  const source = grid.querySelector("script.rows");
  if (!source) return;
  const pack = JSON.parse(source.textContent);
  source.remove();
  grid.querySelector("tbody").append(...Array.from({ length: pack.rows }, (_, at) => buildRow(pack, at)));
}

// The element of an id, which may be a row that waits to be built.
function placeOf(id) {
  const waiting = [...document.querySelectorAll("script.rows")];
  for (const source of waiting.filter((one) => one.textContent.includes(JSON.stringify(id)))) {
    if (document.getElementById(id)) break;
    complete(source.closest(".grid"));
  }
  return document.getElementById(id);
}

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
  complete(table.closest(".grid"));
  const rows = [...body.rows].map((row) => ({ row, ...keyOf(row.cells[head.cellIndex]) }));
  rows.sort((a, b) => (down && a.key !== "" && b.key !== "" ? compare(b, a) : compare(a, b)));
  body.append(...rows.map((one) => one.row));
}

function filter(grid, text) {
  const table = grid.querySelector("table");
  complete(grid);
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

// What the columns mean: told by a pointer that rests on a heading, and here to whoever has none.
function explain(grid) {
  const heads = [...grid.querySelectorAll("thead th")].filter((head) => head.title);
  if (!heads.length || grid.closest(".card")) return;
  const fold = grid.appendChild(document.createElement("details"));
  fold.className = "meanings";
  fold.appendChild(document.createElement("summary")).textContent = "What the columns mean";
  const list = fold.appendChild(document.createElement("dl"));
  for (const head of heads) {
    const line = list.appendChild(document.createElement("div"));
    line.appendChild(document.createElement("dt")).textContent = head.textContent.trim();
    line.appendChild(document.createElement("dd")).textContent = head.title;
  }
}

for (const grid of document.querySelectorAll(".grid")) {
  explain(grid);
  const table = grid.querySelector("table");
  table.tHead.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (button) sort(table, button.closest("th"));
  });
  grid.querySelector(".filter input")?.addEventListener("input", (event) => filter(grid, event.target.value));
}

// Where a name stands in the book: told by the row it leads to.
function tellRecord(event) {
  const link = event.target.closest?.("a.record:not([title])");
  const row = link && placeOf(link.hash.slice(1));
  if (row) link.title = [...row.cells].map((cell) => cell.textContent).join(" · ");
}
document.addEventListener("pointerover", tellRecord);
document.addEventListener("focusin", tellRecord);
