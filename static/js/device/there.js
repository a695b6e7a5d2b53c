// A device whose shop is away looks every few seconds whether it is there again, and loads the page that was asked for;
// not while ``isBusy`` says that somebody is at something.

const EVERY = 5000;
// A proxy that answers for the machine is not the machine.
const isThere = (answer) => answer.status < 502 || answer.status > 504;

export function lookUntilThere(address, isBusy = () => false) {
  const look = async () => {
    const answer = await fetch(address, { method: "HEAD", credentials: "same-origin" }).catch(() => null);
    if (answer && isThere(answer) && !isBusy()) location.reload();
  };
  setInterval(look, EVERY);
}
