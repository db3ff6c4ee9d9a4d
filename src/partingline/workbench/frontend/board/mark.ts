// A mark on a photo, and the W3C Web Annotation that it is in marks.json.

import type { Annotation, Body } from "../page/interface";
import type { Point } from "./geometry";

export type Kind = "box" | "line" | "outline";

export interface Mark {
  id: string; photo: string; kind: Kind; points: Point[]; subject: string; text: string;
  version: string; raw: Annotation | null;
}

const N = "(-?[\\d.]+(?:[eE][+-]?\\d+)?)";
const XYWH = new RegExp(`xywh=(?:pixel:)?\\s*${N},\\s*${N},\\s*${N},\\s*${N}\\s*$`);
const SHAPE = /<(polygon|polyline)[^>]*\spoints=["']([^"']+)["']/;

/** The mark, or null for annotations that cannot be drawn: those stay as they are in the file. */
export function readMark(annotation: Annotation, version: string): Mark | null {
  const selector = annotation.target?.selector;
  const shape = selector && shapeOf(selector.type, selector.value);
  if (!shape) return null;
  return {
    id: annotation.id,
    photo: annotation.target.source.replace(/^photos\//, ""),
    subject: bodyOf(annotation, "identifying"),
    text: bodyOf(annotation, "describing"),
    version, raw: annotation, ...shape,
  };
}

/** The annotation, with everything of the original that the board does not know. */
export function toAnnotation(mark: Mark): Annotation {
  const known = bodies(mark.raw).filter((body) => body.purpose !== "identifying" && body.purpose !== "describing");
  const body = [say("identifying", mark.subject), ...(mark.text ? [say("describing", mark.text)] : []), ...known];
  return {
    "@context": "http://www.w3.org/ns/anno.jsonld",
    ...mark.raw,
    id: mark.id,
    type: "Annotation",
    body,
    target: { ...mark.raw?.target, source: mark.raw?.target.source ?? mark.photo, selector: selectorOf(mark) },
  };
}

export function newMark(photo: string, kind: Kind, points: Point[]): Mark {
  return { id: newId(), photo, kind, points, subject: "", text: "", version: "absent", raw: null };
}

/** What it is of, short enough to stand in the picture. */
export function nameOf(mark: Mark): string {
  const short = /^(?:part|port):(.+)$/.exec(mark.subject)?.[1];
  return short ?? (mark.text || mark.subject);
}

/** Opposite corners of a box into its four points. */
export function boxOf(a: Point, b: Point): Point[] {
  const [x, y, r, l] = [Math.min(a.x, b.x), Math.min(a.y, b.y), Math.max(a.x, b.x), Math.max(a.y, b.y)];
  return [{ x, y }, { x: r, y }, { x: r, y: l }, { x, y: l }];
}

function shapeOf(type: string, value: string): { kind: Kind; points: Point[] } | null {
  const box = type === "FragmentSelector" ? XYWH.exec(value) : null;
  if (box) {
    const [x = 0, y = 0, w = 0, h = 0] = box.slice(1).map(Number);
    return { kind: "box", points: boxOf({ x, y }, { x: x + w, y: y + h }) };
  }
  const shape = type === "SvgSelector" ? SHAPE.exec(value) : null;
  const numbers = shape?.[2]?.match(new RegExp(N, "g"))?.map(Number) ?? [];
  if (!shape || numbers.length < 4 || numbers.some(Number.isNaN)) return null;
  const points: Point[] = [];
  for (let i = 0; i + 1 < numbers.length; i += 2) points.push({ x: numbers[i] ?? 0, y: numbers[i + 1] ?? 0 });
  return { kind: shape[1] === "polygon" ? "outline" : "line", points };
}

function selectorOf(mark: Mark): Annotation["target"]["selector"] {
  if (mark.kind === "box") {
    const [a, , c] = mark.points;
    const numbers = a && c ? [a.x, a.y, c.x - a.x, c.y - a.y] : [];
    const value = `xywh=pixel:${numbers.map((n) => Math.round(n)).join(",")}`;
    return { type: "FragmentSelector", conformsTo: "http://www.w3.org/TR/media-frags/", value };
  }
  const points = mark.points.map((p) => `${p.x.toFixed(1)},${p.y.toFixed(1)}`).join(" ");
  return { type: "SvgSelector", value: `<svg><${mark.kind === "outline" ? "polygon" : "polyline"} points="${points}"/></svg>` };
}

function bodies(annotation: Annotation | null): Body[] {
  const body: unknown = annotation?.body;
  return (Array.isArray(body) ? body : body ? [body] : []) as Body[];
}

function bodyOf(annotation: Annotation, purpose: string): string {
  return bodies(annotation).find((body) => body.purpose === purpose)?.value ?? "";
}

function say(purpose: string, value: string): Body {
  return { type: "TextualBody", purpose, value };
}

function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = ((bytes[6] ?? 0) & 15) | 64; // RFC 9562, version 4
  bytes[8] = ((bytes[8] ?? 0) & 63) | 128;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return `urn:uuid:${hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5")}`;
}
