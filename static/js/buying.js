// In the yard: whatever stands ready in a field of a board goes with the first sign typed over it.

let fresh = null;

const ready = (target) => target.matches(".buying .two input:not([type=checkbox]):not([type=date])");

// The finger that comes into a field chooses all of it; where it taps again, it sets a caret as always.
document.addEventListener("pointerdown", ({ target }) => {
  fresh = target !== document.activeElement && ready(target) ? target : null;
});
document.addEventListener("click", ({ target }) => {
  if (target === fresh) target.select();
  fresh = null;
});
