// The grid over its picture, corrected without a page in between: what is pressed is asked for at once, the newest
// answer wins, and the address follows, so that loading the page again loses nothing.
import { Viewport } from "./viewport.js";

const page = document.querySelector(".confirm");
const status = document.getElementById("status");
const trouble = document.getElementById("trouble-now");
const squares = document.getElementById("squares");
const cells = document.getElementById("cells");
const brought = document.getElementById("brought");
const lattice = document.getElementById("lattice");
const hatch = document.getElementById("hatch");
const by = document.getElementById("by");
const part = document.getElementById("part");
let now = JSON.parse(document.getElementById("grid-now").textContent);
let cursor = null;

for (const tool of document.querySelectorAll(".needs-script")) tool.hidden = false;

// --- asking for corrections -----------------------------------------------------------------------------------

const base = document.querySelector("#corrections [name=base]").value;
let waiting = [];
let asking = false;

const address = (path, steps) => `${path}?${new URLSearchParams([["base", base], ["steps", now.steps], ...steps.map((step) => ["step", step])])}`;

async function correct(step) {
  waiting.push(step);
  if (asking) return;
  asking = true;
  page.setAttribute("aria-busy", "true");
  try {
    while (waiting.length) {
      // What was pressed while the last answer was on its way goes together.
      const steps = waiting.splice(0, 100);
      const answer = await fetch(address(page.dataset.live, steps), { headers: { "X-Requested-With": "fetch" } });
      if (answer.redirected || !answer.ok) throw new Error(answer.redirected ? "signed out" : "refused");
      show(await answer.json());
    }
  } catch (error) {
    waiting = [];
    say(
      error.message === "signed out"
        ? "You were signed out. Sign in again in another window; your corrections stay here."
        : "The workshop’s machine could not be reached. Your corrections so far stay; press once more.",
    );
  } finally {
    asking = false;
    page.removeAttribute("aria-busy");
  }
}

function say(words) {
  trouble.textContent = words;
  trouble.hidden = !words;
}

function show(answer) {
  now = answer;
  for (const field of document.querySelectorAll("[name=steps]")) field.value = now.steps;
  history.replaceState(null, "", address(location.pathname, []));
  for (const name of ["frame", "lines", "tens", "veil"]) {
    for (const path of lattice.querySelectorAll(`path.${name}`)) path.setAttribute("d", now[name]);
  }
  lattice.querySelector(".hatch").setAttribute("d", now.veil);
  cells.src = now.cells;
  cells.width = now.columns;
  cells.height = now.rows;
  brought.alt = `The picture as it was brought, with ${now.size} laid over it`;
  for (const name of ["size", "background", "changes"]) document.getElementById(name).textContent = now[name];
  document.querySelector("#keep button").textContent = now.untouched ? "The grid is right" : "Keep this grid";
  say(now.trouble);
  if (cursor) place(cursor.row, cursor.column, false);
  view.settle();
  status.textContent = now.trouble || `${now.size}. ${now.background} ${now.changes}`;
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("button[name=step]");
  if (!button || button.value === "tap") return;
  event.preventDefault();
  correct(["left", "right", "up", "down"].includes(button.value) ? `${button.value}:${by.value}:${part.value}` : button.value);
});

document.addEventListener("keydown", (event) => {
  if (event.key.toLowerCase() !== "z" || !(event.ctrlKey || event.metaKey) || event.shiftKey || event.target.matches("input")) return;
  event.preventDefault();
  correct("undo");
});

document.querySelector(".by-number-fields").addEventListener("submit", (event) => {
  const [row, column] = ["row", "column"].map((name) => document.getElementById(name).value.trim());
  // What is no number is answered in words by the page itself.
  if (!/^\d{1,3}$/.test(row) || !/^\d{1,3}$/.test(column) || row === "0" || column === "0") return;
  event.preventDefault();
  correct(`x${row - 1}.${column - 1}`);
});

