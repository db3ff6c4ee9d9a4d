// Creepage and clearance of the outlines as they are being moved: computed by the server, drawn when it answers.

import type { Json } from "../page/interface";
import { ask, ofUnit } from "../page/server";
import type { Mark } from "./mark";
import type { Way } from "./state";

interface Found { shown: string; points: [number, number][]; required: { shown: string } | null }
interface Answer { creepage: Found; clearance: Found }
interface Asked { key: string; ways: Way[] | null }

export class Spacing {
  private readonly known = new Map<string, Asked>();
  private busy = false;

  constructor(private readonly repaint: () => void) {}

  /** The paths as last answered for this photo, null where the server knows none; asks anew where outlines moved. */
  of(photo: string, marks: Mark[]): Way[] | null {
    const outlines = marks.filter((mark) => mark.kind === "outline" && mark.subject.startsWith("barrier:") && mark.points.length > 2);
    if (outlines.length < 2) return null;
    const told = JSON.stringify(outlines.map((one) => [one.subject, one.text, one.points]));
    const known = this.known.get(photo);
    if (known?.key !== told && !this.busy) void this.ask(photo, outlines, told);
    return known?.ways ?? null;
  }

  /** One question at a time; the repaint after an answer asks the next one. */
  private async ask(photo: string, outlines: Mark[], key: string): Promise<void> {
    this.busy = true;
    let ways: Way[] | null = null;
    try {
      const barriers = [...new Set(outlines.map((one) => one.subject))];
      const answers = barriers.map((barrier) => this.one(photo, barrier, outlines.filter((mark) => mark.subject === barrier)));
      ways = (await Promise.all(answers)).flat();
    } catch {
      // no scale yet, or no connection: the board's own way in the plane stands in
    }
    this.busy = false;
    this.known.set(photo, { key, ways });
    this.repaint();
  }

  private async one(photo: string, barrier: string, marks: Mark[]): Promise<Way[]> {
    const outlines = marks.map((mark): Json => ({ text: mark.text, points: mark.points.map(({ x, y }) => [x, y]) }));
    const answer = await ask<Answer>("POST", ofUnit("spacing", "draft"), { photo, barrier, outlines });
    return [...way("creepage", answer.creepage, "along the surface"), ...way("clearance", answer.clearance, "through air")];
  }
}

function way(kind: "creepage" | "clearance", found: Found, how: string): Way[] {
  if (found.points.length < 2) return [];
  const points = found.points.map(([x, y]) => ({ x, y }));
  const asked = found.required ? `, ${found.required.shown} required` : "";
  return [{ kind, points, text: `${found.shown} ${how}${asked}` }];
}
