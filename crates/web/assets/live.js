// @ts-check
// Shows within a second what another screen changed, or a result that was waited for.

let fade = 0;

/** Says something to who looks and to who listens. @param {string} words */
export function tell(words) {
  const told = document.getElementById("told");
  if (!told) return;
  told.textContent = words;
  clearTimeout(fade);
  fade = setTimeout(() => { told.textContent = ""; }, 6000);
}

/** Whether something is typed that was not sent. */
function busy() {
  const fields = document.querySelectorAll("main input:not([type='hidden'], [type='range']), main textarea");
  return [...fields].some((field) => (field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement) && field.value !== field.defaultValue);
}

/** What can be folded on the page, but for the phone's own part. @returns {HTMLDetailsElement[]} */
const folds = () => [...document.querySelectorAll("main details:not(#waiting *)")].filter((part) => part instanceof HTMLDetailsElement);

/** By what a fold is known when the page is put anew: its state behind the comma changes. @param {HTMLDetailsElement} fold */
const nameOf = (fold) => `${fold.className} ${fold.querySelector("summary")?.textContent?.split(",")[0] ?? ""}`;

/**
 * Takes the page anew and puts it in place of what is shown, keeping the eye and the finger where they are.
 * @param {() => void} start what to start again
 */
export async function renew(start) {
  const answer = await fetch(location.href, { headers: { accept: "text/html" } });
  if (!answer.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  const focus = document.activeElement instanceof HTMLElement ? document.activeElement.id : "";
  const open = folds().filter((part) => part.open).map(nameOf);
  const scrolled = [...document.querySelectorAll(".strip")].map((part) => part.scrollLeft);
  for (const part of ["header.head", "main"]) {
    const [old, now] = [document.querySelector(part), fresh.querySelector(part)];
    if (old && now) old.replaceWith(now);
  }
  document.body.dataset.revision = fresh.body.dataset.revision;
  document.body.dataset.now = fresh.body.dataset.now;
  folds().forEach((part) => { if (open.includes(nameOf(part))) part.open = true; });
  start();
  document.querySelectorAll(".strip").forEach((part, i) => { part.scrollLeft = scrolled[i] ?? part.scrollLeft; });
  if (focus) document.getElementById(focus)?.focus({ preventScroll: true });
}

/** Listens as long as the page is open. @param {() => void} start */
export function live(start) {
  const job = document.body.dataset.job;
  const source = new EventSource("/live");
  let waiting = false;
  const changed = (/** @type {MessageEvent} */ event) => {
    if (job && event.data && event.data !== job) return;
    if (busy()) {
      tell("Somebody else changed this job. It is shown when you are done typing.");
      waiting = true;
      return;
    }
    void renew(start);
  };
  for (const what of ["job", "log", "rounds", "behind"]) source.addEventListener(what, changed);
  let lost = false;
  source.addEventListener("error", () => { lost = true; tell("No connection. What you see may be old."); });
  source.addEventListener("open", () => {
    if (lost) { lost = false; tell("Connected again."); window.dispatchEvent(new Event("signal")); void renew(start); }
  });
  document.addEventListener("focusout", () => { if (waiting && !busy()) { waiting = false; void renew(start); } });
  // The page may have come before the stream did.
  if (document.querySelector("[data-working]")) setTimeout(() => void renew(start), 1500);
}
