// Plane geometry in pixels of the original photo.

export interface Point { x: number; y: number }

export function distance(a: Point, b: Point): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

export function middle(points: Point[]): Point {
  const sum = points.reduce((total, p) => ({ x: total.x + p.x, y: total.y + p.y }), { x: 0, y: 0 });
  return { x: sum.x / Math.max(1, points.length), y: sum.y / Math.max(1, points.length) };
}

/** The area of a polygon, by the shoelace formula. */
export function area(points: Point[]): number {
  let twice = 0;
  for (const [a, b] of edges(points)) twice += a.x * b.y - b.x * a.y;
  return Math.abs(twice) / 2;
}

/** The edges of a closed polygon. */
export function edges(points: Point[]): [Point, Point][] {
  return points.map((point, index) => [point, points[(index + 1) % points.length] ?? point]);
}

/** The point of a segment that is nearest to p. */
export function nearest(p: Point, [a, b]: [Point, Point]): Point {
  const length = (b.x - a.x) ** 2 + (b.y - a.y) ** 2;
  if (length === 0) return a;
  const t = Math.max(0, Math.min(1, ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length));
  return { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) };
}

/** Whether two segments cross in their insides (touching is no crossing). */
export function cross([a, b]: [Point, Point], [c, d]: [Point, Point]): boolean {
  const [abc, abd, cda, cdb] = [turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b)];
  return abc * abd < 0 && cda * cdb < 0;
}

/** Whether p lies inside a polygon (its edge counts as outside, within rounding). */
export function inside(p: Point, polygon: Point[]): boolean {
  let odd = false;
  for (const [a, b] of edges(polygon)) {
    if (distance(p, nearest(p, [a, b])) < 1e-6) return false;
    if (a.y > p.y !== b.y > p.y && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) odd = !odd;
  }
  return odd;
}

function turn(a: Point, b: Point, c: Point): number {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}
