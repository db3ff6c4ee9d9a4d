// Lays the other face over this one: mirrored, and fitted by landmarks that are marked on both.

import { middle, type Point } from "./geometry";
import type { Mark } from "./mark";
import { scaleOf } from "./scale";

export interface Size { width: number; height: number }
/** Where the mirrored picture lies, in pixels of the face below: centre, width, turn. */
export interface Fit { centre: Point; width: number; degrees: number; how: string }

const LANDMARK = /^landmark:\s*(.+)$/i;

/** Least squares over shared landmarks; else by both scales, else by the widths, centre on centre. */
export function register(marks: Mark[], below: string, sizeBelow: Size, above: string, sizeAbove: Size): Fit {
  const pairs = sharedLandmarks(marks, below, above).map(([p, q]): [Point, Point] => [p, { x: sizeAbove.width - q.x, y: q.y }]);
  if (pairs.length >= 2) return fitted(pairs, sizeAbove);
  const [a, b] = [scaleOf(marks, below), scaleOf(marks, above)];
  const width = a && b ? (sizeAbove.width * a.pxPerMm) / b.pxPerMm : sizeBelow.width;
  const how = `${a && b ? "by the two scales" : "by the width"}, centre on centre; pins with the note 'landmark: 1', 'landmark: 2' on both faces register them`;
  return { centre: { x: sizeBelow.width / 2, y: sizeBelow.height / 2 }, width, degrees: 0, how };
}

function fitted(pairs: [Point, Point][], size: Size): Fit {
  const [p0, q0] = [middle(pairs.map(([p]) => p)), middle(pairs.map(([, q]) => q))];
  let [re, im, norm] = [0, 0, 0];
  for (const [p, q] of pairs) {
    const [px, py, qx, qy] = [p.x - p0.x, p.y - p0.y, q.x - q0.x, q.y - q0.y];
    re += px * qx + py * qy;
    im += py * qx - px * qy;
    norm += qx * qx + qy * qy;
  }
  const [c, s] = norm > 0 ? [re / norm, im / norm] : [1, 0];
  const map = (q: Point): Point => ({
    x: p0.x + c * (q.x - q0.x) - s * (q.y - q0.y),
    y: p0.y + s * (q.x - q0.x) + c * (q.y - q0.y),
  });
  const rms = Math.sqrt(pairs.reduce((sum, [p, q]) => sum + (map(q).x - p.x) ** 2 + (map(q).y - p.y) ** 2, 0) / pairs.length);
  return {
    centre: map({ x: size.width / 2, y: size.height / 2 }),
    width: size.width * Math.hypot(c, s),
    degrees: (Math.atan2(s, c) * 180) / Math.PI,
    how: `registered by ${pairs.length} landmarks, ${rms.toFixed(1)} px apart (rms)`,
  };
}

function sharedLandmarks(marks: Mark[], below: string, above: string): [Point, Point][] {
  const named = (photo: string): Map<string, Point> =>
    new Map(marks.filter((m) => m.photo === photo && LANDMARK.test(m.text)).map((m) => [LANDMARK.exec(m.text)?.[1] ?? "", middle(m.points)]));
  const other = named(above);
  return [...named(below)].flatMap(([name, p]): [Point, Point][] => {
    const q = other.get(name);
    return q ? [[p, q]] : [];
  });
}
