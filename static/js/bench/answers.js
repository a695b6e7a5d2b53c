// What follows from the shop a moment after the hand rests: what to point out, and what the board comes to. The newest
// drawing wins, and figures that are not of what lies there now say so.
import { awayWords, Away, SignedOut } from "./server.js";

const PAUSE = 600;
const AGAIN = 15000;

export class Answers {
  constructor({ bench, server, hints, planks, rows, hasReckoning }) {
    Object.assign(this, { bench, server, hints, planks, rows, hasReckoning });
    this.figures = document.getElementById("bench-figures");
    this.old = document.getElementById("bench-old");
    this.waiting = 0;
    this.asked = 0;
    window.addEventListener("online", () => this.soon());
  }

  soon(after = PAUSE) {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => this.ask(), after);
  }

  ask() {
    // Mid-stroke there is no drawing to speak of yet.
    if (this.bench.stroke) return this.soon();
    const text = this.bench.text();
    this.rows.value = text;
    if (text === this.told) return this.tellOld("");
    const asked = ++this.asked;
    this.hints.wait();
    const asking = [this.server.hints(text).then((answer) => asked === this.asked && this.hints.take(answer.hints ?? []))];
    if (this.hasReckoning) asking.push(this.server.reckoning(text).then((html) => asked === this.asked && this.show(html)));
    Promise.all(asking).then(
      () => { if (asked === this.asked) { this.told = text; this.tellOld(""); } },
      (error) => this.failed(error, asked),
    );
  }

  failed(error, asked) {
    if (asked !== this.asked || error.name === "AbortError") return;
    const isKnown = error instanceof Away || error instanceof SignedOut;
    const words = isKnown ? awayWords(error) : "These figures could not be worked out.";
    this.tellOld(`${words} The figures are of an earlier drawing; they are asked for again.`);
    this.hints.show();
    this.soon(AGAIN);
  }

  tellOld(words) {
    if (!this.old) return;
    this.old.textContent = words;
    this.old.hidden = !words;
    this.figures.toggleAttribute("data-old", Boolean(words));
  }

  // What was open stays open.
  show(html) {
    const named = (sum) => sum.querySelector("summary").textContent.trim();
    const open = new Set([...this.figures.querySelectorAll("details[open]")].map(named));
    const focused = this.figures.contains(document.activeElement) ? document.activeElement.textContent.trim() : null;
    const part = document.createRange().createContextualFragment(html);
    this.figures.replaceChildren(part);
    for (const sum of this.figures.querySelectorAll("details")) {
      if (open.has(named(sum))) sum.open = true;
      if (focused === named(sum)) sum.querySelector("summary").focus();
    }
    const { pitchMm, free } = this.figures.querySelector("[data-pitch-mm]")?.dataset ?? {};
    if (/^[0-9]+([./][0-9]+)?$/.test(pitchMm ?? "")) this.planks.tilesAre(pitchMm, JSON.parse(free));
  }
}
