// @ts-check
// A file that is brought: sent to be looked at, again after every choice, and taken when that is asked for.
import { tell } from "./live.js";

/** @param {ParentNode} page */
export function bring(page) {
  const form = page.querySelector("form.bring");
  const shown = page.querySelector("#brought");
  const file = form?.querySelector("input[type='file']");
  if (!(form instanceof HTMLFormElement) || !(shown instanceof HTMLElement) || !(file instanceof HTMLInputElement) || form.dataset.sends) return;
  form.dataset.sends = "yes";

  /** Sends the file with what was chosen. @param {FormData | null} choice */
  const ask = async (choice) => {
    const chosen = file.files?.[0];
    if (!chosen) return;
    if (chosen.size > 4_000_000) {
      shown.replaceChildren();
      tell(`${chosen.name} has ${Math.round(chosen.size / 1e6)} MB; 4 MB are taken here. Save only what is wanted of it.`);
      return;
    }
    const query = new URLSearchParams({ name: chosen.name });
    new FormData(form).forEach((value, name) => { if (typeof value === "string") query.append(name, value); });
    choice?.forEach((value, name) => query.append(name, String(value)));
    const answer = await fetch(`${form.action}?${query}`, { method: "POST", body: chosen, headers: { "content-type": "application/octet-stream" } });
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    const go = fresh.querySelector("[data-go]");
    if (go instanceof HTMLElement) {
      form.reset();
      location.assign(go.dataset.go ?? location.href);
      return;
    }
    shown.replaceChildren(...fresh.body.childNodes);
    shown.querySelectorAll("form.choice").forEach((part) => {
      if (!(part instanceof HTMLFormElement)) return;
      part.addEventListener("change", () => void send(new FormData(part)));
      part.addEventListener("submit", (event) => {
        event.preventDefault();
        void send(new FormData(part, event instanceof SubmitEvent ? event.submitter : null));
      });
    });
  };
  const send = (/** @type {FormData | null} */ choice) =>
    ask(choice).catch(() => tell("Not sent: no connection. Try again when there is one."));
  file.addEventListener("change", () => void send(null));
  form.addEventListener("submit", (event) => event.preventDefault());
}
