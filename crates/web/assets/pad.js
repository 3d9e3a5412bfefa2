// @ts-check
// The number pad for shots that are called out.

/** @param {ParentNode} page */
export function pad(page) {
  void page;
}
