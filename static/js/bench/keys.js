// The drawing by keys: one stop of the Tab key, a cursor that moves, and every verb on a letter. Letters count only
// while the drawing has the focus; undo and redo everywhere but in a field.

const FAR = 10;
const LETTERS = { l: "lay", d: "line", f: "frame", b: "block", i: "fill", s: "swap", p: "pick", m: "lift", k: "look" };

const WRITTEN_IN = "input:not([type=radio], [type=checkbox]), textarea, select";

export class Keys {
  constructor(surface, bench, hand, does) {
    this.surface = surface;
    this.bench = bench;
    this.hand = hand;
    this.does = does;
    this.isLaying = false;
    const place = surface.place;
    place.addEventListener("keydown", (event) => this.press(event));
    place.addEventListener("keyup", (event) => event.key === "Shift" && this.rest());
    place.addEventListener("focus", () => {
      surface.soon();
      // Whoever came by the Tab key is told where they are.
      if (place.matches(":focus-visible")) does.told(Boolean(bench.inHand));
    });
    place.addEventListener("blur", () => { this.rest(); surface.soon(); });
    document.addEventListener("keydown", (event) => this.anywhere(event));
  }

  // A stroke laid with Shift held ends when it is let go.
  rest() {
    if (this.isLaying) this.hand.finish();
    this.isLaying = false;
  }

  anywhere(event) {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.target.matches(WRITTEN_IN)) return;
    const key = event.key.toLowerCase();
    if (key !== "z" && key !== "y") return;
    event.preventDefault();
    if (key === "y" || event.shiftKey) this.does.redo();
    else this.does.undo();
  }

  press(event) {
    this.surface.isByKeys = true;
    const done = event.ctrlKey || event.metaKey ? this.pressControl(event) : !event.altKey && this.pressPlain(event);
    if (done) event.preventDefault();
  }

  pressControl(event) {
    const { grid } = this.bench;
    switch (event.key.toLowerCase()) {
      case "home": return this.go([0, 0], event);
      case "end": return this.go([grid.height - 1, grid.width - 1], event);
      case "a": return this.does.markAll();
      case "c": return this.does.copy();
      case "x": return this.does.cut();
      case "v": return this.does.paste();
      default: return false;
    }
  }

  pressPlain(event) {
    const [row, column] = this.bench.cursor;
    const { height, width } = this.bench.grid;
    switch (event.key) {
      case "ArrowUp": return this.go([row - 1, column], event);
      case "ArrowDown": return this.go([row + 1, column], event);
      case "ArrowLeft": return this.go([row, column - 1], event);
      case "ArrowRight": return this.go([row, column + 1], event);
      case "Home": return this.go([row, 0], event);
      case "End": return this.go([row, width - 1], event);
      case "PageUp": return this.go([Math.max(0, row - FAR), column], event);
      case "PageDown": return this.go([Math.min(height - 1, row + FAR), column], event);
      case "Enter":
      case " ": return this.act();
      case "Backspace":
      case "Delete": return this.does.takeOff();
      case "Escape": return this.does.cancel();
      case "+":
      case "=": return this.does.closer();
      case "-": return this.does.further();
      case ".": return this.does.whole();
      case "?": return this.does.help();
      default: return this.letter(event.key.toLowerCase());
    }
  }

  letter(key) {
    if (/^[0-9]$/.test(key)) return this.does.wood(Number(key));
    if (key === "h") return this.does.mirror("across");
    if (key === "v") return this.does.mirror("down");
    if (key === "t") return this.does.turn();
    return LETTERS[key] ? this.does.verb(LETTERS[key]) : false;
  }

  act() {
    const { bench, hand } = this;
    this.rest();
    if (bench.isAtRest) return true;
    if (bench.inHand) this.does.lay();
    else if (hand.verb === "lift" && !hand.isBusy && bench.selected) this.does.lift();
    else if (hand.verb === "look") this.does.closer();
    else if (hand.isBusy) hand.finish();
    else {
      hand.start(bench.cursor);
      if (!hand.tool.needsTwo) hand.finish();
      else this.does.begun();
    }
    return true;
  }

  go([row, column], event) {
    const { bench, hand, surface } = this;
    const { height, width } = bench.grid;
    if (bench.inHand && !hand.isBusy) {
      const [r, c] = bench.cursor;
      bench.moveHand(bench.inHand.top + row - r, bench.inHand.left + column - c);
      bench.cursor = [Math.max(0, Math.min(height - 1, row)), Math.max(0, Math.min(width - 1, column))];
      this.does.told(true);
      return true;
    }
    const cell = [Math.max(0, Math.min(height - 1, row)), Math.max(0, Math.min(width - 1, column))];
    if (event.shiftKey && !bench.isAtRest) {
      if (!hand.isBusy && (hand.verb === "lay" || hand.tool?.needsTwo)) {
        hand.start(bench.cursor);
        this.isLaying = hand.verb === "lay" || hand.verb === "lift";
      }
    } else this.rest();
    bench.cursor = cell;
    if (hand.isBusy) hand.drag(cell);
    surface.show(cell);
    this.does.told(false);
    return true;
  }
}