document.getElementById("nudge")?.addEventListener("keydown", (event) => {
  const way = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down" }[event.key];
  if (!way || event.target.matches("select") || event.altKey || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  correct(`${way}:${event.shiftKey ? "quarter" : by.value}:${part.value}`);
});

// --- the picture: looked at closely, tapped -------------------------------------------------------------------

const view = new Viewport(document.getElementById("view"), document.getElementById("sheet"), {
  onZoom: (scale, words) => {
    document.getElementById("zoomed").textContent = words;
    // Lines closer together than the eye can part them would only hide the picture.
    lattice.classList.toggle("dense", now.pitch * scale < 5);
    hatch.setAttribute("patternTransform", `scale(${1 / scale})`);
  },
  onTap: (x, y) => {
    const cell = cellAt(x, y);
    if (cell) correct(`x${cell.row}.${cell.column}`);
  },
});
for (const button of document.querySelectorAll("[data-zoom]")) {
  button.addEventListener("click", () => view.zoom(button.dataset.zoom));
}

// The cell under a place of the picture, by the inverse of the map from the unit square to the grid's corners.
function cellAt(x, y) {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = now.corners;
  const sx = x0 - x1 + x2 - x3, sy = y0 - y1 + y2 - y3;
  const dx1 = x1 - x2, dx2 = x3 - x2, dy1 = y1 - y2, dy2 = y3 - y2;
  const det = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / det, h = (dx1 * sy - sx * dy1) / det;
  const a = x1 - x0 + g * x1, b = x3 - x0 + h * x3, c = x0;
  const d = y1 - y0 + g * y1, e = y3 - y0 + h * y3, f = y0;
  const u = (e - f * h) * x + (c * h - b) * y + (b * f - c * e);
  const v = (f * g - d) * x + (a - c * g) * y + (c * d - a * f);
  const w = (d * h - e * g) * x + (b * g - a * h) * y + (a * e - b * d);
  const column = Math.floor((u / w) * now.columns), row = Math.floor((v / w) * now.rows);
  return row >= 0 && row < now.rows && column >= 0 && column < now.columns ? { row, column } : null;
}

// --- the squares: one stop of the Tab key, walked with the arrow keys -----------------------------------------

squares.tabIndex = 0;
squares.setAttribute("role", "application");
squares.setAttribute("aria-roledescription", "grid of squares");
squares.setAttribute("aria-label", "The squares: arrow keys walk, Space makes background or brings back");
const mark = document.getElementById("cursor");

function place(row, column, aloud = true) {
  cursor = { row: Math.max(0, Math.min(now.rows - 1, row)), column: Math.max(0, Math.min(now.columns - 1, column)) };
  mark.hidden = false;
  mark.style.left = `${(cursor.column / now.columns) * 100}%`;
  mark.style.top = `${(cursor.row / now.rows) * 100}%`;
  mark.style.width = `${100 / now.columns}%`;
  mark.style.height = `${100 / now.rows}%`;
  if (aloud) {
    const state = now.filled[cursor.row][cursor.column] === "1" ? "kept" : "background";
    status.textContent = `Row ${cursor.row + 1} of ${now.rows}, column ${cursor.column + 1} of ${now.columns}: ${state}`;
  }
}

squares.addEventListener("focus", () => place(cursor?.row ?? 0, cursor?.column ?? 0));
squares.addEventListener("blur", () => (mark.hidden = true));
squares.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  const { row, column } = cursor ?? { row: 0, column: 0 };
  const far = event.shiftKey ? 10 : 1;
  const to = {
    ArrowLeft: [row, column - far],
    ArrowRight: [row, column + far],
    ArrowUp: [row - far, column],
    ArrowDown: [row + far, column],
    Home: [row, 0],
    End: [row, now.columns - 1],
  }[event.key];
  if (to) place(...to);
  else if (event.key === " " || event.key === "Enter") correct(`x${row}.${column}`);
  else return;
  event.preventDefault();
});
cells.addEventListener("click", (event) => {
  const box = cells.getBoundingClientRect();
  const column = Math.floor(((event.clientX - box.left) / box.width) * now.columns);
  const row = Math.floor(((event.clientY - box.top) / box.height) * now.rows);
  squares.focus({ preventScroll: true });
  place(row, column, false);
  correct(`x${cursor.row}.${cursor.column}`);
});
