// The hand at the bench: which verb it does now. Pointer and keys both work through it.
import { makeTools } from "./tools.js";

export class Hand {
  constructor(bench, say) {
    this.bench = bench;
    this.say = say;
    this.tools = makeTools(bench);
    this.verb = "lay";
  }

  // None while the hand only looks around.
  get tool() {
    return this.tools[this.verb];
  }

  // Frames, lines and marked pieces may begin outside and reach in; a tile cannot.
  get reachesOutside() {
    return this.verb === "lift";
  }

  get isLaying() {
    return this.verb === "lay" && this.isBusy;
  }

  get isBusy() {
    return Boolean(this.tool?.isBegun);
  }

  // A line, a frame, a marked part: their second end may be another touch, for whoever cannot drag.
  get awaitsSecond() {
    return this.isBusy && this.tool.needsTwo && !this.bench.inHand;
  }

  choose(verb) {
    if (verb === this.verb) return;
    if (this.isBusy) this.cancel();
    this.bench.settle();
    this.verb = verb;
    if (verb !== "lift") this.bench.selected = null;
    this.bench.look();
  }

  start(cell) {
    if (this.bench.isAtRest || !this.tool) return;
    // A piece in hand is laid before anything else is begun.
    if (this.verb !== "lift") this.bench.settle();
    this.tool.start(cell);
  }

  drag(cell) {
    if (this.isBusy) this.tool.drag(cell);
  }

  finish() {
    if (!this.isBusy) return;
    const words = this.tool.finish();
    if (words) this.say(words);
    // What was picked up is for laying.
    if (this.verb === "pick") this.choose("lay");
  }

  cancel() {
    if (this.tool) this.tool.cancel();
    else this.bench.cancel();
    this.bench.look();
  }
}
