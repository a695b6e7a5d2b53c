// How things are said at the bench: minutes, what is left of them, what was done.

export function minutesSaid(minutes) {
  const hours = Math.floor(minutes / 60);
  return [hours ? `${hours} h` : "", minutes % 60 || !hours ? `${minutes % 60} min` : ""].filter(Boolean).join(" ");
}

// What is left, in minutes and seconds, with hours where there are any; the last second counts as one.
export function leftSaid(millis) {
  const seconds = Math.ceil(millis / 1000);
  const two = (n) => String(n).padStart(2, "0");
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
  return hours ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
}

// What was done, for whoever reads what waits or was refused.
export function entrySaid(entry) {
  if (entry.kind === "time") return `${entry.label}: ${minutesSaid(Number(entry.minutes))} at “${entry.words}”`;
  const times = { begin: "begun", stop: "stopped and written down", drop: "thrown away" };
  if (times[entry.kind]) return `${entry.label}: the time of “${entry.words}” ${times[entry.kind]}`;
  if (entry.kind === "face") return `${entry.label ? `${entry.label}: ` : ""}rows laid face ${entry.down === "1" ? "down" : "up"}`;
  const dry = entry.step.endsWith("/dry") ? "counted dry" : "done";
  const what = entry.label ? `${entry.words}, ${entry.label}` : entry.words;
  return `${what}: ${entry.done === "0" ? `${dry}, taken back` : dry}`;
}
