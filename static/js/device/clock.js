// The shop's clock on a device whose own may be wrong: how far it is off is heard with every answer.

export class Clock {
  constructor(off = 0) {
    this.off = off;
  }

  // The machine said it was `theirs` between two moments of this device.
  heard(theirs, asked, answered) {
    if (Number.isFinite(theirs)) this.off = Math.round(theirs - (asked + answered) / 2);
  }

  now() {
    return Date.now() + this.off;
  }

  // When the page that is shown was answered, by this device.
  static answeredAt() {
    const came = performance.getEntriesByType("navigation")[0]?.responseStart ?? 0;
    return Date.now() - Math.max(0, performance.now() - came);
  }
}
