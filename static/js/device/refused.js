// What the shop's machine refused, each with what to do: try it again, or let it go.

const find = (id) => document.getElementById(id);

// ``said`` tells in words what an entry is.
export async function showRefused(queue, said) {
  const rows = (await queue.refused()).map((entry) => {
    const note = find("refused-note").content.firstElementChild.cloneNode(true);
    note.querySelector("[data-part=what]").textContent = said(entry);
    note.querySelector("[data-part=why]").textContent = entry.why;
    for (const button of note.querySelectorAll("[data-refused]")) button.dataset.id = entry.id;
    return note;
  });
  find("refused").replaceChildren(...rows);
}

// One of the two buttons was pressed; whether there was still something to settle.
export async function settle(queue, button) {
  const entry = (await queue.refused()).find((one) => String(one.id) === button.dataset.id);
  if (!entry) return false;
  if (button.dataset.refused === "again") await queue.again(entry);
  else await queue.letGo(entry);
  return true;
}
