// Everything a button or a key does at the bench, and what the page shows of the hand: the verb, the wood, the mirrors,
// where the cursor is and what lies there.

const VERBS = {
  lay: "Draw over the rows; the plank chosen below is laid.",
  line: "From one tile to another, straight.",
  frame: "From corner to corner, the outline only.",
  block: "From corner to corner, filled.",
  fill: "A tile and every tile like it that touches it becomes the plank chosen below.",
  swap: "Every tile of the wood you touch becomes the plank chosen below, wherever it lies.",
  pick: "The wood you touch is the one you lay next.",
  lift: "Mark a part, corner to corner, then touch it and take it elsewhere. It stays in hand until you lay it.",
  look: "Drag to move what is in sight; touch to bring a place to the middle, closer. Nothing is laid.",
};
const CLOSER = 1.4;

export function doings({ bench, hand, surface, say }) {
  const find = (id) => document.getElementById(id);
  const now = find("bench-now");
  const sheet = surface.place;

  const spoken = () => {
    const [row, column] = bench.cursor;
    return `row ${row + 1}, column ${column + 1}, ${bench.nameOf(bench.woodAt(bench.cursor))}`;
  };

  const told = (isCarrying) => {
    const { inHand } = bench;
    say(isCarrying ? `In hand at row ${inHand.top + 1}, column ${inHand.left + 1}` : spoken());
    showPlace();
  };

  const after = (words, none) => say(words ? words : none);
  // Letting go of what was only begun comes before taking back what was done.
  const back = () => {
    if (hand.isBusy) hand.cancel();
    else return bench.undo();
    return "what was begun";
  };
  const resting = (act) => (...given) => {
    if (!bench.isAtRest) act(...given);
    return true;
  };

  const does = {
    told,
    undo: resting(() => {
      const words = back();
      after(words && `Taken back: ${words}.`, "There is nothing to take back.");
    }),
    redo: resting(() => {
      const words = bench.redo();
      after(words && `Done again: ${words}.`, "There is nothing to do again.");
    }),
    closer() { surface.closer(CLOSER, ...centre()); return true; },
    further() { surface.closer(1 / CLOSER, ...centre()); return true; },
    whole() { surface.fit(); return true; },
    help() {
      const keys = [...document.querySelectorAll(".bench-more")].at(-1);
      keys.open = true;
      keys.querySelector("summary").focus();
      return true;
    },
    begun() { say("Begun here. Touch the other end, or go there and press again."); },
    lay: resting(() => { bench.settle(); say("Laid."); sheet.focus({ preventScroll: true }); }),
    lift: resting(() => { bench.lift(); say("In hand. Move it with the arrows, lay it with Enter."); }),
    back: resting(() => { bench.cancel(); say("Put back."); sheet.focus({ preventScroll: true }); }),
    cancel() { hand.cancel(); say("Let go."); return true; },
    copy: resting(() => after(bench.copy() && "Copied.", "Mark a part first: Lift and move, then drag across it.")),
    cut: resting(() => {
      if (!bench.selected) return say("Mark a part first.");
      bench.copy();
      takeOff();
    }),
    paste: resting(() => {
      if (!bench.copied) return say("Nothing is copied yet.");
      choose("lift");
      bench.paste();
      say("The copy is in hand. Move it and lay it.");
    }),
    markAll: resting(() => {
      choose("lift");
      bench.selected = { top: 0, left: 0, bottom: bench.grid.height - 1, right: bench.grid.width - 1 };
      bench.look();
      say("The whole drawing is marked.");
    }),
    takeOff: resting(() => takeOff()),
    turn: resting(() => { bench.turn(false); say(size("Turned a quarter")); }),
    over: resting(() => { after(bench.turn(true) && "Turned over, left for right.", "It is the same both ways round."); }),
    trim: resting(() => { after(bench.trim() && size("Trimmed"), "There is nothing to trim away."); }),
    verb(name) { choose(name); say(labelOf(name)); return true; },
    wood(number) {
      if (number > bench.woods.length) return false;
      bench.wood = number;
      bench.look();
      say(bench.nameOf(number));
      return true;
    },
    mirror(which) {
      bench.mirror[which] = !bench.mirror[which];
      bench.look();
      say(`Mirror ${which === "across" ? "left and right" : "top and bottom"} ${bench.mirror[which] ? "on" : "off"}.`);
      return true;
    },
  };

  const size = (words) => `${words}: ${bench.grid.height} rows of ${bench.grid.width}.`;
  const radioOf = (name) => document.querySelector(`input[name="verb"][value="${name}"]`);
  const labelOf = (name) => radioOf(name).closest("label").querySelector("span").textContent;
  const centre = () => {
    const { view } = surface;
    const [row, column] = bench.cursor;
    const [x, y] = [view.x(column + 0.5), view.y(row + 0.5)];
    return x > 0 && y > 0 && x < view.wide && y < view.high ? [x, y] : [view.wide / 2, view.high / 2];
  };

  function takeOff() {
    if (bench.inHand) return bench.cancel();
    const [row, column] = bench.cursor;
    const { top, left, bottom, right } = bench.selected ?? { top: row, bottom: row, left: column, right: column };
    const cells = [];
    for (let r = top; r <= bottom; r++) for (let c = left; c <= right; c++) cells.push([r, c, 0]);
    const step = bench.apply("tiles taken off", cells);
    say(step ? `${step.places.length} taken off.` : "Nothing changed.");
  }

  function choose(name) {
    hand.choose(name);
    showHand();
  }

  function showHand() {
    const radio = radioOf(hand.verb);
    if (!radio.checked) radio.checked = true;
    const needsNoWood = ["pick", "lift", "look"].includes(hand.verb);
    find("bench-hand").textContent = labelOf(hand.verb) + (needsNoWood ? "" : `: ${bench.nameOf(bench.wood)}`);
    find("bench-verb").textContent = VERBS[hand.verb];
    for (const box of document.querySelectorAll("[data-mirror]")) box.checked = bench.mirror[box.dataset.mirror];
    for (const part of document.querySelectorAll("[data-when='in-hand']")) part.hidden = !bench.inHand;
    const { history } = bench;
    const idle = {
      undo: !history.at && !bench.stroke && !hand.isBusy,
      redo: history.at === history.steps.length,
      paste: !bench.copied,
    };
    for (const [name, isIdle] of Object.entries(idle)) {
      document.querySelector(`[data-do="${name}"]`).setAttribute("aria-disabled", String(isIdle || bench.isAtRest));
    }
    sheet.toggleAttribute("data-resting", bench.isAtRest);
  }

  function showPlace() {
    if (bench.inHand) {
      const { grid, top, left } = bench.inHand;
      now.textContent = `In hand: ${grid.height} rows of ${grid.width}, at row ${top + 1}, column ${left + 1}`;
      return;
    }
    const [row, column] = bench.cursor;
    const [first, last] = bench.grid.runAt(row, column);
    const wood = bench.woodAt(bench.cursor);
    const long = wood ? (last > first ? `, a piece of ${last - first + 1} tiles` : ", a single tile") : "";
    now.textContent = `Row ${row + 1}, column ${column + 1}: ${bench.nameOf(wood)}${long}`;
  }

  function showSize() {
    sheet.setAttribute("aria-label", `The drawing, ${bench.grid.height} rows of ${bench.grid.width}`);
    const { grid } = bench;
    find("bench-tiles").textContent = `${grid.cells.length - grid.counts[0]} tiles`;
    find("bench-runs").textContent = `in ${grid.runs} pieces, ${grid.height} rows of ${grid.width}`;
  }

  document.querySelector(".verbs").addEventListener("change", (event) => choose(event.target.value));
  document.querySelector(".mirrors").addEventListener("change", (event) => {
    bench.mirror[event.target.dataset.mirror] = event.target.checked;
    bench.look();
  });
  for (const button of document.querySelectorAll("[data-do]")) button.addEventListener("click", () => does[button.dataset.do]());
  find("bench-grow").addEventListener("submit", (event) => {
    event.preventDefault();
    event.stopPropagation();
    const count = Number(find("bench-grow-count").value);
    const error = find("bench-grow-error");
    error.textContent = "";
    if (!Number.isInteger(count) || count < 1) error.textContent = "Write how many, at least 1.";
    else if (bench.isAtRest) return;
    else if (!bench.grow(find("bench-grow-side").value, count)) error.textContent = `No side of a drawing is longer than ${bench.largest} tiles. Add fewer.`;
    else say(size("Added"));
    if (error.textContent) say(error.textContent);
  });

  // Words under the drawing wait until the hand rests: no stroke pays for them.
  bench.addEventListener("counted", showSize);
  let waiting = 0;
  const show = () => {
    waiting ||= setTimeout(() => { waiting = 0; showHand(); showPlace(); showSize(); }, 60);
  };
  sheet.addEventListener("painted", () => { if (!bench.stroke || bench.inHand) show(); });
  return { does, show };
}
