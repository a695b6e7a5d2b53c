// The three sheets the drawing is made of, kept at the size of their place and painted once a frame.
import { Notes } from "./notes.js";
import { Painter } from "./painter.js";
import { View } from "./view.js";

// Sharper than this no eye asks for, and a phone's battery does.
const DENSEST = 2;

export class Surface {
  constructor(place, bench) {
    this.place = place;
    this.bench = bench;
    const [wood, still, moving] = place.querySelectorAll("canvas");
    this.view = new View();
    this.painter = new Painter(wood, this.view);
    this.notes = new Notes(still, moving, this.view);
    this.isStillDue = true;
    this.isWaiting = false;
    this.wasLaying = false;
    this.isByKeys = false;
    bench.onTouched = (at) => this.painter.touch(at);
    bench.addEventListener("laid", () => this.hold());
    bench.addEventListener("look", () => this.noteAnew());
    bench.addEventListener("follow", () => this.soon());
    bench.addEventListener("step", () => this.noteAnew());
    new ResizeObserver(() => this.resize()).observe(place);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.resize());
    // The numbers wait for the page's own font.
    document.fonts?.ready.then(() => this.resize());
    this.hold();
  }

  hold() {
    this.view.hold(this.bench.grid);
    this.painter.looks = this.bench.looks;
    this.painter.hold(this.bench.grid);
    this.noteAnew();
  }

  resize() {
    this.view.resize(this.place.clientWidth, this.place.clientHeight, Math.min(DENSEST, window.devicePixelRatio || 1));
    this.painter.size();
    this.notes.size();
    this.noteAnew();
  }

  noteAnew() {
    this.isStillDue = true;
    this.soon();
  }

  soon() {
    if (this.isWaiting) return;
    this.isWaiting = true;
    requestAnimationFrame(() => this.paint());
  }

  paint() {
    this.isWaiting = false;
    if (!this.view.wide) return;
    const { bench } = this;
    this.painter.paint();
    if (this.isStillDue) {
      this.notes.paintStill(bench);
      this.isStillDue = false;
    }
    // While tiles are laid the hand itself is the cursor, and the sheet above the wood lies still.
    const isLaying = Boolean(bench.stroke) && !bench.inHand && !this.isByKeys;
    if (!isLaying || !this.wasLaying) this.notes.paintMoving({
      cursor: isLaying ? null : bench.cursor, isFocused: document.activeElement === this.place,
      inHand: bench.inHand, shape: bench.shape, wood: bench.wood, looks: bench.looks,
    });
    this.wasLaying = isLaying;
    this.place.dispatchEvent(new CustomEvent("painted"));
  }

  moved() {
    this.painter.isWhole = true;
    this.noteAnew();
  }

  fit() {
    this.view.fit();
    this.moved();
  }

  closer(times, x = this.view.wide / 2, y = this.view.high / 2) {
    this.view.closer(times, x, y);
    this.moved();
  }

  moveBy(right, down) {
    this.view.move(right, down);
    this.moved();
  }

  show([row, column]) {
    if (this.view.show(row, column)) this.moved();
    else this.soon();
  }

  // From a point on the page to device pixels of the drawing. offset is asked for once a gesture, not once a move.
  point(event, corner) {
    return [(event.clientX - corner.left) * this.view.dense, (event.clientY - corner.top) * this.view.dense];
  }

  // The middle of a cell on the page, for whoever measures or tries the bench from outside.
  middleOf(row, column) {
    const corner = this.place.getBoundingClientRect();
    const { view } = this;
    return [
      corner.left + (view.x(column) + view.x(column + 1)) / 2 / view.dense,
      corner.top + (view.y(row) + view.y(row + 1)) / 2 / view.dense,
    ];
  }
}
