// How a step stands: on its line, its box and its large buttons; also when the shop does not know of it yet.

export class Step {
  constructor(line) {
    this.line = line;
    this.large = document.getElementById(`lay-${line.id}`);
  }

  static all(root) {
    return [...root.querySelectorAll(".lines li")].map((line) => new Step(line));
  }

  get data() {
    return this.line.dataset;
  }

  get key() {
    return `${this.data.job} ${this.data.step}`;
  }

  get isDone() {
    return this.data.done === "yes";
  }

  get value() {
    return `${this.data.job}:${this.data.timetable}:${this.data.step}`;
  }

  // Whether a thing that waits is about this step.
  isOf(entry) {
    return entry.kind === "tick" && entry.job === this.data.job && entry.step.replace(/\/dry$/, "") === this.data.step;
  }

  take(entry) {
    if (entry.step.endsWith("/dry")) this.data.dry = entry.done === "1" ? "done" : "open";
    else this.data.done = entry.done === "1" ? "yes" : "";
    this.show(true);
  }

  show(isWaiting) {
    const { words, dry } = this.data;
    const isDry = dry === "open" && !this.isDone;
    const box = this.line.querySelector(".box");
    this.line.classList.toggle("is-done", this.isDone);
    this.line.querySelector(".waits").hidden = !isWaiting;
    box.classList.toggle("done", this.isDone);
    box.value = this.isDone ? `not:${this.value}` : `done:${this.value}${isDry ? "/dry" : ""}`;
    box.firstElementChild.textContent = this.isDone ? "✓" : isDry ? "dry" : "";
    box.lastElementChild.textContent = this.isDone
      ? `${words}: done; press to take the tick back`
      : `${words}: ${isDry ? "counted dry" : "done"}`;
    if (this.large) this.showLarge(isDry);
  }

  showLarge(isDry) {
    const count = this.large.querySelector('[data-act="dry"]');
    const act = this.large.querySelector('[data-act="done"]');
    if (count) {
      count.hidden = this.isDone;
      count.value = `${isDry ? "done" : "not"}:${this.value}/dry`;
      count.textContent = isDry ? count.dataset.said : count.dataset.not;
      paint(count, isDry);
    }
    act.disabled = isDry;
    act.value = `${this.isDone ? "not" : "done"}:${this.value}`;
    act.textContent = this.isDone ? act.dataset.not : act.dataset.said;
    paint(act, !isDry && !this.isDone);
  }
}

function paint(button, isFirst) {
  button.classList.toggle("primary", isFirst);
  button.classList.toggle("secondary", !isFirst);
}
