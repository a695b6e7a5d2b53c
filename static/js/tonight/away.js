// What a device shows while the shop's machine is away: what stands in clamps, and that what was ticked is safe here.
import { Clock } from "../device/clock.js";
import { Queue } from "../device/queue.js";
import { lookUntilThere } from "../device/there.js";
import { timeSaid, wait } from "../device/words.js";
import { Timers } from "./timers.js";
import { entrySaid } from "./words.js";

const find = (id) => document.getElementById(id);
const { here } = find("main").dataset;

async function show() {
  const queue = await Queue.open("tonight");
  const [waiting, refused, known, off, zone] = await Promise.all([
    queue.waiting(), queue.refused(), queue.note("timers"), queue.note("off"), queue.note("zone"),
  ]);
  const kept = [...waiting, ...refused];
  find("kept").replaceChildren(
    ...kept.map((entry) => {
      const row = document.createElement("li");
      row.textContent = `${timeSaid(Number(entry.at), zone, true)} ${entrySaid(entry)}`;
      return row;
    }),
  );
  find("nothing-kept").hidden = kept.length > 0;
  find("queue").textContent = waiting.length
    ? `${wait(waiting.length)}. Nothing is lost: it is kept on this device and sent when the machine is there again.`
    : "Nothing waits to be sent. This page looks every few seconds whether the machine is there again.";
  const timers = new Timers(new Clock(off ?? 0), () => {});
  timers.at({ list: find("timers"), none: find("no-timers"), line: find("timer-line"), zone });
  for (const timer of known ?? []) timers.add(timer);
  timers.look();
  setInterval(() => timers.look(), 1000);
}

show().catch(() => { find("queue").textContent = "What is kept on this device cannot be read now. Leave it as it is and look again later."; });
lookUntilThere(here);
