// A picture looked at closely: zoomed by buttons, keys, wheel and two fingers, moved by scrolling, keys, mouse and
// finger. The sheet is as many pixels wide as its picture's width times the scale; the view scrolls over it.

const LARGEST = 40;
const STEP = 1.5;

export class Viewport {
  constructor(view, sheet, { onZoom = () => {}, onTap = () => {} }) {
    this.view = view;
    this.sheet = sheet;
    this.onZoom = onZoom;
    this.onTap = onTap;
    this.svg = sheet.querySelector("svg");
    this.whole = true;
    // As high as the whole picture is, within what the page leaves it.
    view.style.aspectRatio = `${this.size.width} / ${this.size.height}`;
    this.settle();
    new ResizeObserver(() => this.settle()).observe(view);
    this.listen();
  }

  // The picture's own size, in the pixels that its grid is counted in.
  get size() {
    return this.svg.viewBox.baseVal;
  }

  // The scale at which the whole picture is seen.
  get fitting() {
    return Math.min(this.view.clientWidth / this.size.width, this.view.clientHeight / this.size.height);
  }

  settle() {
    this.scale = this.whole ? this.fitting : Math.max(this.fitting, Math.min(this.scale, this.most));
    this.sheet.style.width = `${this.size.width * this.scale}px`;
    this.sheet.style.height = `${this.size.height * this.scale}px`;
    this.sheet.classList.toggle("crisp", this.scale > 1);
    this.onZoom(this.scale, this.whole ? "whole" : `${Math.round((100 * this.scale) / this.fitting)} %`);
  }

  get most() {
    return Math.max(LARGEST, this.fitting * 8);
  }

  // Zoom to a scale while what lies under (x, y) of the window stays where it is.
  to(scale, x, y) {
    const box = this.view.getBoundingClientRect();
    const at = { x: x ?? box.left + box.width / 2, y: y ?? box.top + box.height / 2 };
    const sheet = this.sheet.getBoundingClientRect();
    const under = { x: (at.x - sheet.left) / sheet.width, y: (at.y - sheet.top) / sheet.height };
    this.whole = scale <= this.fitting * 1.001;
    this.scale = scale;
    this.settle();
    const after = this.sheet.getBoundingClientRect();
    this.view.scrollLeft += after.left + under.x * after.width - at.x;
    this.view.scrollTop += after.top + under.y * after.height - at.y;
  }

  zoom(way) {
    if (way === "whole") this.to(this.fitting);
    else this.to(way === "in" ? this.scale * STEP : this.scale / STEP);
  }

  listen() {
    const { view } = this;
    view.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      if (event.key === "+" || event.key === "=") this.zoom("in");
      else if (event.key === "-") this.zoom("out");
      else if (event.key === "0") this.zoom("whole");
      else return;
      event.preventDefault();
    });
    view.addEventListener(
      "wheel",
      (event) => {
        if (!event.ctrlKey) return;
        event.preventDefault();
        this.to(this.scale * Math.exp(-event.deltaY / 200), event.clientX, event.clientY);
      },
      { passive: false },
    );
    this.pinch(view);
    this.drag(view);
    view.addEventListener("click", (event) => {
      if (this.dragged) return;
      const sheet = this.sheet.getBoundingClientRect();
      this.onTap(((event.clientX - sheet.left) / sheet.width) * this.size.width, ((event.clientY - sheet.top) / sheet.height) * this.size.height);
    });
  }

  // Two fingers: their distance is the zoom, their middle stays under them.
  pinch(view) {
    let from = null;
    const spread = ([a, b]) => Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
    view.addEventListener("touchstart", (event) => {
      from = event.touches.length === 2 ? { spread: spread(event.touches), scale: this.scale } : null;
    });
    view.addEventListener(
      "touchmove",
      (event) => {
        if (event.touches.length !== 2 || !from) return;
        event.preventDefault();
        const [a, b] = event.touches;
        this.to((from.scale * spread(event.touches)) / from.spread, (a.clientX + b.clientX) / 2, (a.clientY + b.clientY) / 2);
      },
      { passive: false },
    );
    view.addEventListener("touchend", () => (from = null));
  }

  // The mouse takes hold of the picture; a finger scrolls by itself.
  drag(view) {
    let from = null;
    view.addEventListener("pointerdown", (event) => {
      this.dragged = false;
      if (event.pointerType !== "mouse" || event.button) return;
      from = { x: event.clientX, y: event.clientY, left: view.scrollLeft, top: view.scrollTop };
    });
    window.addEventListener("pointermove", (event) => {
      if (!from) return;
      const x = event.clientX - from.x, y = event.clientY - from.y;
      if (Math.hypot(x, y) > 4) this.dragged = true;
      view.scrollLeft = from.left - x;
      view.scrollTop = from.top - y;
    });
    window.addEventListener("pointerup", () => (from = null));
  }
}
