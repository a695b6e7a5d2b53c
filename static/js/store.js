// What everything that keeps things on this device shares: the browser's store answers by events, and the rest of us
// wait for promises.

export const answered = (request) =>
  new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });

export const finished = (transaction) =>
  new Promise((done, failed) => {
    transaction.oncomplete = () => done();
    transaction.onabort = transaction.onerror = () => failed(transaction.error ?? new Error("stopped"));
  });

// A key nobody else comes upon.
export const unguessable = () =>
  [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
