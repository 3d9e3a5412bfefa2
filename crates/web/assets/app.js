// @ts-check
// Starts what a page needs; every page works without it, with a little more tapping.
import { bring } from "./bring.js";
import { live } from "./live.js";
import { dayLine } from "./day.js";
import { field, fieldAgain } from "./field.js";
import { odds } from "./odds.js";
import { countDown, pad } from "./pad.js";
import { sketch } from "./sketch.js";

/** Starts or starts again all parts of what is shown. */
function start() {
  dayLine(document);
  odds(document);
  bring(document);
  sketch(document);
  pad(document, start);
  if (begun) fieldAgain();
  begun = true;
}

let begun = false;
start();
void field(start);
live(start);
countDown();
