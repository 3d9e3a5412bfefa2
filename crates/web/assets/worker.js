// @ts-check
/// <reference lib="webworker" />
// Stands between the pages and the server on the phone: keeps the pages on site as last seen, keeps what was tapped until the
// server has acknowledged it by name, and answers when the server cannot.

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const MARK = new URL(location.href).searchParams.get("mark") ?? "none";
const FILES = [
  "app.css", "drawn.css", "app.js", "bring.js", "day.js", "field.js", "live.js", "odds.js", "pad.js", "sketch.js", "mark.svg",
  "barlow-condensed-500.woff2", "barlow-condensed-700.woff2",
];
/** Pages that are kept for a job that is taken along. */
const TAKEN = ["pour", "finish", "floor", "floor?layer=thickness", "floor?layer=loads", "floor?layer=pads", "floor?layer=reach", "floor?layer=base", "floor?layer=outline", "day"];
const ON_SITE = /^\/jobs\/([^/]+)\/(pour|finish|floor|day|floor-at)$/;
const TELLS = /^\/jobs\/([^/]+)\/(log|take-back)$/;
/** A signal that gives no answer for so long is none, in milliseconds. */
const PATIENCE = 8000;

/**
 * What was tapped: a form of a page, and when.
 * @typedef {{ n?: number, job: string, what: string, event: string, fields: Record<string, string>, made: number,
 *   refused?: string }} Entry
 */

// ---------------------------------------------------------------- the phone's database

/** @returns {Promise<IDBDatabase>} */
function base() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open("flatwright", 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("entries", { keyPath: "n", autoIncrement: true });
      asked.result.createObjectStore("packs", { keyPath: "job" });
      asked.result.createObjectStore("safe", { keyPath: "job" });
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

/**
 * Does something with a store; what was written is on the disk when this has ended.
 * @template T
 * @param {string} name @param {IDBTransactionMode} mode @param {(store: IDBObjectStore) => IDBRequest<T>} work
 * @returns {Promise<T>}
 */
async function inStore(name, mode, work) {
  const database = await base();
  try {
    return await new Promise((done, failed) => {
      const transaction = database.transaction(name, mode, { durability: "strict" });
      const asked = work(transaction.objectStore(name));
      transaction.oncomplete = () => done(asked.result);
      transaction.onerror = transaction.onabort = () => failed(transaction.error);
    });
  } finally {
    database.close();
  }
}

/** All entries that are not acknowledged, in the order in which they were made. @returns {Promise<Entry[]>} */
const entries = () => inStore("entries", "readonly", (store) => store.getAll());

// ---------------------------------------------------------------- sending

/** @typedef {{ end: "sent" | "no signal" | "sign in" | "later", words?: string }} Sent */

/** @type {Promise<Sent> | null} */
let sending = null;

/** Sends what waits, one after the other, once at a time however many ask. @returns {Promise<Sent>} */
function send() {
  sending ??= sendAll().finally(() => { sending = null; });
  return sending;
}

/** @returns {Promise<Sent>} */
async function sendAll() {
  for (;;) {
    const entry = (await entries()).find((entry) => entry.refused === undefined);
    if (!entry) return { end: "sent" };
    const sent = await sendOne(entry);
    if (sent.end !== "sent") return sent;
  }
}

/** @param {Entry} entry @returns {Promise<Sent>} */
async function sendOne(entry) {
  const body = new URLSearchParams({ ...entry.fields, made: String(entry.made), sent: String(Date.now()) });
  let answer;
  try {
    answer = await fetch(`/jobs/${entry.job}/entries/${entry.what}`, {
      method: "POST", body, headers: { accept: "application/json" }, redirect: "manual", signal: AbortSignal.timeout(PATIENCE),
    });
  } catch {
    return { end: "no signal" };
  }
  if (answer.type === "opaqueredirect" || answer.status === 401 || answer.status === 403) return { end: "sign in" };
  /** @type {{ kept?: string, refused?: string }} */
  const told = await answer.json().catch(() => ({}));
  // Only the event's own name is an acknowledgement.
  if (answer.ok && told.kept === entry.event) {
    const n = /** @type {number} */ (entry.n);
    await inStore("entries", "readwrite", (store) => store.delete(n));
    await countSafe(entry.job);
    return { end: "sent" };
  }
  if ((answer.status === 422 || answer.status === 404) && told.refused) {
    await inStore("entries", "readwrite", (store) => store.put({ ...entry, refused: told.refused }));
    return { end: "sent" };
  }
  return { end: "later", words: told.refused };
}

/** @param {string} job */
async function countSafe(job) {
  const now = Date.now();
  /** @type {{ job: string, count: number, at: number } | undefined} */
  const known = await inStore("safe", "readonly", (store) => store.get(job));
  // What was sent in one go is told as one number.
  const count = known && now - known.at < 60_000 ? known.count + 1 : 1;
  await inStore("safe", "readwrite", (store) => store.put({ job, count, at: now }));
}

/** Tells the pages that something of what waits has changed. @param {boolean} arrived */
async function tellPages(arrived) {
  for (const page of await worker.clients.matchAll({ type: "window" })) page.postMessage({ what: "entries", arrived });
}

/** Sends what waits and tells the pages. @returns {Promise<Sent>} */
async function sendAndTell() {
  const before = (await entries()).length;
  const sent = await send();
  if (before > 0) await tellPages((await entries()).length < before);
  return sent;
}

// ---------------------------------------------------------------- what is tapped

/**
 * Keeps what was tapped, then sends it: in between it is on the phone's disk.
 * @param {Request} request @param {string} job @param {string} what
 */
async function told(request, job, what) {
  const fields = Object.fromEntries([...new URLSearchParams(await request.text())]);
  const event = fields.event ?? "";
  const known = (await entries()).find((entry) => entry.event === event);
  // The same form twice is one entry.
  if (!known) {
    /** @type {Entry} */
    const entry = { job, what, event, fields, made: Date.now() };
    await inStore("entries", "readwrite", (store) => store.add(entry));
  }
  let sent = await send();
  const mine = async () => (await entries()).find((entry) => entry.event === event);
  let left = await mine();
  // It may have come after a sending under way had looked for the last time.
  if (left && left.refused === undefined && sent.end === "sent") {
    sent = await send();
    left = await mine();
  }
  if (left?.refused !== undefined) {
    const { n, refused } = left;
    await inStore("entries", "readwrite", (store) => store.delete(/** @type {number} */ (n)));
    return new Response(`<!doctype html><title>Not taken</title><main><p>${plain(refused ?? "")}</p></main>`, {
      status: 422, headers: { "content-type": "text/html; charset=utf-8" },
    });
  }
  if (left) await tellPages(false);
  if (request.mode === "navigate") return Response.redirect(`/jobs/${job}/${back(fields)}`, 303);
  return new Response("", { headers: { "x-entry": left ? "waiting" : "safe" } });
}

/** The page to which a form leads. @param {Record<string, string>} fields */
function back(fields) {
  return fields.back === "finish" || ["print", "sheen", "float-on", "round"].includes(fields.what ?? "") ? "finish" : "pour";
}

/** Words without signs that a page would read as its own. @param {string} words */
function plain(words) {
  return words.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);
}

