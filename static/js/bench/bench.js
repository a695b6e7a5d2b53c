// The bench: what lies on it, the wood and the piece in hand, and every change as one step that can be taken back.
// Tells "touched" for a cell, "step" when the drawing has another step, "look" when only what is shown changed.
import { Grid } from "./grid.js";
import { History, Stroke, stepped, wholeStep } from "./history.js";
import { images } from "./shapes.js";

export class Bench extends EventTarget {
  constructor(grid, woods, looks, largest) {
    super();
    this.woods = woods;
    this.looks = looks;
    this.largest = largest;
    this.wood = woods.length ? 1 : 0;
    this.mirror = { across: false, down: false };
    this.copied = null;
    // At rest until what was drawn before is laid out, and while another tab draws on.
    this.isAtRest = true;
    this.onTouched = () => {};
    this.start(grid, new History());
  }

  // Lay another drawing with its history on the bench.
  start(grid, history) {
    this.grid = grid;
    this.history = history;
    this.stroke = null;
    this.shape = null;
    this.selected = null;
    this.inHand = null;
    this.cursor = [0, 0];
    this.tell("laid");
  }

  tell(kind, detail) {
    this.dispatchEvent(new CustomEvent(kind, { detail }));
  }

  look() {
    this.tell("look");
  }

  // Only what follows the hand is elsewhere: a shape being drawn, a piece in hand.
  follow() {
    this.tell("follow");
  }

  woodAt([row, column]) {
    return this.grid.cells[this.grid.at(row, column)];
  }

  nameOf(wood) {
    return wood ? this.looks[wood - 1].name : "background";
  }

  // -1 for a wood that is not on the bench.
  numberOf(id) {
    return id === null ? 0 : this.woods.indexOf(id) + 1 || -1;
  }

  // --- one step ---

  begin(words) {
    this.stroke = new Stroke(this.grid, words);
  }

  put([row, column], wood = this.wood) {
    if (!this.grid.holds(row, column)) return;
    const at = this.grid.at(row, column);
    if (this.stroke.put(at, wood)) this.onTouched(at);
  }

  putMirrored(cell, wood = this.wood) {
    if (!this.mirror.across && !this.mirror.down) return this.put(cell, wood);
    if (this.grid.holds(...cell)) for (const image of images(this.grid, cell, this.mirror)) this.put(image, wood);
  }

  end() {
    const step = this.stroke?.step() ?? null;
    this.stroke = null;
    if (step) this.add(step);
    return step;
  }

  cancel() {
    this.stroke?.undo((at) => this.onTouched(at));
    this.stroke = null;
    this.inHand = null;
    this.shape = null;
    this.look();
  }

  add(step) {
    this.history.add(step);
    this.tell("step", { step, changed: step });
  }

  // So many cells at once: [row, column, wood].
  apply(words, cells) {
    this.settle();
    this.begin(words);
    for (const [row, column, wood] of cells) this.put([row, column], wood);
    return this.end();
  }

  replace(words, grid) {
    this.settle();
    if (grid.isLike(this.grid)) return null;
    const step = wholeStep(words, this.grid, grid);
    this.lie(grid);
    this.add(step);
    return step;
  }

  lie(grid) {
    this.grid = grid;
    this.selected = null;
    this.cursor = [Math.min(this.cursor[0], grid.height - 1), Math.min(this.cursor[1], grid.width - 1)];
    this.tell("laid");
  }

  undo() {
    if (this.stroke) {
      this.cancel();
      return "what was being drawn";
    }
    return this.go(-1);
  }

  redo() {
    return this.stroke ? null : this.go(1);
  }

  // One step back or on; in which words, or null when there is none.
  go(way) {
    const { history } = this;
    const step = history.steps[way < 0 ? history.at - 1 : history.at];
    if (!step) return null;
    const grid = stepped(this.grid, step, way < 0, (at) => this.onTouched(at));
    history.at += way;
    if (grid !== this.grid) this.lie(grid);
    this.tell("step", { step: null, changed: step });
    return step.words;
  }

  // --- the piece in hand ---

  lift() {
    if (!this.selected || this.inHand) return;
    const { top, left, bottom, right } = this.selected;
    const grid = this.grid.part(top, left, bottom - top + 1, right - left + 1);
    this.begin("a piece moved");
    for (let r = top; r <= bottom; r++) for (let c = left; c <= right; c++) this.put([r, c], 0);
    this.inHand = { grid, top, left };
    this.selected = null;
    this.look();
  }

  copy() {
    if (this.inHand) this.copied = this.inHand.grid.copy();
    else if (this.selected) {
      const { top, left, bottom, right } = this.selected;
      this.copied = this.grid.part(top, left, bottom - top + 1, right - left + 1);
    } else return null;
    this.look();
    return this.copied;
  }

  paste() {
    if (!this.copied) return false;
    this.settle();
    this.begin("a copy laid");
    const grid = this.copied.copy();
    // At the cursor, yet inside the drawing where it fits.
    const top = Math.max(0, Math.min(this.cursor[0], this.grid.height - grid.height));
    const left = Math.max(0, Math.min(this.cursor[1], this.grid.width - grid.width));
    this.inHand = { grid, top, left };
    this.selected = null;
    this.look();
    return true;
  }

  // What is in hand is laid where it is held; nothing happens when there is nothing.
  settle() {
    if (this.inHand) {
      const { grid, top, left } = this.inHand;
      for (let r = 0; r < grid.height; r++) {
        for (let c = 0; c < grid.width; c++) {
          const wood = grid.cells[grid.at(r, c)];
          if (wood) this.put([top + r, left + c], wood);
        }
      }
      this.inHand = null;
      this.look();
    }
    this.shape = null;
    return this.stroke ? this.end() : null;
  }

  moveHand(row, column) {
    const { grid } = this.inHand;
    // A piece never leaves the bench wholly: one of its rows and columns stays over the drawing.
    this.inHand.top = Math.max(1 - grid.height, Math.min(this.grid.height - 1, row));
    this.inHand.left = Math.max(1 - grid.width, Math.min(this.grid.width - 1, column));
    this.follow();
  }

  // --- the whole drawing, or the piece in hand ---

  turn(over) {
    if (this.inHand) {
      this.inHand.grid = over ? this.inHand.grid.turnedOver() : this.inHand.grid.turned();
      this.look();
      return true;
    }
    return this.replace(over ? "turned over" : "turned a quarter", over ? this.grid.turnedOver() : this.grid.turned());
  }

  trim() {
    const { selected } = this;
    const box = selected
      ? { top: selected.top, left: selected.left, height: selected.bottom - selected.top + 1, width: selected.right - selected.left + 1 }
      : this.grid.box();
    return box && this.replace("trimmed", this.grid.part(box.top, box.left, box.height, box.width));
  }

  // So many rows or columns of background more on one side; null when it would be too large.
  grow(side, count) {
    const { height, width } = this.grid;
    const isRows = side === "top" || side === "bottom";
    if ((isRows ? height : width) + count > this.largest) return null;
    return this.replace(
      isRows ? "rows added" : "columns added",
      this.grid.part(side === "top" ? -count : 0, side === "left" ? -count : 0, height + (isRows ? count : 0), width + (isRows ? 0 : count)),
    );
  }

  text() {
    return this.grid.toText(this.woods);
  }

  // A drawing in hex whose woods are counted in another order than the bench counts them.
  gridOf(rows, woods) {
    const grid = Grid.ofHex(rows);
    grid.cells = grid.cells.map((wood) => (wood ? this.numberOf(woods[wood - 1]) : 0));
    grid.recount();
    return grid;
  }
}
