// The cut of a picture, taken by its corners and its middle; rows and columns that keep the picture's shape.
const form = document.getElementById("reducing");
const over = document.getElementById("cut");
const status = document.getElementById("status");
const linked = document.getElementById("linked");
const fields = Object.fromEntries(
  ["left", "top", "width", "height", "rows", "columns"].map((name) => [name, form.elements[name]]),
);
const whole = { width: Number(over.dataset.width), height: Number(over.dataset.height) };
const LARGEST_SIDE = 200;

for (const part of document.querySelectorAll(".needs-script")) part.hidden = false;

const number = (field) => (/^\s*\d+\s*$/.test(field.value) ? Number(field.value) : null);
const clamp = (value, least, most) => Math.max(least, Math.min(most, Math.round(value)));

function read() {
  const cut = { left: number(fields.left), top: number(fields.top), width: number(fields.width), height: number(fields.height) };
  return Object.values(cut).includes(null) || !cut.width || !cut.height ? null : cut;
}

// --- drawn over the picture -----------------------------------------------------------------------------------

const frame = document.getElementById("cut-frame");
for (const handle of frame.querySelectorAll(".handle")) {
  const { part } = handle.dataset;
  handle.addEventListener("pointerdown", (event) => take(event, part));
  handle.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    const cut = read();
    if (!way || !cut) return;
    event.preventDefault();
    const far = event.shiftKey ? 10 : 1;
    write(moved(cut, part, way[0] * far, way[1] * far));
    const now = read();
    status.textContent = `From ${now.left}, ${now.top}: ${now.width} by ${now.height} pixels`;
  });
}

function draw() {
  const cut = read();
  frame.hidden = !cut;
  if (!cut) return;
  frame.style.left = `${(100 * cut.left) / whole.width}%`;
  frame.style.top = `${(100 * cut.top) / whole.height}%`;
  frame.style.width = `${(100 * cut.width) / whole.width}%`;
  frame.style.height = `${(100 * cut.height) / whole.height}%`;
}

// A cut with one of its corners, or all of it, moved by so many pixels, within the picture.
function moved(cut, part, right, down) {
  if (part === "move") {
    return { ...cut, left: clamp(cut.left + right, 0, whole.width - cut.width), top: clamp(cut.top + down, 0, whole.height - cut.height) };
  }
  let { left, top } = cut;
  let [end, foot] = [left + cut.width, top + cut.height];
  if (part.includes("left")) left = clamp(left + right, 0, end - 1);
  else end = clamp(end + right, left + 1, whole.width);
  if (part.includes("top")) top = clamp(top + down, 0, foot - 1);
  else foot = clamp(foot + down, top + 1, whole.height);
  return { left, top, width: end - left, height: foot - top };
}

function take(event, part) {
  const start = read();
  if (!start || event.button) return;
  const handle = event.currentTarget;
  handle.setPointerCapture(event.pointerId);
  const box = over.getBoundingClientRect();
  const go = (moving) =>
    write(moved(start, part, ((moving.clientX - event.clientX) / box.width) * whole.width, ((moving.clientY - event.clientY) / box.height) * whole.height));
  handle.addEventListener("pointermove", go);
  const end = () => handle.removeEventListener("pointermove", go);
  handle.addEventListener("pointerup", end, { once: true });
  handle.addEventListener("pointercancel", end, { once: true });
}

function write(cut) {
  for (const [name, value] of Object.entries(cut)) fields[name].value = value;
  keepShape();
  draw();
  fields.width.dispatchEvent(new Event("change", { bubbles: true }));
}

// --- rows and columns that keep the picture's shape -----------------------------------------------------------

// What the maker chose for the longer side: it stays while the cut changes its shape under the hand.
let longest = Math.max(number(fields.rows) ?? 1, number(fields.columns) ?? 1);

function keepShape(leading = null) {
  const cut = read();
  if (!linked.checked || !cut) return;
  if (!leading) {
    leading = cut.width >= cut.height ? "columns" : "rows";
    fields[leading].value = longest;
  }
  const lead = number(fields[leading]);
  if (!lead) return;
  if (leading === "columns") fields.rows.value = clamp((lead * cut.height) / cut.width, 1, LARGEST_SIDE);
  else fields.columns.value = clamp((lead * cut.width) / cut.height, 1, LARGEST_SIDE);
}

form.addEventListener("input", (event) => {
  const name = event.target.name;
  if (name === "rows" || name === "columns") {
    keepShape(name);
    longest = Math.max(number(fields.rows) ?? 1, number(fields.columns) ?? 1);
  } else if (name in fields) {
    keepShape();
    draw();
  }
});
linked.addEventListener("change", () => keepShape());
draw();
