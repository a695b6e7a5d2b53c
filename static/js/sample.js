// Card and wood tapped in a photo: a tap or the arrow keys set the numbers of the form, and the form asks for the
// colour. Without this module the photo is tapped as the button of a form, or the numbers are written.

const stage = document.getElementById("stage");
const picture = stage.querySelector("img");
const marks = { card: stage.querySelector('[data-mark="card"]'), wood: stage.querySelector('[data-mark="wood"]') };
const fields = (name) => ["x", "y"].map((way) => document.getElementById(`id_${name}_${way}`));
const size = [Number(stage.dataset.width), Number(stage.dataset.height)];
const START = { card: [0.25, 0.5], wood: [0.75, 0.5] };
const called = { card: "Card", wood: "Wood" };

function placeOf(name) {
  const typed = fields(name).map((field) => (field.value.trim() === "" ? NaN : Number(field.value)));
  return typed.every((value, i) => value >= 0 && value <= size[i]) ? typed : null;
}

function draw() {
  for (const [name, mark] of Object.entries(marks)) {
    const place = placeOf(name);
    const [x, y] = place ?? size.map((side, i) => side * START[name][i]);
    mark.toggleAttribute("data-unset", !place);
    mark.style.left = `${(x / size[0]) * 100}%`;
    mark.style.top = `${(y / size[1]) * 100}%`;
    const wide = (2 * Number(stage.dataset.radius) * picture.clientWidth) / size[0];
    const ring = mark.querySelector(".sample-ring");
    if (wide) ring.style.width = ring.style.height = `${Math.max(wide, 10)}px`;
    const from = `${Math.round((x / size[0]) * 100)} % from the left, ${Math.round((y / size[1]) * 100)} % from the top`;
    mark.setAttribute("aria-label", place ? `${called[name]}, ${from}` : `${called[name]}, not set yet`);
  }
}

function put(name, x, y) {
  const held = [x, y].map((value, i) => Math.min(size[i], Math.max(0, Math.round(value))));
  fields(name).forEach((field, i) => (field.value = held[i]));
  draw();
  document.getElementById("status").textContent = marks[name].getAttribute("aria-label");
  fields(name)[0].dispatchEvent(new Event("change", { bubbles: true }));
}

const turn = () => stage.querySelector('input[name="turn"]:checked').value;

picture.addEventListener("click", (event) => {
  const box = picture.getBoundingClientRect();
  const name = turn();
  put(name, ((event.clientX - box.left) / box.width) * size[0], ((event.clientY - box.top) / box.height) * size[1]);
  if (name === "card" && !placeOf("wood")) stage.querySelector('input[name="turn"][value="wood"]').checked = true;
});

const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
for (const [name, mark] of Object.entries(marks)) {
  mark.addEventListener("keydown", (event) => {
    const way = WAYS[event.key];
    if (!way || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    const step = Math.max(size[0], size[1]) * (event.shiftKey ? 0.05 : 0.01);
    const [x, y] = placeOf(name) ?? size.map((side, i) => side * START[name][i]);
    put(name, x + way[0] * step, y + way[1] * step);
  });
  // Pressed without moving, a ring is set where it stands; and a tap on a ring is meant for what lies under it.
  mark.addEventListener("click", (event) => {
    if (event.detail === 0) put(name, ...(placeOf(name) ?? size.map((side, i) => side * START[name][i])));
    else picture.dispatchEvent(new MouseEvent("click", { clientX: event.clientX, clientY: event.clientY }));
  });
}

for (const name of Object.keys(marks)) for (const field of fields(name)) field.addEventListener("input", draw);
picture.addEventListener("load", draw);
window.addEventListener("resize", draw);
stage.hidden = false;
draw();