// ---------------------------------------------------------------- pages

/** @param {Promise<Response>} answer @returns {Promise<Response>} */
function patient(answer) {
  return Promise.race([answer, new Promise((_, failed) => { setTimeout(() => failed(new Error("no answer")), PATIENCE); })]);
}

/** Whether it is the server's own answer: what stands before it may say that it is gone. @param {Response} answer */
const isServers = (answer) => ![502, 503, 504].includes(answer.status);

/** Keeps a copy with the time. @param {string} address @param {Response} answer */
async function keep(address, answer) {
  if (!answer.ok || answer.redirected || answer.type === "opaqueredirect") return;
  const headers = new Headers({ "content-type": answer.headers.get("content-type") ?? "text/html", "x-kept": String(Date.now()) });
  await (await caches.open("seen")).put(address, new Response(await answer.blob(), { headers }));
}

/** A page of the server, or what the phone has in its place. @param {FetchEvent} event @param {URL} url */
async function page(event, url) {
  const address = url.pathname + url.search;
  const site = ON_SITE.exec(url.pathname);
  const kept = await (await caches.open("seen")).match(site && site[2] === "day" ? url.pathname : address);
  try {
    // Only where the phone has something to show instead is a slow answer given up.
    const answer = await (kept ? patient(fetch(event.request)) : fetch(event.request));
    if (isServers(answer)) {
      if (site || url.pathname === "/") event.waitUntil(keep(address, answer.clone()).catch(() => undefined));
      return answer;
    }
  } catch {
    // There is no signal: what follows is for that.
  }
  if (site) {
    const made = await byEngine(site[1] ?? "", site[2] ?? "", url).catch(() => null);
    if (made !== null) return html(made);
  }
  const front = /^\/jobs\/([^/]+)$/.exec(url.pathname);
  if (front) return Response.redirect(`/jobs/${front[1]}/pour`, 303);
  if (!kept) return nothing(url);
  const waiting = (await entries()).length;
  return html(asOf(await kept.text(), Number(kept.headers.get("x-kept")), { tells: site !== null, waiting }));
}

/** @param {string} text @param {number} [status] */
const html = (text, status = 200) => new Response(text, { status, headers: { "content-type": "text/html; charset=utf-8" } });

/**
 * A kept page says of when it is, and its forms become new events, after those that wait.
 * @param {string} text @param {number} kept @param {{ tells: boolean, waiting: number }} about
 */
