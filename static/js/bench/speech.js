// What is said aloud: where the cursor is and what lies there, and what was done. Only the last of a quick row of
// words is worth hearing.

export function speaker(region) {
  let waiting = 0;
  return (words) => {
    clearTimeout(waiting);
    // The same words twice would not be heard a second time.
    waiting = setTimeout(() => { region.textContent = region.textContent === words ? `${words}\u00a0` : words; }, 60);
  };
}
