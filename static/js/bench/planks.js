// The planks that lean beside the bench, one a wood: its mark, its name, how many tiles of it lie in the drawing, what
// length that is to lay and what strip the free boards of it would give. The longest plank is the wood with most to lay.

const SVG = "http://www.w3.org/2000/svg";

export class Planks {
  constructor(list, template, bench, pitch, told) {
    this.list = list;
    this.template = template;
    this.bench = bench;
    this.pitch = pitch;
    this.told = told;
    this.free = null;
    this.waiting = 0;
    list.addEventListener("change", (event) => {
      bench.wood = Number(event.target.value);
      bench.look();
    });
    bench.addEventListener("look", () => this.mark());
  }

  build() {
    const { bench } = this;
    this.rows = [null, ...bench.looks].map((look, wood) => {
      const row = this.template.content.firstElementChild.cloneNode(true);
      const [radio, name, amount] = [row.querySelector("input"), row.querySelector("b"), row.querySelector("small")];
      radio.value = wood;
      name.textContent = look ? look.name : "Nothing: take tiles off";
      row.querySelector("kbd").textContent = wood < 10 ? String(wood) : "";
      const svg = row.querySelector("svg");
      this.list.append(row);
      return { look, radio, amount, svg };
    });
    this.list.replaceChildren(...this.rows.map(({ radio }) => radio.closest("li")));
    this.mark();
    this.count();
  }

  mark() {
    const row = this.rows?.[this.bench.wood];
    if (row && !row.radio.checked) row.radio.checked = true;
  }

  // Counts follow the hand a moment later, so that no stroke waits for them.
  soon() {
    this.waiting ||= setTimeout(() => { this.waiting = 0; this.count(); }, this.bench.stroke ? 600 : 120);
  }

  count() {
    const { counts } = this.bench.grid;
    const most = Math.max(1, ...this.rows.map((row, wood) => (wood ? counts[wood] : 0)));
    this.rows.forEach(({ look, amount, svg }, wood) => {
      const words = wood ? this.amountOf(counts[wood], look) : `${counts[0]} of background`;
      if (amount.textContent !== words) amount.textContent = words;
      // A plank grows when the hand rests.
      if (this.bench.stroke) return;
      const share = wood ? Math.round((100 * counts[wood]) / most) / 100 : 1;
      if (svg.dataset.share !== String(share)) drawPlank(svg, look, share);
    });
    this.bench.tell("counted");
  }

  // The pitch the board is reckoned with, and what is free of every wood for tiles of that size.
  tilesAre(mm, free) {
    this.pitch = { ...this.pitch, mm };
    this.freeIs(free);
    this.count();
  }

  freeIs({ mm, words }) {
    this.free = mm;
    this.told.textContent = words;
  }

  amountOf(tiles, look) {
    const count = tiles === 1 ? "1 tile" : `${tiles} tiles`;
    const laid = tiles ? `${count}, ${lengthOf(tiles, this.pitch)} to lay` : "none laid";
    if (!look.onHand) return `${laid}; not on hand`;
    if (this.free === null) return laid;
    const free = this.free[look.id] ?? "0";
    return free === "0" ? `${laid}, none free` : `${laid}, ${lengthOf(1, { ...this.pitch, mm: free })} free`;
  }
}

function drawPlank(svg, look, share) {
  svg.dataset.share = String(share);
  svg.replaceChildren();
  if (!look) {
    svg.append(shape("rect", { x: 1, y: 1, width: 198, height: 12, fill: "none", stroke: "currentColor", "stroke-dasharray": "4 4" }));
    return;
  }
  const plank = look.plank(share);
  svg.append(
    shape("rect", { width: plank.long, height: 14, rx: 1, fill: plank.rgb }),
    shape("path", { d: plank.grain, fill: "none", stroke: plank.ink, "stroke-opacity": 0.22, "stroke-width": 0.7 }),
    shape("path", { d: plank.mark, fill: "none", stroke: plank.ink, "stroke-width": 1.3, "stroke-linecap": "round", "stroke-linejoin": "round" }),
  );
}

function shape(kind, attributes) {
  const element = document.createElementNS(SVG, kind);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  return element;
}

// So many pitches in words, exact until the last digit shown: metres to the centimetre, or feet and inches.
function lengthOf(tiles, { mm, unit }) {
  const [above, below = "1"] = mm.split("/");
  const [whole, part = ""] = above.split(".");
  const top = BigInt(whole + part) * BigInt(tiles);
  const bottom = BigInt(below) * 10n ** BigInt(part.length);
  const rounded = (over, under) => (2n * over + under) / (2n * under);
  if (unit === "in") {
    const inches = rounded(top * 10n, bottom * 254n);
    return inches < 12n ? `${inches} in` : `${inches / 12n} ft ${inches % 12n} in`;
  }
  const centimetres = rounded(top, bottom * 10n);
  return `${centimetres / 100n}.${String(centimetres % 100n).padStart(2, "0")} m`;
}
