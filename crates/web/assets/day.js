// @ts-check
// Slides along the day line; the floor under it shows each bay at that time. The states come from the server: nothing is figured here.

/**
 * A time of day as the job's people read it.
 * @param {number} at milliseconds @param {string} zone @param {boolean} twelve
 */
function told(at, zone, twelve) {
  const how = { timeZone: zone, hour: /** @type {const} */ ("numeric"), minute: /** @type {const} */ ("2-digit"), hourCycle: /** @type {"h12" | "h23"} */ (twelve ? "h12" : "h23") };
  return new Intl.DateTimeFormat("en-US", how).format(at).replace(/^0(?=\d)/, "").replace(/\s?([AP])M$/, (_, half) => ` ${half.toLowerCase()}m`);
}

/** @param {ParentNode} page */
export function dayLine(page) {
  const part = page.querySelector(".dayline");
  if (!(part instanceof HTMLElement)) return;
  const slide = part.querySelector("#minute");
  const floor = part.querySelector("#floor-at");
  const strip = part.querySelector(".strip");
  const time = part.querySelector("#slid-time");
  if (!(slide instanceof HTMLInputElement) || !(floor instanceof HTMLElement) || !(strip instanceof HTMLElement)) return;
  const of = (/** @type {string} */ name) => Number(part.dataset[name]);
  const [first, last, start] = [of("first"), of("last"), of("start")];
  const opened = performance.now();
  const job = document.body.dataset.job;
  const changes = (part.dataset.changes ?? "").split(" ").filter(Boolean).map(Number);
  /** @type {Map<number, string>} */
  const known = new Map();
  let wanted = Number.NaN;

  /** Where a minute stands in the strip, as a share of its width. @param {number} minute */
  const share = (minute) => {
    const along = (minute - first) / (last - first);
    return (of("left") + along * (of("right") - of("left"))) / of("wide");
  };
  /** The minute from which the floor is as it is then: between two changes nothing changes. @param {number} minute */
  const since = (minute) => changes.filter((change) => change <= minute).pop() ?? Math.min(first, minute);
  const now = () => of("now") + Math.floor((performance.now() - opened) / 60000);

  /** @param {number} minute */
  const show = async (minute) => {
    const paper = strip.querySelector(".paper");
    const wide = paper instanceof HTMLElement ? paper.offsetWidth : 0;
    const cursor = part.querySelector(".cursor");
    if (cursor instanceof HTMLElement) cursor.style.left = `${share(minute) * wide}px`;
    const line = part.querySelector(".nowline");
    if (line instanceof HTMLElement) {
      line.hidden = now() < first || now() > last;
      line.style.left = `${share(now()) * wide}px`;
    }
    const words = told(start + minute * 60000, part.dataset.zone ?? "UTC", part.dataset.hours === "12");
    if (time) time.textContent = words;
    slide.setAttribute("aria-valuetext", words);
    const key = since(minute);
    if (key === wanted) return;
    wanted = key;
    let text = known.get(key);
    if (text === undefined) {
      const answer = await fetch(`/jobs/${job}/floor-at?minute=${key}`);
      if (!answer.ok) return;
      text = await answer.text();
      known.set(key, text);
    }
    if (key !== wanted) return;
    const open = floor.querySelector("details")?.open ?? false;
    floor.innerHTML = text;
    const legend = floor.querySelector("details");
    if (legend && open) legend.open = true;
  };
  /** Brings a minute into the middle of the strip. @param {number} minute */
  const bring = (minute) => {
    const paper = strip.querySelector(".paper");
    if (paper instanceof HTMLElement) strip.scrollLeft = share(minute) * paper.offsetWidth - strip.clientWidth / 2;
  };
  /** @param {number} minute */
  const go = (minute) => {
    slide.value = String(minute);
    bring(minute);
    void show(Number(slide.value));
  };
  slide.step = "1";
  slide.addEventListener("input", () => go(Number(slide.value)));
  /** @type {[string, () => number][]} */
  const buttons = [
    [".earlier", () => Number(slide.value) - 10],
    [".to-now", now],
    [".later", () => Number(slide.value) + 10],
  ];
  for (const [name, minute] of buttons) {
    const button = part.querySelector(name);
    if (button instanceof HTMLButtonElement) {
      button.hidden = false;
      button.addEventListener("click", () => go(minute()));
    }
  }
  strip.querySelector(".paper")?.addEventListener("click", (event) => {
    const paper = strip.querySelector(".paper");
    if (!(event instanceof MouseEvent) || !(paper instanceof HTMLElement)) return;
    const at = (event.clientX - paper.getBoundingClientRect().left) / paper.offsetWidth;
    const along = (at * of("wide") - of("left")) / (of("right") - of("left"));
    go(Math.round(first + along * (last - first)));
  });
  go(Number(slide.value));
}
