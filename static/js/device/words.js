// How a device says what waits on it, how its sending stands, and what time it is by the shop's own clock.

export const things = (many) => (many === 1 ? "1 thing" : `${many} things`);
export const wait = (many) => `${things(many)} ${many === 1 ? "waits" : "wait"} to be sent`;

// ``mine`` wait of who is signed in, ``others`` of somebody else; ``news`` is what was said last of things sent.
export function stateSaid(state, { mine, others, isAway, news }) {
  const words = {
    idle: mine ? wait(mine) : isAway ? "the shop’s machine is away" : news || "all sent",
    sending: `sending ${things(mine)}`,
    away: mine ? `${wait(mine)}; the shop’s machine is away` : "the shop’s machine is away",
    "signed out": `${wait(mine)}; sign in again`,
    other: `${wait(mine)}; somebody else is signed in, load the page again`,
  }[state];
  return others ? `${words}; ${things(others)} of somebody else wait for them to sign in` : words;
}

// A moment as the clock in the shop shows it, wherever the device thinks it is.
export function timeSaid(millis, zone, withDay = false) {
  const how = { hour: "2-digit", minute: "2-digit", hour12: false, ...(withDay ? { weekday: "short" } : {}) };
  try {
    return new Intl.DateTimeFormat("en-GB", { ...how, timeZone: zone }).format(millis).replace(",", "");
  } catch {
    return new Intl.DateTimeFormat("en-GB", how).format(millis).replace(",", "");
  }
}
