// What was done where the shop's machine may be away, written down on this device before anything else: each thing with
// a key that the machine takes once, so that sending it twice changes nothing. What it refused is kept too, until
// somebody lets it go.

import { answered, finished, unguessable } from "../store.js";

// A device that does not answer is not waited for.
const tooLate = () => new Promise((done, failed) => setTimeout(() => failed(new Error("no answer")), 4000));

export class Queue {
  constructor(base) {
    this.base = base;
  }

  // A place of its own for each page that keeps things.
  static async open(name) {
    const request = indexedDB.open(`kerfstead-${name}`, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("waiting", { keyPath: "id", autoIncrement: true });
      request.result.createObjectStore("refused", { keyPath: "id", autoIncrement: true });
      request.result.createObjectStore("notes");
    };
    const base = await Promise.race([answered(request), tooLate()]);
    base.onversionchange = () => base.close();
    return new Queue(base);
  }

  async change(stores, work) {
    const transaction = this.base.transaction(stores, "readwrite", { durability: "strict" });
    const over = finished(transaction);
    const answer = work(...stores.map((name) => transaction.objectStore(name)));
    await over;
    return answer?.result;
  }

  read(store) {
    return answered(this.base.transaction([store], "readonly").objectStore(store).getAll());
  }

  // Oldest first, as they are sent.
  waiting() {
    return this.read("waiting");
  }

  refused() {
    return this.read("refused");
  }

  // Written down once this is over.
  add(entry) {
    return this.change(["waiting"], (waiting) => waiting.add({ key: unguessable(), ...entry }));
  }

  sent(entry) {
    return this.change(["waiting"], (waiting) => void waiting.delete(entry.id));
  }

  refuse(entry, why) {
    const { id, ...rest } = entry;
    return this.change(["waiting", "refused"], (waiting, refused) => {
      waiting.delete(id);
      refused.add({ ...rest, why });
    });
  }

  // Nothing was written of what was refused, so it goes with the key it had.
  again(entry) {
    const { id, why, ...rest } = entry;
    return this.change(["waiting", "refused"], (waiting, refused) => {
      refused.delete(id);
      waiting.add(rest);
    });
  }

  letGo(entry) {
    return this.change(["refused"], (refused) => void refused.delete(entry.id));
  }

  note(name) {
    return answered(this.base.transaction(["notes"], "readonly").objectStore("notes").get(name));
  }

  // All that are called so to begin with.
  notes(begin) {
    const range = IDBKeyRange.bound(begin, `${begin}\uffff`);
    return answered(this.base.transaction(["notes"], "readonly").objectStore("notes").getAll(range));
  }

  keep(name, value) {
    return this.change(["notes"], (notes) => void (value === null ? notes.delete(name) : notes.put(value, name)));
  }
}
