// The shortest way between two outlines in the plane of the picture that goes around slots.

import { cross, distance, edges, inside, middle, nearest, type Point } from "./geometry";

/** The way's corners, from the first outline to the second; null where a slot encloses one of them. */
export function shortestWay(from: Point[], to: Point[], slots: Point[][]): Point[] | null {
  const corners = slots.flat();
  const starts = [...from, ...[...corners, ...to].flatMap((p) => edges(from).map((edge) => nearest(p, edge)))];
  const ends = [...to, ...[...corners, ...from].flatMap((p) => edges(to).map((edge) => nearest(p, edge)))];
  const nodes = [...starts, ...corners, ...ends];
  const isEnd = (index: number): boolean => index >= starts.length + corners.length;
  const best = nodes.map((_, index) => (index < starts.length ? 0 : Infinity));
  const before = nodes.map(() => -1);
  const open = new Set(nodes.keys());
  while (open.size > 0) {
    const next = [...open].reduce((a, b) => (at(best, b) < at(best, a) ? b : a));
    const here = nodes[next];
    if (!here || at(best, next) === Infinity) return null;
    if (isEnd(next)) return trace(nodes, before, next);
    open.delete(next);
    for (const other of open) {
      const there = nodes[other];
      if (!there || other < starts.length) continue;
      const length = at(best, next) + distance(here, there);
      if (length < at(best, other) && free([here, there], slots)) {
        best[other] = length;
        before[other] = next;
      }
    }
  }
  return null;
}

/** The length of a way. */
export function lengthOf(way: Point[]): number {
  return way.slice(1).reduce((total, point, index) => total + distance(way[index] ?? point, point), 0);
}

function free(segment: [Point, Point], slots: Point[][]): boolean {
  const mid = middle(segment);
  return slots.every((slot) => !edges(slot).some((edge) => cross(segment, edge)) && !inside(mid, slot));
}

function trace(nodes: Point[], before: number[], last: number): Point[] {
  const way: Point[] = [];
  for (let index = last; index >= 0; index = before[index] ?? -1) {
    const node = nodes[index];
    if (node) way.unshift(node);
  }
  return way;
}

function at(values: number[], index: number): number {
  return values[index] ?? Infinity;
}
