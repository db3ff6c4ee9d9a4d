// Millimetres from lines of known length: marks on the unit whose text is 'scale: 30 mm'.

import { distance } from "./geometry";
import type { Mark } from "./mark";

export interface Scale { pxPerMm: number; relative: number }

const SCALE = /^scale:\s*(\d+(?:[.,]\d+)?)\s*(mm|cm|in)\b/i;
const MM: Record<string, number> = { mm: 1, cm: 10, in: 25.4 };
const POINTING_PX = 1; // standard uncertainty of where an end is put; common practice, no source

/** The scale of one photo from all its lines, weighted by their length; null without one. */
export function scaleOf(marks: Mark[], photo: string): Scale | null {
  let [px, mm, variance] = [0, 0, 0];
  for (const mark of marks) {
    const found = mark.photo === photo && mark.kind === "line" ? SCALE.exec(mark.text) : null;
    const [a, b] = [mark.points[0], mark.points.at(-1)];
    if (!found || !a || !b) continue;
    px += distance(a, b);
    mm += Number((found[1] ?? "").replace(",", ".")) * (MM[(found[2] ?? "").toLowerCase()] ?? 1);
    variance += 2 * POINTING_PX ** 2;
  }
  return px > 0 && mm > 0 ? { pxPerMm: px / mm, relative: Math.sqrt(variance) / px } : null;
}

/** A length in pixels as people read it: millimetres and their uncertainty, or pixels without a scale. */
export function shownLength(px: number, scale: Scale | null): string {
  if (!scale) return `${px.toFixed(0)} px`;
  const mm = px / scale.pxPerMm;
  const u = Math.hypot((Math.SQRT2 * POINTING_PX) / scale.pxPerMm, mm * scale.relative);
  const places = Math.min(3, Math.max(0, 1 - Math.floor(Math.log10(u)) - (leading(u) > 2 ? 1 : 0)));
  return `${mm.toFixed(places)} ± ${u.toFixed(places)} mm`;
}

export function shownArea(px2: number, scale: Scale | null): string {
  return scale ? `${(px2 / scale.pxPerMm ** 2).toPrecision(3)} mm²` : `${px2.toPrecision(3)} px²`;
}

function leading(u: number): number {
  return Number(u.toExponential(0).charAt(0));
}
