// The row being laid: which piece comes next, large, by tap or by arrow keys; where one was is kept on this device.

export class Row {
  constructor(section, { at, isDown, moved }) {
    this.section = section;
    this.moved = moved;
    this.isDown = isDown;
    this.runs = [...section.querySelectorAll(".runs li")];
    this.at = Math.min(Math.max(0, at), this.runs.length);
    this.part = (name) => section.querySelector(`[data-part="${name}"]`);
    section.querySelector(".next-run").hidden = false;
    this.part("back").addEventListener("click", () => this.go(-1));
    this.part("next").addEventListener("click", () => this.go(1));
    this.show();
  }

  go(by) {
    const at = Math.min(Math.max(0, this.at + by), this.runs.length);
    if (at === this.at) return;
    this.at = at;
    this.moved(at);
    this.show();
  }

  // An arrow points where the frame goes: face down, rows begin at the right.
  arrow(key) {
    const along = key === "ArrowRight" ? 1 : -1;
    this.go(this.isDown ? -along : along);
  }

  turn(isDown) {
    this.isDown = isDown;
    this.show();
  }

  show() {
    const { runs, at } = this;
    const run = runs[at];
    for (const one of this.section.querySelectorAll(".face-up")) one.hidden = this.isDown;
    for (const one of this.section.querySelectorAll(".face-down")) one.hidden = !this.isDown;
    runs.forEach((one) => (one === run ? one.setAttribute("aria-current", "step") : one.removeAttribute("aria-current")));
    this.part("count").textContent = `${at} of ${runs.length} laid.${run ? " Next:" : ""}`;
    this.part("run").textContent = run ? run.textContent : "All there. Count them without glue.";
    this.part("back").disabled = at === 0;
    this.part("next").disabled = !run;
    const broke = this.part("broke");
    if (broke) {
      broke.hidden = !run;
      if (run) broke.search = `?part=${run.dataset.number}`;
    }
    this.part("next").textContent = run ? "Laid, next" : "All laid";
    for (const side of ["up", "down"]) {
      const frame = this.section.querySelector(`.row-drawn.face-${side} rect`);
      const [x, long] = run ? run.dataset[side].split(" ") : [0, 0];
      frame.setAttribute("x", x);
      frame.setAttribute("width", long);
    }
  }
}
