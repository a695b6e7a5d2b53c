// What axe-core finds on the page as it is, a line a rule, the kinds of words whose contrast was found well, `known` and new
// ones, and how many pixels the page can be pushed sideways; null where axe is not there yet.
async ([tags, known]) => {
  if (!window.axe) return null;
  const settled = async () => {
    while (document.querySelector(".htmx-request, .htmx-swapping, .htmx-settling")) await new Promise((done) => setTimeout(done, 20));
  };
  await settled();
  // What is folded away would not be looked at.
  for (const folded of document.querySelectorAll("details:not([open])")) folded.open = true;
  await settled();

  // Whether words can be read follows from their colour, their size and the grounds they lie on, their own box's and those
  // around it that lay anything down: of words for which all of these are one, one is looked at. It is by far the dearest
  // rule, and a table has hundreds of them. What is placed over something else has a kind of its own.
  const WORDS = ["color", "font-size", "font-weight", "text-shadow", "visibility", "-webkit-text-fill-color",
    "-webkit-text-stroke-width"];
  const GROUND = [["background-color", "rgba(0, 0, 0, 0)"], ["background-image", "none"], ["opacity", "1"],
    ["mix-blend-mode", "normal"], ["filter", "none"], ["clip-path", "none"]];
  const well = new Set(known);
  const [kinds, grounds, digests] = [new Map(), new Map([[null, 0]]), new Map()];
  const digested = (key) => {
    if (!digests.has(key)) digests.set(key, digest(key));
    return digests.get(key);
  };
  const groundOf = (element) => {
    if (grounds.has(element)) return grounds.get(element);
    const style = getComputedStyle(element);
    const isPlaced = !["static", "relative"].includes(style.position) || style.float !== "none" || style.transform !== "none";
    // Words for ears alone are cut away.
    const alone = isPlaced && style.clipPath === "none" ? Math.random() : "";
    const laid = GROUND.map(([name]) => style.getPropertyValue(name));
    const around = groundOf(element.parentElement);
    const isPlain = alone === "" && laid.every((value, n) => value === GROUND[n][1]);
    const ground = isPlain ? around : digested([around, alone, ...laid].join());
    grounds.set(element, ground);
    return ground;
  };
  const kindOf = (element) => {
    if (kinds.has(element)) return kinds.get(element);
    const style = getComputedStyle(element);
    const kind = digested([groundOf(element), ...WORDS.map((name) => style.getPropertyValue(name))].join());
    kinds.set(element, kind);
    return kind;
  };
  // 53 bits (FNV-1a, twice).
  const digest = (words) => {
    let [low, high] = [0x811c9dc5, 0x01000193];
    for (let i = 0; i < words.length; i++) {
      low = Math.imul(low ^ words.charCodeAt(i), 0x01000193);
      high = Math.imul(high ^ words.charCodeAt(i), 0x85ebca6b);
    }
    return (high >>> 11) * 2 ** 32 + (low >>> 0);
  };
  const check = axe._audit.checks["color-contrast"];
  check.itself ??= check.evaluate;
  check.evaluate = function (element, ...given) {
    const kind = kindOf(element);
    if (well.has(kind)) return true;
    const answer = check.itself.call(this, element, ...given);
    if (answer === true) well.add(kind);
    return answer;
  };
  // Finding out whether an element has words to look at takes as long as looking at them: first comes what is told at once,
  // that it has none of its own, or words of a kind that was found well.
  const FIELDS = ["INPUT", "SELECT", "TEXTAREA"];
  const hasWords = (element) =>
    FIELDS.includes(element.nodeName) ||
    Array.prototype.some.call(element.childNodes, (one) => one.nodeType === Node.TEXT_NODE && one.data.trim() !== "");
  // Before a drawing axe knows no ground and leaves every word to be looked at by somebody: no use in asking it of each.
  const isInDrawing = (element) => {
    if (!element.ownerSVGElement) return false;
    const [words, sheet] = [element, element.ownerSVGElement].map((one) => one.getBoundingClientRect());
    return words.left >= sheet.left && words.right <= sheet.right && words.top >= sheet.top && words.bottom <= sheet.bottom;
  };
  const contrast = axe._audit.rules.find((rule) => rule.id === "color-contrast");
  contrast.itself ??= contrast.matches;
  contrast.matches = function (element, ...given) {
    const isToBeAsked = hasWords(element) && !isInDrawing(element) && !well.has(kindOf(element));
    return isToBeAsked && contrast.itself.call(this, element, ...given);
  };

  // Of a page that only changed its size or scheme, with the same elements in sight, nothing else is another.
  const BY_LOOK = ["color-contrast", "link-in-text-block", "target-size", "scrollable-region-focusable"];
  const all = [...document.querySelectorAll("*")];
  const inSight = all.map((element) => Number(element.checkVisibility({ visibilityProperty: true }))).join("");
  const before = window.lookedAt;
  const isSame = before && before.inSight === inSight && before.changes.takeRecords().length === 0 && !before.isChanged;
  before?.changes.disconnect();
  // Style sheets would be read for a rule that is not among these.
  const preload = { assets: ["media"] };
  const runOnly = isSame ? BY_LOOK : tags;
  const answer = await axe.run({ runOnly, preload, selectors: false, resultTypes: ["violations", "incomplete"] });
  const now = { inSight, isChanged: false, changes: new MutationObserver(() => { now.isChanged = true; }) };
  now.changes.observe(document, { subtree: true, childList: true, attributes: true, characterData: true });
  window.lookedAt = now;

  // Only what was found crosses over; the list of everything that passed takes longer than the looking. Words in their
  // background's very colour axe leaves to be looked at by somebody; here they are found.
  const isUnseen = (rule) => rule.nodes.some((node) => node.any.some((one) => one.data?.messageKey === "equalRatio"));
  const found = [...answer.violations, ...answer.incomplete.filter(isUnseen)];
  const pushed = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  return [found.map((rule) => `${rule.id}: ${rule.nodes[0].html.slice(0, 160)} (${rule.help})`), [...well], pushed];
}
