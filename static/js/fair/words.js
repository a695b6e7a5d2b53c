// How things are said at a stall. Prices are the text somebody typed, with the shop's sign before them.

export const priced = (stall, price) => `${stall.symbol}\u00a0${price}`;

// What was done, for whoever reads what waits or was refused.
export function entrySaid(entry) {
  if (entry.kind === "undo") return `${entry.words}: the sale taken back`;
  return `${entry.words}, sold for ${entry.shown}${entry.how === "card" ? " by card" : ""}`;
}

// Whether a text is a price: digits, and no more decimals than the money has.
export function isPrice(text, exponent) {
  const decimals = exponent ? `(?:[.,]\\d{1,${exponent}})?` : "";
  return new RegExp(`^\\d{1,8}${decimals}$`).test(text) && /[1-9]/.test(text);
}
