// @ts-check
// Slides along the odds: what is told beside the slider is what stands in the table.

/** @param {ParentNode} page */
export function odds(page) {
  const part = page.querySelector(".odds");
  const slide = part?.querySelector("#slide");
  if (!part || !(slide instanceof HTMLInputElement)) return;
  const rows = [...part.querySelectorAll("tbody tr")];
  const show = () => {
    const at = Number(slide.value);
    const cells = [...(rows[at]?.children ?? [])].map((cell) => cell.textContent ?? "");
    const slid = part.querySelector("#slid");
    if (slid) slid.textContent = cells[0] ?? "";
    part.querySelectorAll("[data-cell]").forEach((cell) => {
      if (cell instanceof HTMLElement) cell.textContent = cells[Number(cell.dataset.cell)] ?? "";
    });
    part.querySelectorAll(".bar").forEach((bar, i) => bar.classList.toggle("at", i === at));
    rows.forEach((row, i) => row.classList.toggle("at", i === at));
    slide.setAttribute("aria-valuetext", `${cells[0]}, runs short ${cells[1]}`);
  };
  slide.addEventListener("input", show);
  show();
}
