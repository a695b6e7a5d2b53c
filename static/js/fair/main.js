// Selling at a fair: what is tapped is written down on this phone, shown at once, and sent.
import { Clock } from "../device/clock.js";
import { Page } from "../device/page.js";
import { Queue } from "../device/queue.js";
import { settle, showRefused } from "../device/refused.js";
import { readStall, Stall } from "./stall.js";
import { entrySaid } from "./words.js";

const find = (id) => document.getElementById(id);
const root = () => find("stall");
const say = (words) => { find("status").textContent = words; };

class Till extends Page {
  constructor(queue, clock) {
    super("stall", "fair", queue, clock);
    this.stall = new Stall(queue, clock, { say, changed: () => this.changed() });
  }

  async open() {
    this.stall.told = await this.learn(root());
    this.stall.listen();
    await this.stall.open();
    root().addEventListener("click", (event) => this.settle(event));
    this.listen();
    await showRefused(this.queue, entrySaid);
    await this.tell();
    this.sender.wake();
    root().dataset.ready = "yes";
  }

  // What the shop told is kept for when it is away.
  async learn(theirs) {
    const told = readStall(theirs);
    await this.queue.keep(`fair ${told.fair}`, told);
    await this.queue.keep("off", this.clock.off);
    return told;
  }

  async changed() {
    await this.tell();
    this.sender.wake();
  }

  async refused() {
    await showRefused(this.queue, entrySaid);
    await this.stall.show();
  }

  async settle(event) {
    const button = event.target.closest("[data-refused]");
    if (!button) return;
    event.preventDefault();
    if (!(await settle(this.queue, button))) return;
    await this.refused();
    this.wake();
  }

  // Whoever is being asked for a price goes on with it.
  async take(theirs) {
    Object.assign(root().dataset, { ...theirs.dataset, ready: "yes" });
    for (const one of root().querySelectorAll("[name=csrfmiddlewaretoken]")) one.value = theirs.querySelector("[name=csrfmiddlewaretoken]").value;
    find("clashes").replaceChildren(...theirs.querySelector("#clashes").childNodes);
    await this.stall.show(await this.learn(theirs));
  }
}

// Whether this phone opens the page without network is said, for whoever packs for a field without any.
async function keepHere() {
  const place = find("kept-here");
  try {
    await navigator.serviceWorker.register(root().dataset.worker);
    await navigator.serviceWorker.ready;
    place.textContent = "This phone keeps this page: it opens without network too.";
  } catch {
    place.textContent = "This phone cannot keep the page here, for the shop is not reached by https. Leave it open; what is sold is kept all the same.";
  }
}

async function begin() {
  const clock = new Clock();
  const came = Clock.answeredAt();
  clock.heard(Number(root().dataset.now), came, came);
  let queue;
  try {
    queue = await Queue.open("fair");
  } catch {
    // The page's own buttons go on working, one at a time, while the machine is there.
    find("queue").textContent = "this phone keeps nothing while the machine is away";
    return;
  }
  await new Till(queue, clock).open();
  await keepHere();
}

begin();
