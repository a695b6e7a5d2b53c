// The stall on a phone: what is there, what was sold, and the one that is being sold. What the shop last told is laid under
// what this phone has done since, so that the page says how things stand here whether the shop's machine is there or not.

import { unguessable } from "../store.js";
import { isPrice, priced } from "./words.js";

const find = (id) => document.getElementById(id);
// A button that has just come under a thumb that taps twice does nothing yet.
const YET = 300;

function hold(button) {
  button.disabled = true;
  setTimeout(() => { button.disabled = false; }, YET);
}

// What the shop's machine put on the page, as plain values that can be kept.
export function readStall(root) {
  const { fair, name, here, send, who, zone, symbol, exponent } = root.dataset;
  const rows = (id) => [...root.querySelectorAll(`#${id} [data-piece]`)].map((row) => ({ ...row.dataset }));
  return { fair, name, here, send, who, zone, symbol, exponent: Number(exponent), pieces: rows("pieces"), sold: rows("sold") };
}

export class Stall {
  // changed: after something was written down here.
  constructor(queue, clock, { say, changed }) {
    Object.assign(this, { queue, clock, say, changed });
    this.told = null;
    this.asked = null;
  }

  listen() {
    find("pieces").addEventListener("click", (event) => this.tap(event));
    find("asking").addEventListener("submit", (event) => this.sell(event));
    find("asking").addEventListener("input", () => this.label());
    find("not-sold").addEventListener("click", (event) => { event.preventDefault(); this.close(); });
    find("undo").addEventListener("click", (event) => { event.preventDefault(); this.undo(); });
    document.addEventListener("keydown", (event) => event.key === "Escape" && this.asked && this.close());
  }

  get isBusy() {
    return this.asked !== null;
  }

  // Lays what was done here since over what the shop told.
  async show(told = this.told) {
    this.told = told;
    const waiting = (await this.queue.waiting()).filter((entry) => entry.fair === told.fair);
    const undone = new Set(waiting.filter((entry) => entry.kind === "undo").map((entry) => entry.sale));
    const here = waiting.filter((entry) => entry.kind === "sale" && !undone.has(entry.sale));
    const known = told.sold.filter((one) => !undone.has(one.sale));
    const back = told.sold.filter((one) => undone.has(one.sale) && one.stands === "yes");
    const gone = new Set(here.map((entry) => entry.piece));
    const free = [...told.pieces, ...back].filter((one) => !gone.has(one.piece));
    this.pieces = new Map(free.map((one) => [one.piece, one]));
    find("pieces").replaceChildren(...free.map((one) => this.row("piece-row", one)));
    find("none-there").hidden = free.length > 0;
    const sold = [...here.reverse().map((entry) => ({ ...entry, words: entry.words, waits: true })), ...known];
    find("sold").replaceChildren(...sold.map((one) => this.row("sold-row", one)));
    find("none-sold").hidden = sold.length > 0;
    this.last = sold.find((one) => one.sale === this.lastKey) ?? null;
    find("last").hidden = !this.last;
    if (this.last) find("last-words").textContent = `Last: ${this.last.words} for ${this.shown(this.last)}.`;
    if (this.asked && !this.pieces.has(this.asked.piece)) this.close();
  }

  shown(one) {
    return one.shown || (one.price ? priced(this.told, one.price) : "");
  }

  row(name, one) {
    const row = find(name).content.firstElementChild.cloneNode(true);
    row.querySelector("[data-part=words]").textContent = one.words;
    row.querySelector("[data-part=price]").textContent = this.shown(one);
    const button = row.querySelector("button");
    if (button) button.value = one.piece;
    const waits = row.querySelector("[data-part=waits]");
    if (waits) waits.hidden = !one.waits;
    return row;
  }

  async open() {
    this.lastKey = (await this.queue.note(`last ${this.told.fair}`)) ?? "";
    await this.show();
  }

  tap(event) {
    const hit = event.target.closest("button, a");
    if (!hit) return;
    event.preventDefault();
    this.asked = this.pieces.get(hit.value ?? hit.dataset.piece) ?? null;
    if (!this.asked) return;
    find("asked-words").textContent = this.asked.words;
    find("price").value = this.asked.price;
    find("asking").hidden = false;
    this.label();
    find("asking").scrollIntoView({ block: "start" });
    for (const button of find("asking").querySelectorAll("button")) hold(button);
    (this.asked.price ? find("asked-words") : find("price")).focus({ preventScroll: true });
  }

  label() {
    const price = find("price").value.trim();
    const isOne = isPrice(price, this.told.exponent);
    find("sell").textContent = isOne ? `Sold for ${priced(this.told, price)}` : "Sold";
    find("price-wrong").textContent = price && !isOne ? `Write a price like ${this.told.exponent ? "180 or 12.50" : "180"}.` : "";
    find("price").setAttribute("aria-invalid", String(Boolean(price) && !isOne));
  }

  close() {
    const { piece } = this.asked;
    this.asked = null;
    find("asking").hidden = true;
    find("pieces").querySelector(`button[value="${piece}"]`)?.focus();
  }

  async sell(event) {
    event.preventDefault();
    if (!this.asked) return;
    const price = find("price").value.trim();
    if (!isPrice(price, this.told.exponent)) {
      find("price-wrong").textContent = "Write what was got for it.";
      find("price").focus();
      return;
    }
    const { piece, words } = this.asked;
    const sale = unguessable();
    const shown = priced(this.told, price);
    const how = event.submitter?.value === "card" ? "card" : "cash";
    this.asked = null;
    const entry = { kind: "sale", fair: this.told.fair, piece, price, how, sale, shown, words };
    if (!(await this.write(entry))) return;
    this.lastKey = sale;
    await this.queue.keep(`last ${this.told.fair}`, sale);
    find("asking").hidden = true;
    await this.show();
    this.say(`Sold: ${words} for ${shown}.`);
    hold(find("undo"));
    find("last-words").focus({ preventScroll: true });
    this.changed();
  }

  async undo() {
    if (!this.last) return;
    const { sale, words } = this.last;
    if (!(await this.write({ kind: "undo", fair: this.told.fair, sale, words }))) return;
    this.lastKey = "";
    await this.queue.keep(`last ${this.told.fair}`, null);
    await this.show();
    this.say(`Taken back: ${words}.`);
    find("pieces").querySelector("button")?.focus({ preventScroll: true });
    this.changed();
  }

  // Written down here first; what cannot be is said, and nothing is shown as done.
  async write(entry) {
    try {
      await this.queue.add({ ...entry, who: this.told.who, at: String(this.clock.now()) });
      return true;
    } catch {
      this.say("This was not written down: this phone’s storage is full or closed. Write it on paper.");
      return false;
    }
  }
}
