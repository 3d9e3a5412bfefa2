// @ts-check
// The outline on squared ground: corners are dragged, put and taken out; the list below says the same in words.

const SVG = "http://www.w3.org/2000/svg";

/**
 * A corner in the unit of the ground, inches or centimetres; `typed` is what was written of it, until it is moved.
 * @typedef {{ name: string, x: number, y: number, typed?: string | undefined }} Corner
 */

/** Inches of a text such as `12 ft 6 1/2 in`, `6 in`, `12.5 ft`; a bare number is feet. @param {string} said */
function inches(said) {
  const part = /^\s*(-?)(?:(\d+(?:\.\d+)?)\s*(?:ft|'|$))?\s*(?:(\d+(?:\.\d+)?)?\s*(?:(\d+)\/(\d+))?\s*(?:in|")?)?\s*$/.exec(said);
  if (!part || !said.trim()) return NaN;
  const [, sign, feet, whole, top, under] = part;
  const sum = Number(feet ?? 0) * 12 + Number(whole ?? 0) + (top && under ? Number(top) / Number(under) : 0);
  return sign ? -sum : sum;
}

/** Centimetres of a text such as `3.80 m`, `380 cm`, `3800 mm`; a bare number is metres. @param {string} said */
function centimetres(said) {
  const part = /^\s*(-?\d+(?:\.\d+)?)\s*(m|cm|mm|)\s*$/.exec(said);
  if (!part) return NaN;
  return Number(part[1]) * ({ m: 100, cm: 1, mm: 0.1, "": 100 }[part[2] ?? ""] ?? 100);
}

/** @param {number} value @param {boolean} us */
function said(value, us) {
  if (!us) return `${(value / 100).toFixed(value % 1 ? 3 : 2)} m`;
  const sixteenths = Math.round(Math.abs(value) * 16);
  const [feet, rest] = [Math.floor(sixteenths / 192), sixteenths % 192];
  const [whole, part] = [Math.floor(rest / 16), rest % 16];
  const half = part % 8 === 0 ? 8 : part % 4 === 0 ? 4 : part % 2 === 0 ? 2 : 1;
  const inch = [whole ? String(whole) : "", part ? `${part / half}/${16 / half}` : ""].filter(Boolean).join(" ");
  const text = [feet ? `${feet} ft` : "", inch ? `${inch} in` : ""].filter(Boolean).join(" ");
  return (value < 0 && text ? "-" : "") + (text || "0 ft");
}

/** @param {HTMLTextAreaElement} list @param {boolean} us @returns {Corner[] | null} */
function read(list, us) {
  /** @type {Corner[]} */
  const corners = [];
  for (const line of list.value.split("\n")) {
    if (!line.trim()) continue;
    const cut = line.lastIndexOf(":");
    const [right, up] = line.slice(cut + 1).split(",");
    const [x, y] = [right, up].map((part) => (us ? inches(part ?? "") : centimetres(part ?? "")));
    if (cut < 1 || x === undefined || y === undefined || Number.isNaN(x) || Number.isNaN(y)) return null;
    corners.push({ name: line.slice(0, cut).trim(), x, y, typed: line.slice(cut + 1).trim() });
  }
  return corners;
}

/** @param {Corner} p @param {Corner} a @param {Corner} b */
function away(p, a, b) {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const share = Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(p.x - a.x - share * dx, p.y - a.y - share * dy);
}

/** @param {ParentNode} page */
export function sketch(page) {
  const form = page.querySelector("form.sketch");
  const svg = form?.querySelector("svg.sheet");
  const ground = form?.querySelector(".ground");
  const list = form?.querySelector("textarea");
  const told = form?.querySelector(".at");
  if (!(form instanceof HTMLFormElement) || !(svg instanceof SVGSVGElement) || !(ground instanceof HTMLElement)) return;
  if (!(list instanceof HTMLTextAreaElement) || !(told instanceof HTMLElement) || form.dataset.draws) return;
  form.dataset.draws = "yes";
  ground.hidden = false;
  const us = form.dataset.units === "us";
  const [square, big] = us ? [12, 60] : [50, 250];
  let corners = read(list, us) ?? [];
  let inked = -1;
  let room = 1.25;
  /** @type {string[]} */
  const before = [];
  /** What the ground shows: left, bottom, size. @type {{ x: number, y: number, wide: number }} */
  let view = { x: 0, y: 0, wide: us ? 288 : 800 };

  const fit = () => {
    const [xs, ys] = [corners.map((c) => c.x), corners.map((c) => c.y)];
    const [low, high] = [Math.min(...xs, 0), Math.max(...xs, us ? 240 : 600)];
    const [under, over] = [Math.min(...ys, 0), Math.max(...ys, us ? 120 : 300)];
    const wide = Math.max(high - low, over - under) * room;
    view = { x: (low + high - wide) / 2, y: (under + over - wide) / 2, wide };
  };

  /** @param {string} tag @param {Record<string, string | number>} facts @param {Element} to */
  const put = (tag, facts, to) => {
    const part = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(facts)) part.setAttribute(name, String(value));
    to.append(part);
    return part;
  };
  /** Up the sheet is up on the screen. @param {number} y */
  const flip = (y) => 2 * view.y + view.wide - y;

  const draw = () => {
    const focus = document.activeElement instanceof SVGElement ? document.activeElement.dataset.corner : undefined;
    svg.replaceChildren();
    svg.setAttribute("viewBox", `${view.x} ${view.y} ${view.wide} ${view.wide}`);
    const thin = view.wide / 400;
    const step = view.wide / square > 60 ? big : square;
    for (let at = Math.ceil(view.x / step) * step; at < view.x + view.wide; at += step) {
      put("line", { x1: at, x2: at, y1: view.y, y2: view.y + view.wide, class: at % big ? "fine" : "coarse", "stroke-width": thin }, svg);
    }
    for (let at = Math.ceil(view.y / step) * step; at < view.y + view.wide; at += step) {
      put("line", { y1: flip(at), y2: flip(at), x1: view.x, x2: view.x + view.wide, class: at % big ? "fine" : "coarse", "stroke-width": thin }, svg);
    }
    if (corners.length > 2) put("polygon", { points: corners.map((c) => `${c.x},${flip(c.y)}`).join(" "), class: "floor" }, svg);
    corners.forEach((a, i) => {
      const b = corners[(i + 1) % corners.length];
      if (!b || (corners.length < 3 && i === corners.length - 1)) return;
      put("line", { x1: a.x, y1: flip(a.y), x2: b.x, y2: flip(b.y), class: "edge", "stroke-width": thin * 3 }, svg);
      const [dx, dy] = [b.x - a.x, b.y - a.y];
      const long = Math.hypot(dx, dy);
      if (long < view.wide / 12) return;
      let turn = (-Math.atan2(dy, dx) * 180) / Math.PI;
      if (turn > 90 || turn <= -90) turn += 180;
      const [mx, my] = [(a.x + b.x) / 2, flip((a.y + b.y) / 2)];
      const words = put("text", { x: mx, y: my - view.wide / 90, transform: `rotate(${turn} ${mx} ${my})`, "text-anchor": "middle", "font-size": view.wide / 24 }, svg);
      words.textContent = said(Math.round(long * 16) / 16, us);
    });
    corners.forEach((corner, i) => {
      const part = put("g", { tabindex: 0, role: "button", class: i === inked ? "corner inked" : "corner", "data-corner": i, "aria-label": `corner ${corner.name}: ${said(corner.x, us)} right, ${said(corner.y, us)} up` }, svg);
      put("circle", { cx: corner.x, cy: flip(corner.y), r: view.wide / 14, class: "reach" }, part);
      put("circle", { cx: corner.x, cy: flip(corner.y), r: view.wide / 55, class: "dot", "stroke-width": thin * 3 }, part);
      if (focus === String(i) && part instanceof SVGElement) part.focus({ preventScroll: true });
    });
    const one = corners[inked];
    // A tap on an edge's kind shows the page anew: what is drawn is saved first.
    const unsaved = list.value !== list.defaultValue;
    document.querySelectorAll(".edges button").forEach((button) => { if (button instanceof HTMLButtonElement) button.disabled = unsaved; });
    told.textContent = one ? `${one.name}: ${said(one.x, us)} right, ${said(one.y, us)} up` : "";
    form.querySelectorAll("button[data-do]").forEach((button) => {
      if (!(button instanceof HTMLButtonElement)) return;
      if (button.dataset.do === "remove") button.disabled = !one || corners.length < 4;
      if (button.dataset.do === "back") button.disabled = !before.length;
    });
  };

  const say = () => { list.value = corners.map((c) => `${c.name}: ${c.typed ?? `${said(c.x, us)}, ${said(c.y, us)}`}`).join("\n"); };
  /** Remembers how it was, then changes it. @param {() => void} change */
  const step = (change) => {
    before.push(list.value);
    change();
    say();
    draw();
  };
  const free = () => {
    for (let i = 0; ; i += 1) {
      const name = String.fromCharCode(65 + (i % 26)) + (i < 26 ? "" : String(Math.floor(i / 26) + 1));
      if (!corners.some((corner) => corner.name === name)) return name;
    }
  };
  /** Where a finger is on the ground, on the inch or the centimetre. @param {PointerEvent} event @returns {Corner} */
  const under = (event) => {
    const box = svg.getBoundingClientRect();
    const x = view.x + ((event.clientX - box.left) / box.width) * view.wide;
    const y = flip(view.y + ((event.clientY - box.top) / box.height) * view.wide);
    return { name: "", x: Math.round(x), y: Math.round(y) };
  };
  /** Snaps to the line of a neighbour where that is near. @param {Corner} at @param {number} i */
  const squared = (at, i) => {
    const near = view.wide / 60;
    for (const other of [corners[(i + 1) % corners.length], corners[(i + corners.length - 1) % corners.length]]) {
      if (!other) continue;
      if (Math.abs(other.x - at.x) < near) at.x = other.x;
      if (Math.abs(other.y - at.y) < near) at.y = other.y;
    }
    return at;
  };

  let drags = -1;
  svg.addEventListener("pointerdown", (event) => {
    const part = event.target instanceof Element ? event.target.closest("[data-corner]") : null;
    if (part instanceof SVGElement) {
      drags = Number(part.dataset.corner);
      inked = drags;
      before.push(list.value);
      svg.setPointerCapture(event.pointerId);
      draw();
      return;
    }
    const at = { ...under(event), name: free() };
    step(() => {
      if (corners.length < 3) {
        corners.push(at);
        inked = corners.length - 1;
        return;
      }
      let [best, far] = [0, Infinity];
      corners.forEach((a, i) => {
        const b = corners[(i + 1) % corners.length];
        const distance = b ? away(at, a, b) : Infinity;
        if (distance < far) [best, far] = [i, distance];
      });
      corners.splice(best + 1, 0, at);
      inked = best + 1;
    });
  });
  svg.addEventListener("pointermove", (event) => {
    const corner = corners[drags];
    if (!corner) return;
    const at = squared(under(event), drags);
    [corner.x, corner.y, corner.typed] = [at.x, at.y, undefined];
    say();
    draw();
  });
  const drop = () => {
    if (drags >= 0 && before[before.length - 1] === list.value) before.pop();
    drags = -1;
    draw();
  };
  svg.addEventListener("pointerup", drop);
  svg.addEventListener("pointercancel", drop);
  svg.addEventListener("focusin", (event) => {
    const part = event.target instanceof Element ? event.target.closest("[data-corner]") : null;
    if (part instanceof SVGElement && inked !== Number(part.dataset.corner)) {
      inked = Number(part.dataset.corner);
      draw();
    }
  });
  svg.addEventListener("keydown", (event) => {
    const corner = corners[inked];
    const by = event.shiftKey ? square : 1;
    const way = { ArrowRight: [by, 0], ArrowLeft: [-by, 0], ArrowUp: [0, by], ArrowDown: [0, -by] }[event.key];
    if (!corner || !way) return;
    event.preventDefault();
    step(() => { [corner.x, corner.y, corner.typed] = [corner.x + (way[0] ?? 0), corner.y + (way[1] ?? 0), undefined]; });
  });
  ground.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("button[data-do]") : null;
    if (!(button instanceof HTMLButtonElement)) return;
    if (button.dataset.do === "remove" && corners.length > 3) step(() => { corners.splice(inked, 1); inked = -1; });
    if (button.dataset.do === "back") {
      list.value = before.pop() ?? list.value;
      corners = read(list, us) ?? corners;
      inked = -1;
      draw();
    }
    if (button.dataset.do === "out") room *= 1.4;
    if (button.dataset.do === "in") room = Math.max(1.1, room / 1.4);
    if (button.dataset.do === "out" || button.dataset.do === "in") { fit(); draw(); }
  });
  list.addEventListener("input", () => {
    const typed = read(list, us);
    if (typed) { corners = typed; inked = -1; fit(); draw(); }
    told.textContent = typed ? "" : "This cannot be drawn yet: one corner a line, as in A: 12 ft, 8 ft.";
  });
  fit();
  draw();
}
