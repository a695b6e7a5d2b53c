// What a hand can do on the drawing, each a verb. A tool is started at a cell, dragged over others and finished; what
// it does is one step. With keys a press starts it and another finishes it, where one cell is not enough.
import { block, everyCellOf, frame, images, line, onGrid, region, span, stretchesOf } from "./shapes.js";

const tiles = (n) => (n === 1 ? "1 tile" : `${n} tiles`);

class Tool {
  constructor(bench) {
    this.bench = bench;
    this.from = null;
  }

  get isBegun() {
    return this.from !== null;
  }

  // What is said when a step was made.
  told(step) {
    if (!step) return "Nothing changed.";
    const name = this.bench.nameOf(this.bench.wood);
    return this.bench.wood ? `${tiles(step.places.length)} of ${name} laid.` : `${tiles(step.places.length)} taken off.`;
  }

  cancel() {
    this.from = null;
    this.bench.cancel();
  }
}

class Lay extends Tool {
  needsTwo = false;

  start(cell) {
    this.from = cell;
    this.bench.begin(this.bench.wood ? `${this.bench.nameOf(this.bench.wood)} laid` : "tiles taken off");
    this.bench.putMirrored(cell);
  }

  // Fast hands skip cells; what lies between is laid too.
  drag(cell) {
    if (cell[0] === this.from[0] && cell[1] === this.from[1]) return;
    for (const between of line(this.from, cell)) this.bench.putMirrored(between);
    this.from = cell;
  }

  finish() {
    this.from = null;
    return this.told(this.bench.end());
  }
}

class Shape extends Tool {
  needsTwo = true;

  constructor(bench, drawn, words) {
    super(bench);
    this.drawn = drawn;
    this.words = words;
  }

  start(cell) {
    this.from = this.to = cell;
    this.draw();
  }

  drag(cell) {
    this.to = cell;
    this.draw();
  }

  draw() {
    const { bench } = this;
    bench.shape = this.drawn(this.from, this.to).flatMap((stretch) => onGrid(bench.grid, stretch, bench.mirror));
    bench.follow();
  }

  finish() {
    const { bench } = this;
    const cells = (bench.shape ?? []).flatMap(([r, first, last]) => Array.from({ length: last - first + 1 }, (_, i) => [r, first + i, bench.wood]));
    bench.shape = null;
    this.from = null;
    const step = bench.apply(`${this.words} of ${bench.nameOf(bench.wood)}`, cells);
    bench.look();
    return this.told(step);
  }
}

// What is done at one cell, at once.
class Touch extends Tool {
  needsTwo = false;

  constructor(bench, act) {
    super(bench);
    this.act = act;
  }

  start(cell) {
    this.from = cell;
  }

  drag(cell) {
    this.from = cell;
  }

  finish() {
    const cell = this.from;
    this.from = null;
    return this.bench.grid.holds(...cell) ? this.act(this.bench, cell, (step) => this.told(step)) : "";
  }
}

function fill(bench, cell, told) {
  const cells = images(bench.grid, cell, bench.mirror).flatMap((image) => region(bench.grid, image));
  return told(bench.apply(`filled with ${bench.nameOf(bench.wood)}`, cells.map(([r, c]) => [r, c, bench.wood])));
}

function swap(bench, cell, told) {
  const [old, now] = [bench.woodAt(cell), bench.wood];
  const cells = everyCellOf(bench.grid, old).map(([r, c]) => [r, c, now]);
  const step = bench.apply(`${bench.nameOf(old)} swapped for ${bench.nameOf(now)}`, cells);
  return step ? `All ${bench.nameOf(old)} is now ${bench.nameOf(now)}: ${tiles(step.places.length)}.` : told(null);
}

function pick(bench, cell) {
  bench.wood = bench.woodAt(cell);
  bench.look();
  return `${bench.nameOf(bench.wood)} picked up.`;
}

class Lift extends Tool {
  needsTwo = true;

  start(cell) {
    const { bench } = this;
    this.from = cell;
    if (!bench.inHand && bench.selected && holds(bench.selected, cell)) bench.lift();
    if (!bench.inHand) return this.drag(cell);
    const { grid, top, left } = bench.inHand;
    // Touched elsewhere, the piece comes to the finger; touched itself, it is held where it is touched.
    const isTouched = holds(boxOf(bench.inHand), cell);
    this.grip = isTouched ? [cell[0] - top, cell[1] - left] : [grid.height >> 1, grid.width >> 1];
    this.drag(cell);
  }

  drag(cell) {
    const { bench } = this;
    if (bench.inHand) return bench.moveHand(cell[0] - this.grip[0], cell[1] - this.grip[1]);
    const held = ([r, c]) => [Math.max(0, Math.min(bench.grid.height - 1, r)), Math.max(0, Math.min(bench.grid.width - 1, c))];
    bench.selected = span(held(this.from), held(cell));
    bench.look();
  }

  finish() {
    const { bench } = this;
    this.from = null;
    if (bench.inHand) return "A piece is in hand. Lay it, or put it back.";
    const { top, left, bottom, right } = bench.selected;
    return `Rows ${top + 1} to ${bottom + 1}, columns ${left + 1} to ${right + 1} marked.`;
  }

  cancel() {
    if (!this.isBegun && !this.bench.inHand) this.bench.selected = null;
    super.cancel();
  }
}

const holds = (box, [r, c]) => r >= box.top && r <= box.bottom && c >= box.left && c <= box.right;

const boxOf = ({ grid, top, left }) => ({ top, left, bottom: top + grid.height - 1, right: left + grid.width - 1 });

export function makeTools(bench) {
  return {
    lay: new Lay(bench),
    line: new Shape(bench, (one, other) => stretchesOf(line(one, other)), "a line"),
    frame: new Shape(bench, frame, "a frame"),
    block: new Shape(bench, block, "a block"),
    fill: new Touch(bench, fill),
    swap: new Touch(bench, swap),
    pick: new Touch(bench, pick),
    lift: new Lift(bench),
  };
}
