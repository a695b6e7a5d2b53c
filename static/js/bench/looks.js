// How a wood looks on the bench: its flat colour in a few tones, its mark, and ink that can be read on it.

const DARK_INK = "#241c15";
const LIGHT_INK = "#fff8ec";
// A plank is never quite its neighbour's tone; rows take these in turn, by a rule that does not repeat soon.
const TONES = [1, 0.975, 1.02, 0.985];

const channels = (hex) => [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16));

// Relative luminance, 0 to 1 (WCAG 2.2).
function luminance(rgb) {
  const [r, g, b] = rgb.map((c) => (c <= 10 ? c / 3294.6 : ((c / 255 + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

export class Look {
  constructor(id, { name, rgb, strokes, on_hand: onHand }) {
    this.id = id;
    this.name = name;
    this.rgb = rgb;
    this.onHand = onHand;
    this.strokes = strokes;
    const colour = channels(rgb);
    this.ink = luminance(colour) < 0.25 ? LIGHT_INK : DARK_INK;
    this.tones = TONES.map((tone) => `rgb(${colour.map((c) => Math.min(255, Math.round(c * tone))).join(" ")})`);
    this.stamps = new Map();
  }

  toneOf(row) {
    return this.tones[(row * 7 + (row >> 2)) & 3];
  }

  // The mark in a square of so many pixels, drawn once and then laid wherever it is needed.
  stamp(size) {
    let stamp = this.stamps.get(size);
    if (stamp) return stamp;
    stamp = document.createElement("canvas");
    stamp.width = stamp.height = size;
    const ink = stamp.getContext("2d");
    ink.strokeStyle = this.ink;
    ink.globalAlpha = 0.75;
    ink.lineWidth = Math.max(1, size * 0.11);
    ink.lineCap = ink.lineJoin = "round";
    ink.beginPath();
    for (const line of this.strokes) line.forEach(([x, y], i) => (i ? ink.lineTo(x * size, y * size) : ink.moveTo(x * size, y * size)));
    ink.stroke();
    // Tiles are seldom looked at in more than a few sizes.
    if (this.stamps.size > 12) this.stamps.clear();
    this.stamps.set(size, stamp);
    return stamp;
  }

  // A plank to stand beside the wood's name; its length is a share of the longest.
  plank(share) {
    const long = Math.max(14, 200 * share);
    const grain = [0.24, 0.46, 0.7].map((y, i) => `M0 ${14 * y}q${long / 4} ${2 - i} ${long / 2} 0t${long / 2} 0`).join("");
    const mark = this.strokes
      .map((line) => line.map(([x, y], i) => `${i ? "L" : "M"}${(long - 12.5 + x * 10).toFixed(1)} ${(2 + y * 10).toFixed(1)}`).join(""))
      .join("");
    return { long, grain, mark, rgb: this.rgb, ink: this.ink };
  }
}
