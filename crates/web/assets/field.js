// @ts-check
// The phone's own part of a job: what waits to be sent, what is safe, and the job taken along for when there is no signal.
import { renew, tell } from "./live.js";

/** @typedef {{ n: number, what: string, made: number, fields: Record<string, string>, refused?: string }} Entry */
/** @typedef {{ entries: Entry[], safe?: { count: number, at: number }, taken: number | null }} Known */

const mark = /\/assets\/([^/]+)\//.exec(import.meta.url)?.[1] ?? "none";

/**
 * Asks the worker; nothing when there is none.
 * @param {Record<string, unknown>} asked @returns {Promise<any>}
 */
async function ask(asked) {
  const ready = await navigator.serviceWorker.ready;
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => done(event.data);
    ready.active?.postMessage(asked, [port2]);
  });
}

/** @param {number} at */
const clock = (at) => new Date(at).toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });

/** @param {number} count @param {string} thing */
const counted = (count, thing) => `${count} ${count === 1 ? thing : thing.replace(/y$/, "ie") + "s"}`;

/** What a form tells, in words. @param {Entry} entry */
function words({ what, fields }) {
  if (what === "take-back") return "an entry taken back";
  const value = fields.value ?? "";
  const load = fields.load ? ` of load ${fields.load}` : "";
  /** @type {Record<string, string>} */
  const told = {
    truck: `load ${fields.load} ${value}`, ticket: `ticket${load}: ${value}`, drum: `left in the drum${load}: ${value}`,
    line: `line in bay ${fields.bay} at ${value}`, "bay-done": `bay ${fields.bay} placed to its end`, water: `water${load}: ${value}`,
    slump: `slump${load}: ${value}`, concrete: `concrete${load}: ${value}`, air: `air: ${value}`, print: `boot print ${value} on bay ${fields.bay}`,
    sheen: `sheen gone on bay ${fields.bay}`, "float-on": `machine float on bay ${fields.bay}`, round: `${value} of bay ${fields.bay} done`,
  };
  return told[fields.what ?? ""] ?? value;
}

/** A part of the page. @param {string} kind @param {string} text @param {string} [name] */
function part(kind, text, name) {
  const made = document.createElement(kind);
  made.textContent = text;
  if (name) made.className = name;
  return made;
}

/** @param {string} text @param {() => unknown} work @param {string} [name] */
function button(text, work, name) {
  const made = /** @type {HTMLButtonElement} */ (part("button", text, name));
  made.type = "button";
  made.addEventListener("click", () => { made.disabled = true; void Promise.resolve(work()).finally(() => { made.disabled = false; }); });
  return made;
}

/** @param {HTMLElement} place @param {Known} known @param {string} job */
function show(place, known, job) {
  const [waiting, refused] = [known.entries.filter((entry) => entry.refused === undefined), known.entries.filter((entry) => entry.refused !== undefined)];
  place.replaceChildren();
  if (waiting.length) {
    place.append(part("p", `${counted(waiting.length, "entry")} waiting on this phone`, "what"));
    const list = part("ol", "");
    for (const entry of waiting) {
      const line = part("li", "", "waits");
      line.append(part("b", clock(entry.made)), ` ${words(entry)}: waiting`);
      list.append(line);
    }
    place.append(list, button("send now", () => poke()));
  }
  for (const entry of refused) {
    const line = part("p", `${clock(entry.made)} ${words(entry)} was not taken: ${entry.refused} `, "refused");
    line.append(button("drop it", () => ask({ what: "drop", job, n: entry.n })));
    place.append(line);
  }
  if (!known.entries.length && known.safe) place.append(part("p", `Safe: ${counted(known.safe.count, "entry")} of this phone arrived at the server at ${clock(known.safe.at)}.`, "safe"));
  const along = part("p", known.taken ? `On this phone for when there is no signal, as of ${clock(known.taken)}. ` : "Not on this phone yet. ", "along");
  along.append(button(known.taken ? "take along anew" : "take along", () => take(job, true), "quiet"));
  place.append(along);
  place.dataset.waiting = String(waiting.length);
  place.dataset.safe = String(known.entries.length ? 0 : known.safe?.count ?? 0);
  place.dataset.taken = String(known.taken ?? "");
  place.hidden = false;
}

/** @param {string} job @param {boolean} asked */
async function take(job, asked) {
  const { whole } = await ask({ what: "take", job });
  if (asked) tell(whole ? "This job is on the phone." : "Not all of it came: try again where there is a signal.");
  await fill();
}

/** Fills the place for what waits. @returns {Promise<Known | null>} */
async function fill() {
  const place = document.getElementById("waiting");
  const job = document.body.dataset.job;
  if (!place || !job || !("serviceWorker" in navigator)) return null;
  /** @type {Known} */
  const known = await ask({ what: "entries", job });
  show(place, known, job);
  return known;
}

let left = 0;

/** Sends what waits. */
async function poke() {
  const sent = await ask({ what: "send" });
  if (sent.end === "sign in") tell("Sign in again: what waits is kept on this phone until then.");
  if (sent.end === "later") tell(sent.words ?? "The server cannot take entries now: they are kept on this phone.");
  left = (await fill())?.entries.length ?? 0;
  if (sent.end === "sign in") wayIn();
}

/** Shows where to sign in again. */
function wayIn() {
  const link = /** @type {HTMLAnchorElement} */ (part("a", "sign in", "do"));
  link.href = `/sign-in?to=${encodeURIComponent(location.pathname)}`;
  document.getElementById("waiting")?.append(link);
}

/** Shows what the phone keeps on a page that was put anew. */
export function fieldAgain() {
  if (!("serviceWorker" in navigator)) {
    const place = document.getElementById("waiting");
    if (!place) return;
    place.replaceChildren(part("p", "This page is lost without a signal: a browser keeps pages only of addresses that it trusts (https, or this machine's own).", "care"));
    place.hidden = false;
    return;
  }
  void fill();
}

/** Starts once. @param {() => void} start what to start again when the page is put anew */
export async function field(start) {
  fieldAgain();
  if (!("serviceWorker" in navigator)) return;
  const { serviceWorker } = navigator;
  serviceWorker.addEventListener("message", (event) => {
    if (event.data?.what !== "entries") return;
    if (event.data.arrived) void renew(start).then(() => tell("What was waiting is safe on the server."));
    else void fill();
  });
  await serviceWorker.register(`/worker.js?mark=${mark}`);
  const job = document.body.dataset.job;
  const known = await fill();
  left = known?.entries.length ?? 0;
  if (left) await poke();
  for (const what of ["online", "signal"]) window.addEventListener(what, () => void poke());
  document.addEventListener("visibilitychange", () => { if (!document.hidden && left) void poke(); });
  setInterval(() => { if (left || Number(document.getElementById("waiting")?.dataset.waiting) > 0) void poke(); }, 10_000);
  const old = !known?.taken || Date.now() - known.taken > 5 * 60_000;
  if (job && old && document.getElementById("waiting") && !document.querySelector(".as-of")) await take(job, false);
}
