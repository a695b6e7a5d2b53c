// The bench on its page: brings together what lies there, the hand, the planks, the journal and the shop's answers.
import { Answers } from "./answers.js";
import { Bench } from "./bench.js";
import { Daybook, stepsOf } from "./daybook.js";
import { Grid } from "./grid.js";
import { Hand } from "./hand.js";
import { Hints } from "./hints.js";
import { Keep } from "./keep.js";
import { Keys } from "./keys.js";
import { Look } from "./looks.js";
import { Notices } from "./notices.js";
import { Planks } from "./planks.js";
import { Pointer } from "./pointer.js";
import { Server } from "./server.js";
import { doings } from "./doings.js";
import { speaker } from "./speech.js";
import { Surface } from "./surface.js";

const find = (id) => document.getElementById(id);
const data = JSON.parse(find("bench-data").textContent);
const UNKNOWN = { rgb: "#808080", strokes: [], on_hand: false };
const lookOf = (id) => new Look(id, data.looks[id] ?? { ...UNKNOWN, name: id });

for (const part of document.querySelectorAll("#bench [hidden]:is(section)")) part.hidden = false;

const say = speaker(find("status"));
const notices = new Notices(find("bench-told"), find("bench-notice"));
const bench = new Bench(Grid.ofHex(data.rows), data.woods, data.woods.map(lookOf), data.largest);
const surface = new Surface(find("bench-sheet"), bench);
const hand = new Hand(bench, say);
const planks = new Planks(find("bench-planks"), find("bench-plank"), bench, { mm: data.pitch_mm, unit: data.unit }, find("bench-free"));
planks.freeIs(data.free);
const hints = new Hints(find("bench-hints"), bench, surface, say);
const form = find("bench-form");
const server = new Server(data.urls, form.elements.csrfmiddlewaretoken.value);
const answers = new Answers({ bench, server, hints, planks, rows: form.elements.pattern, hasReckoning: Boolean(data.urls.reckoning) });

const begin = (from) => (from ? `drawing ${from}` : "the empty grid");
let keep = null;
const daybook = new Daybook(bench, { design: data.design, from: data.from }, {
  notice: (matter, words, buttons) => notices.tell(matter, words, buttons),
  woods(ids) {
    bench.woods = ids;
    bench.looks = ids.map(lookOf);
    planks.build();
  },
  kept(number) {
    keep?.tellNewer(number, `Drawing ${number} was kept in another tab.`);
  },
  carriedOn(history) {
    notices.tell("carried", `You carry on where you left off: ${stepsOf(history)} from ${begin(data.from)}, not kept yet.`, [
      [`Begin again from ${begin(data.from)}`, () => {
        bench.replace("begun again", bench.gridOf(data.rows, data.woods));
        notices.tell("carried", "");
        say(`Begun again from ${begin(data.from)}. Undo brings back what was there.`);
      }],
    ]);
  },
  leave(from) {
    location.search = from ? `?from=${from}` : "";
  },
});
keep = new Keep({ form, bench, server, notices, say, data, daybook });

const { does, show } = doings({ bench, hand, surface, say });
new Pointer(surface, bench, hand, does);
new Keys(surface, bench, hand, does);

bench.addEventListener("step", () => { planks.soon(); answers.soon(); show(); });
bench.addEventListener("laid", () => { planks.soon(); answers.soon(); show(); });
bench.addEventListener("look", show);
surface.place.addEventListener("painted", () => { if (bench.stroke) planks.soon(); });
// A page that goes out of sight may never come back: what is being laid is a step now.
const finish = () => { if (hand.isLaying) hand.finish(); };
document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && finish());
window.addEventListener("pagehide", finish);

planks.build();
show();
// For whoever tries or measures the bench from outside: where a cell lies, what is drawn and written, what was painted.
surface.place.bench = {
  middleOf: (row, column) => surface.middleOf(row, column),
  text: () => bench.text(),
  isWritten: () => daybook.isWritten && !daybook.isWriting,
  painted: surface.painter.painted,
};
daybook.open().finally(() => {
  bench.isAtRest = false;
  answers.soon(0);
  keep.showState();
  surface.place.dataset.ready = "yes";
  bench.look();
});
