// What the maker is told, one sentence a matter; a later word on the same matter takes the place of the one before.

export class Notices {
  constructor(place, template) {
    this.place = place;
    this.template = template;
    this.shown = new Map();
  }

  tell(matter, words, buttons = [], links = []) {
    const standing = this.shown.get(matter);
    if (!words) {
      standing?.remove();
      this.shown.delete(matter);
      return;
    }
    const note = this.template.content.firstElementChild.cloneNode(true);
    note.dataset.matter = matter;
    note.querySelector("p").textContent = words;
    const row = note.querySelector("div");
    for (const [label, act] of buttons) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = label;
      button.addEventListener("click", act);
      row.append(button);
    }
    for (const [label, address] of links) {
      const link = document.createElement("a");
      link.href = address;
      link.textContent = label;
      row.append(link);
    }
    row.hidden = !row.children.length;
    if (standing) standing.replaceWith(note);
    else this.place.append(note);
    this.shown.set(matter, note);
  }
}