function asOf(text, kept, { tells, waiting }) {
  const when = new Date(kept).toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });
  const words = `No signal: as of ${when}.${tells ? " What you log is kept on this phone." : ""}`;
  return text
    .replace("</header>", () => `<p class="as-of" data-known="${kept}">${plain(words)}</p></header>`)
    .replace(/name="event" value="[0-9a-f]{32}"/g, () => `name="event" value="${newId()}"`)
    .replace(/name="tick" value="(\d+)"/g, (_, tick) => `name="tick" value="${Number(tick) + waiting}"`);
}

/** 128 random bits. */
function newId() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** What a page says that the phone does not have. @param {URL} url */
async function nothing(url) {
  const job = /^\/jobs\/([^/]+)\//.exec(url.pathname)?.[1];
  const seen = await (await caches.open("seen")).keys();
  const has = (/** @type {string} */ address) => seen.some((request) => new URL(request.url).pathname === address);
  const links = [["/", "all jobs"], ...["pour", "finish", "floor", "day"].map((step) => [`/jobs/${job}/${step}`, step === "day" ? "day line" : step])];
  const shown = links.filter(([address]) => has(address ?? "")).map(([address, words]) => `<a class="do" href="${plain(address ?? "")}">${words}</a>`).join(" ");
  return html(`<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>No signal - Flatwright</title><link rel="stylesheet" href="/assets/${MARK}/app.css"></head><body><header class="head"><h1>No signal</h1></header>
<main><p>This page is not kept on this phone. Pour, finish, floor and day line of a job are, once it was opened or taken along.</p><p>${shown}</p></main></body></html>`, 503);
}

/** A built-in file: under another mark too, for a page that was kept before the program changed. @param {Request} request @param {URL} url */
async function file(request, url) {
  const exact = await caches.match(request);
  if (exact) return exact;
  try {
    return await fetch(request);
  } catch (error) {
    const name = url.pathname.split("/").pop();
    const other = await caches.match(`/assets/${MARK}/${name}`);
    if (other) return other;
    throw error;
  }
}

/** The page by the engine on the phone; nothing when the engine or the job is not here. @param {string} _job @param {string} _page @param {URL} _url @returns {Promise<string | null>} */
async function byEngine(_job, _page, _url) {
  return null;
}

// ---------------------------------------------------------------- taking along

/** Keeps the pages of a job on the phone. @param {string} job */
async function take(job) {
  let taken = 0;
  for (const name of TAKEN) {
    const address = `/jobs/${job}/${name}`;
    try {
      const answer = await fetch(address, { headers: { accept: "text/html" } });
      if (answer.ok && !answer.redirected) {
        await keep(address, answer);
        taken += 1;
      }
    } catch {
      break;
    }
  }
  return taken === TAKEN.length;
}

/** When a job was last taken along, if ever. @param {string} job */
async function takenAt(job) {
  const kept = await (await caches.open("seen")).match(`/jobs/${job}/day`);
  return kept ? Number(kept.headers.get("x-kept")) : null;
}

/** Answers what a page asks. @param {{ what: string, job: string, n?: number }} asked */
async function answered(asked) {
  switch (asked.what) {
    case "entries": {
      const all = (await entries()).filter((entry) => entry.job === asked.job);
      return { entries: all, safe: await inStore("safe", "readonly", (store) => store.get(asked.job)), taken: await takenAt(asked.job) };
    }
    case "send": return sendAndTell();
    case "take": return { whole: await take(asked.job), taken: await takenAt(asked.job) };
    case "drop": {
      // Only what the server has refused can be dropped.
      const entry = (await entries()).find((entry) => entry.n === asked.n && entry.refused !== undefined);
      if (entry) await inStore("entries", "readwrite", (store) => store.delete(/** @type {number} */ (asked.n)));
      await tellPages(false);
      return {};
    }
    default: return {};
  }
}

// ---------------------------------------------------------------- what comes in

worker.addEventListener("install", (event) => {
  const load = async () => {
    await (await caches.open(`files-${MARK}`)).addAll(FILES.map((name) => `/assets/${MARK}/${name}`));
    await worker.skipWaiting();
  };
  event.waitUntil(load());
});

worker.addEventListener("activate", (event) => {
  const tidy = async () => {
    for (const name of await caches.keys()) if (name.startsWith("files-") && name !== `files-${MARK}`) await caches.delete(name);
    await worker.clients.claim();
  };
  event.waitUntil(tidy());
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (request.method === "GET" && url.pathname.startsWith("/assets/")) {
    event.respondWith(file(request, url));
  } else if (request.method === "GET" && (request.mode === "navigate" || ON_SITE.test(url.pathname))) {
    event.respondWith(page(event, url));
  } else if (request.method === "POST") {
    const tells = TELLS.exec(url.pathname);
    if (tells) event.respondWith(told(request, tells[1] ?? "", tells[2] ?? ""));
  }
});

worker.addEventListener("message", (event) => {
  const port = event.ports[0];
  event.waitUntil(answered(event.data).then((answer) => port?.postMessage(answer), (error) => port?.postMessage({ error: String(error) })));
});

worker.addEventListener("sync", (event) => {
  /** @type {ExtendableEvent} */ (event).waitUntil(sendAndTell());
});
