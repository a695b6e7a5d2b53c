// The stall while the shop's machine is away: what this phone knows of it, sold from and kept here until it is sent.
import { Clock } from "../device/clock.js";
import { Queue } from "../device/queue.js";
import { lookUntilThere } from "../device/there.js";
import { wait } from "../device/words.js";
import { Stall } from "./stall.js";

const find = (id) => document.getElementById(id);
const say = (words) => { find("status").textContent = words; };

async function tell(queue) {
  const waiting = await queue.waiting();
  find("queue").textContent = waiting.length
    ? `${wait(waiting.length)}. Nothing is lost: it is kept on this phone and sent when the shop’s machine is there again.`
    : "Nothing waits to be sent. Go on selling: what you tap is kept on this phone.";
}

function others(known) {
  find("known").replaceChildren(
    ...known.map(({ here, name }) => {
      const row = document.createElement("li");
      const link = Object.assign(document.createElement("a"), { href: here, textContent: name });
      row.append(link);
      return row;
    }),
  );
  find("elsewhere").hidden = known.length === 0;
}

async function show() {
  const queue = await Queue.open("fair");
  const known = await queue.notes("fair ");
  const told = known.find((one) => one.here === location.pathname);
  const stall = new Stall(queue, new Clock((await queue.note("off")) ?? 0), { say, changed: () => tell(queue) });
  lookUntilThere(location.pathname, () => stall.isBusy);
  await tell(queue);
  if (!told) {
    others(known);
    return;
  }
  find("name").textContent = told.name;
  find("stall").hidden = false;
  stall.told = told;
  stall.listen();
  await stall.open();
  find("stall").dataset.ready = "yes";
}

show().catch(() => { find("queue").textContent = "What is kept on this phone cannot be read now. Write sales on paper and look again later."; });
