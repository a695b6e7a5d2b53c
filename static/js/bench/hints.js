// What is pointed out: loose tiles, slivers, what is nearly the same left and right, weak seams. Each with its mend in
// one press, shown in a list and on the drawing.

const SHOWN_AT_FIRST = 4;

export class Hints {
  constructor(section, bench, surface, say) {
    this.bench = bench;
    this.surface = surface;
    this.say = say;
    this.list = section.querySelector("ul");
    this.none = section.querySelector("p");
    this.more = section.querySelector("[data-more]");
    this.heading = section.querySelector("h2");
    this.template = document.getElementById("bench-hint");
    this.isShown = section.querySelector("input");
    this.hints = [];
    // Whether the shop has looked at what lies there now; before it has, nothing is said to be well.
    this.isKnown = false;
    this.most = SHOWN_AT_FIRST;
    this.one = null;
    this.isShown.addEventListener("change", () => this.point());
    this.more.addEventListener("click", () => {
      const first = this.most;
      this.most = Infinity;
      this.show();
      this.list.children[first]?.querySelector("button")?.focus();
    });
    // Another size, and nothing stands where it was.
    bench.addEventListener("laid", () => this.take([], false));
    bench.addEventListener("step", ({ detail }) => this.drop(detail.changed));
  }

  take(hints, isKnown = true) {
    this.hints = hints;
    this.isKnown = isKnown;
    this.show();
  }

  // What was drawn over, or beside, is no longer as it was pointed out; the shop looks again.
  drop(step) {
    if (step.kind !== "cells") return;
    const { width } = this.bench.grid;
    const touched = new Set();
    for (const at of step.places) for (const near of [at, at - 1, at + 1, at - width, at + width]) touched.add(near);
    const isTouched = ([row, column]) => touched.has(row * width + column);
    const left = this.hints.filter((hint) => !hint.cells.some(isTouched) && !hint.mend?.cells.some(isTouched));
    this.isKnown = false;
    if (left.length < this.hints.length || !left.length) this.take(left, false);
  }

  wait() {
    this.list.setAttribute("aria-busy", "true");
  }

  show() {
    const held = [...this.list.children].findIndex((row) => row.contains(document.activeElement));
    this.list.removeAttribute("aria-busy");
    this.list.replaceChildren(...this.hints.slice(0, this.most).map((hint) => this.rowOf(hint)));
    const rest = this.hints.length - this.list.children.length;
    this.more.hidden = rest <= 0;
    this.more.textContent = `Show ${rest} more`;
    this.none.hidden = !this.isKnown || this.hints.length > 0;
    this.isShown.closest("label").hidden = this.hints.length === 0;
    if (held >= 0) (this.list.children[Math.min(held, this.list.children.length - 1)]?.querySelector("button") ?? this.heading).focus();
    this.one = null;
    this.point();
  }

  rowOf(hint) {
    const row = this.template.content.firstElementChild.cloneNode(true);
    row.querySelector("p").textContent = hint.words;
    const [look, mend] = row.querySelectorAll("button");
    look.hidden = !hint.cells.length;
    look.addEventListener("click", () => {
      this.one = this.one === hint ? null : hint;
      this.point();
      this.surface.show(hint.cells[0]);
      for (const other of this.list.querySelectorAll("[aria-pressed]")) other.setAttribute("aria-pressed", "false");
      look.setAttribute("aria-pressed", String(this.one === hint));
    });
    mend.hidden = !hint.mend;
    if (hint.mend) {
      mend.textContent = hint.mend.words;
      mend.addEventListener("click", () => this.mend(hint));
    }
    return row;
  }

  point() {
    const pointed = this.one ? [this.one] : this.isShown.checked ? this.hints : [];
    this.surface.notes.pointed = pointed.map((hint) => hint.cells);
    this.surface.noteAnew();
  }

  mend(hint) {
    const { bench } = this;
    if (bench.isAtRest) return;
    const cells = hint.mend.cells.map(([row, column, id]) => [row, column, bench.numberOf(id)]);
    if (cells.some(([, , wood]) => wood < 0)) return this.say("That wood is not among the planks of this bench.");
    const step = bench.apply("a mend", cells);
    this.say(step ? `Mended: ${hint.mend.words}` : "Nothing changed.");
    this.take(this.hints.filter((other) => other !== hint), false);
  }
}
