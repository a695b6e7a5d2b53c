// What is left alone counts down by the shop's clock, and says largely that it is over.
import { timeSaid } from "../device/words.js";
import { leftSaid } from "./words.js";

export class Timers {
  constructor(clock, say) {
    this.clock = clock;
    this.say = say;
    this.over = new Set();
  }

  // `place` holds the list and the words for none; they may be new ones after an answer.
  at({ list, none, line, zone }) {
    Object.assign(this, { list, none, line, zone });
    this.look();
  }

  // Add what was ticked on this device and the shop does not know of yet, or what was known before it went away.
  add({ key, words, whose, over, ended, off }) {
    if (this.find(key)) return;
    const row = this.line.content.firstElementChild.cloneNode(true);
    Object.assign(row.dataset, { key, over, ended, off });
    row.querySelector(".timer-words").textContent = words;
    row.querySelector(".timer-whose").textContent = whose ? ` · ${whose}` : "";
    this.list.append(row);
    this.sort();
  }

  remove(key) {
    this.find(key)?.remove();
  }

  find(key) {
    return [...this.list.children].find((row) => row.dataset.key === key);
  }

  sort() {
    this.list.append(...[...this.list.children].sort((one, other) => one.dataset.off - other.dataset.off));
  }

  known() {
    return [...this.list.children].map((row) => ({
      ...row.dataset,
      words: row.querySelector(".timer-words").textContent,
      whose: row.querySelector(".timer-whose").textContent.replace(" · ", ""),
    }));
  }

  look() {
    const now = this.clock.now();
    for (const row of this.list.children) {
      const { off, over, ended, key } = row.dataset;
      const left = Number(off) - now;
      const isOff = left <= 0;
      row.querySelector(".left-time").textContent = isOff ? ended : leftSaid(left);
      row.querySelector(".timer-over").textContent = isOff
        ? `since ${timeSaid(Number(off), this.zone, true)}`
        : `${over} ${timeSaid(Number(off), this.zone, true)}`;
      row.classList.toggle("is-off", isOff);
      if (isOff && !this.over.has(key)) {
        this.over.add(key);
        // What was over long before the page was opened is read there, not announced.
        if (left > -60000) this.say(`${row.querySelector(".timer-words").textContent}: ${over.replace(/ (at|from)$/, "")} now.`);
      }
    }
    this.none.hidden = this.list.children.length > 0;
  }
}
