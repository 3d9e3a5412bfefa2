// @ts-check
// The number pad for shots that are called out, and forms that are sent without leaving the page.
import { renew, tell } from "./live.js";

const US = ["7", "8", "9", "ft", "1/8", "1/4", "4", "5", "6", "in", "3/8", "1/2", "1", "2", "3", "0", "5/8", "3/4", "back", "clear", "7/8"];
const METRIC = ["7", "8", "9", "4", "5", "6", "1", "2", "3", "0", ".", "back", "clear"];

/**
 * What the display says after a key: `5 ft 3 1/2 in` grows from `5`, `ft`, `3`, `1/2`.
 * @param {string} said @param {string} key
 */
export function typed(said, key) {
  const bare = said.replace(/ in$/, "");
  if (key === "clear") return "";
  if (key === "back") return bare.replace(/(?: \d\/\d| ?ft|.)$/, "").trimEnd();
  if (key === "ft") return /^\d+$/.test(bare) ? `${bare} ft` : said;
  if (key === "in") return /\d$/.test(bare) ? `${bare} in` : said;
  if (key.includes("/")) return /\d\/\d$/.test(bare) ? said : `${bare} ${key} in`.trimStart();
  if (/\d\/\d$/.test(bare)) return said;
  return / ft$/.test(bare) ? `${bare} ${key}` : bare + key;
}

/** What the server takes, in bytes. */
const LARGEST_PHOTO = 20_000_000;

/** @param {HTMLFormElement} form */
function keys(form) {
  const pad = form.querySelector(".pad");
  const reading = form.querySelector("#shot-reading");
  if (!(pad instanceof HTMLElement) || !(reading instanceof HTMLInputElement) || pad.childElementCount) return;
  for (const key of form.dataset.rod === "us" ? US : METRIC) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = key;
    button.dataset.key = key;
    button.addEventListener("click", () => { reading.value = typed(reading.value, key); });
    pad.append(button);
  }
  pad.hidden = false;
  // The pad is there: the phone's own keyboard need not come up.
  if (matchMedia("(pointer: coarse)").matches) reading.inputMode = "none";
}

/** Sends what was typed as a page of its own. @param {HTMLFormElement} form @param {URLSearchParams} data */
function leave(form, data) {
  const whole = document.createElement("form");
  whole.method = "post";
  whole.action = form.action;
  whole.hidden = true;
  data.forEach((value, name) => {
    const field = document.createElement("input");
    field.type = "hidden";
    field.name = name;
    field.value = value;
    whole.append(field);
  });
  document.body.append(whole);
  whole.submit();
}

/** Sends a form and shows what came of it in place. @param {HTMLFormElement} form @param {HTMLElement | null} button @param {() => void} start */
async function send(form, button, start) {
  const data = new URLSearchParams();
  new FormData(form, button).forEach((value, name) => data.append(name, String(value)));
  const answer = await fetch(form.action, { method: "POST", body: data });
  // The page of the sign-in keeps what was typed, and brings it back.
  if (answer.status === 401) return leave(form, data);
  if (!answer.ok) {
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    tell(page.querySelector("main p")?.textContent ?? "That was not taken.");
    return;
  }
  const waits = answer.headers.get("x-entry") === "waiting";
  tell(waits ? "No signal: it waits on this phone, and is sent when there is one." : form.matches(".shoot") ? "Shot kept." : "Kept.");
  form.querySelectorAll("select, #shot-up").forEach((field) => {
    if (field instanceof HTMLInputElement || field instanceof HTMLSelectElement) kept.set(field.id, field.value);
  });
  form.querySelectorAll("input").forEach((field) => { field.value = field.defaultValue; });
  await renew(start);
  // The finger on what changes from shot to shot.
  if (form.matches(".shoot")) document.getElementById("shot-right")?.focus();
}

/**
 * What stays from one shot to the next: the set-up, the row, what it is on.
 * @type {Map<string, string>}
 */
const kept = new Map();

/** Puts back what stays, as if the page had come with it. */
function putBack() {
  kept.forEach((value, id) => {
    const field = document.getElementById(id);
    if (field instanceof HTMLInputElement) field.defaultValue = value;
    if (field instanceof HTMLSelectElement && [...field.options].some((option) => option.value === value)) field.value = value;
  });
}

/** @param {ParentNode} page @param {() => void} start */
export function pad(page, start) {
  putBack();
  page.querySelectorAll("form.shoot").forEach((form) => { if (form instanceof HTMLFormElement) keys(form); });
  page.querySelectorAll("form.tap, form.told-value, form.line-at, form.shoot").forEach((form) => {
    if (!(form instanceof HTMLFormElement) || form.dataset.sends) return;
    form.dataset.sends = "yes";
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const button = event instanceof SubmitEvent ? event.submitter : null;
      send(form, button, start).catch(() => tell("Not sent: no connection. Tap again when there is one."));
    });
  });
  const photo = page.querySelector("#photo");
  if (photo instanceof HTMLInputElement) photo.addEventListener("change", () => {
    if ((photo.files?.[0]?.size ?? 0) <= LARGEST_PHOTO) return;
    photo.value = "";
    tell("That photo is over 20 MB: take it smaller. 3 MB show a slab well.");
  });
  const line = page.querySelector("#line-at");
  const told = page.querySelector("output[for='line-at']");
  if (line instanceof HTMLInputElement && told) line.addEventListener("input", () => { told.textContent = line.value; });
}

/** Counts down to the instants that are told on the page. */
export function countDown() {
  const opened = performance.now();
  const now = Number(document.body.dataset.now);
  const show = () => {
    document.querySelectorAll("[data-until]").forEach((part) => {
      if (!(part instanceof HTMLElement)) return;
      const left = (Number(part.dataset.until) - now - (performance.now() - opened)) / 1000;
      const minutes = Math.floor(Math.abs(left) / 60);
      const seconds = String(Math.floor(Math.abs(left) % 60)).padStart(2, "0");
      part.textContent = left < 0 ? `now: it was due ${minutes} min ago` : `within ${minutes}:${seconds}`;
    });
  };
  show();
  setInterval(show, 1000);
}
