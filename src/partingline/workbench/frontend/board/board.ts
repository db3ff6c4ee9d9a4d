// The photo board: the faces of the unit, one, two beside each other, or one through the other, with all marks.

import { choose as chooseSubject, chosen as whenChosen } from "../page/chosen";
import { all, el } from "../page/dom";
import type { TilesInfo } from "../page/interface";
import { say } from "../page/say";
import { ask, ofUnit } from "../page/server";
import { paint } from "./layer";
import { boardKey } from "./keys";
import { furniture, type Furniture } from "./furniture";
import { boxOf, newMark, nameOf, type Kind, type Mark } from "./mark";
import { nameMark } from "./naming";
import { pointer } from "./pointer";
import { register } from "./register";
import { scaleOf, type Scale } from "./scale";
import { Marks } from "./store";
import { Spacing } from "./spacing";
import { drawn, measured, wayFrom, type State } from "./state";
import { keepUnfinished, unfinished } from "./unfinished";
import { View } from "./view";
import type { Point } from "./geometry";

export interface Face { name: string; info: string; title: string; region: Point[] }
const LEAST: Record<Kind, number> = { box: 2, line: 2, outline: 3 };
const PIN_PX = 16;
const NUDGE_MS = 500;

export class Board {
  readonly marks = new Marks();
  readonly state: State = { tool: null, draft: [], cursor: null, chosen: null, vertex: null };
  view: View;
  private readonly views: View[] = [];
  private readonly room: Furniture;
  asked = false; // whether a face was asked for already, by a person who did not wait
  private trial: Mark | null = null;
  private laid = "";
  private frame = 0;
  private refs: string[] = [];
  private readonly spacing = new Spacing(() => this.paint());
  private nudging: { before: Mark; timer: number } | null = null;

  constructor(place: HTMLElement, private readonly faces: Face[]) {
    this.room = furniture(faces, this);
    place.replaceChildren(this.room.root);
    this.view = this.addView();
    this.marks.onChange(() => this.paint());
    whenChosen((subject) => this.follow(subject));
  }

  get chosen(): Mark | null {
    return this.trial ?? this.marks.list.find((mark) => mark.id === this.state.chosen) ?? null;
  }

  get scale(): Scale | null {
    return scaleOf(this.marks.list, this.view.photo);
  }

  /** The marks of the face in use, with the one that is being moved as it is now. */
  here(photo = this.view.photo): Mark[] {
    const moving = this.trial;
    return this.marks.list.map((mark) => (moving && mark.id === moving.id ? moving : mark)).filter((mark) => mark.photo === photo);
  }

  /** The parts that a mark can be of. */
  async readRefs(): Promise<void> {
    const { rows } = await ask<{ rows: { ref: string }[] }>("GET", ofUnit("parts"));
    this.refs = rows.flatMap((row) => row.ref.split(/[,;]/)).map((ref) => ref.trim()).filter(Boolean);
  }

  async open(face: Face): Promise<void> {
    this.asked = true;
    this.reset();
    await this.view.open(face.name, face.info);
    if (face.region.length > 0) this.view.show(face.region);
    if (this.laid) await this.lay();
    this.paint();
  }

  use(view: View): void {
    if (view === this.view) return;
    this.view = view;
    this.stop();
    this.paint();
  }

  /** A tool, or none when it is taken again. */
  take(tool: Kind | null): void {
    this.settle();
    Object.assign(this.state, { tool: this.state.tool === tool ? null : tool, draft: [], cursor: null, vertex: null });
    if (this.state.tool) this.state.cursor = this.view.centre();
    this.view.drawing(this.state.tool !== null);
    this.view.root.focus({ preventScroll: true });
    this.paint();
    const how = { box: "Pin: click, or drag a box; Enter sets a corner at the cross", line: "Length: two points", outline: "Outline: points; Enter twice, or the first point, closes it" };
    this.tell(this.state.tool ? how[this.state.tool] : "");
  }

  place(point: Point): void {
    this.state.draft.push(point);
    this.remember();
    if (this.state.tool !== "outline" && this.state.draft.length === 2) return this.finish();
    this.paint();
  }

  /** Takes the last point back. */
  unplace(): boolean {
    this.state.draft.pop();
    this.remember();
    this.paint();
    return true;
  }

  /** Ends the drawing and asks what it is of. */
  finish(): void {
    const { tool, draft } = this.state;
    const first = draft[0];
    if (!tool || !first) return;
    const r = PIN_PX * this.view.pixel;
    const pin = [{ x: first.x - r, y: first.y - r }, { x: first.x + r, y: first.y + r }];
    const points = tool === "box" ? drawn({ ...this.state, cursor: null, draft: draft.length < 2 ? pin : draft }) : draft;
    if (tool !== "box" && points.length < LEAST[tool]) return say(`${LEAST[tool]} points at least.`);
    Object.assign(this.state, { tool: null, draft: [], cursor: null });
    this.remember();
    void this.keep(newMark(this.view.photo, tool, points));
  }

  /** Leaves the drawing, then the chosen mark; false when there is nothing to leave. */
  stop(): boolean {
    const busy = this.state.tool !== null || this.state.chosen !== null;
    if (this.state.tool) Object.assign(this.state, { tool: null, draft: [], cursor: null });
    else this.choose(null);
    this.remember();
    this.paint();
    return busy;
  }

  choose(id: string | null, show = false): void {
    if (id !== this.state.chosen) this.settle();
    this.state.vertex = id === this.state.chosen ? this.state.vertex : null;
    this.state.chosen = id;
    const mark = this.chosen;
    if (mark) {
      chooseSubject(mark.subject);
      if (show) this.view.show(mark.points);
      this.tell(`${nameOf(mark)}, ${measured(mark.kind, mark.points, this.scale)}`);
    }
    this.paint();
  }

  preview(mark: Mark): void {
    this.trial = mark;
    this.paint();
  }

  commit(before: Mark, after: Mark): void {
    this.trial = null;
    void this.marks.change(before, after);
  }

  /** Small moves by keys are one change when they pause. */
  nudge(before: Mark, after: Mark): void {
    window.clearTimeout(this.nudging?.timer);
    this.nudging = { before: this.nudging?.before ?? before, timer: window.setTimeout(() => this.settle(), NUDGE_MS) };
    this.preview(after);
    this.tell(measured(after.kind, after.points, this.scale));
  }

  discard(mark: Mark): void {
    this.settle();
    this.state.chosen = null;
    void this.marks.change(this.marks.list.find((one) => one.id === mark.id) ?? mark, null);
    say(`${nameOf(mark)} taken out; Z puts it back`);
  }

  /** Undoes the last change of a mark, the one that is being moved first. */
  undo(): void {
    this.settle();
    void this.marks.undo();
  }

  redo(): void {
    this.settle();
    void this.marks.redo();
  }

  async rename(): Promise<void> {
    this.settle();
    const before = this.chosen;
    const after = before && (await nameMark(before, this.subjects(), measured(before.kind, before.points, this.scale)));
    if (before && after) void this.marks.change(before, after);
  }

  /** The other face through this one: none, half, and back. */
  through(): void {
    this.laid = this.laid ? "" : (this.other()?.name ?? "");
    void this.lay();
  }

  setOpacity(opacity: number): void {
    this.view.setOpacity(opacity);
  }

  /** Two faces side by side, or one. */
  beside(): void {
    const second = this.views[1];
    if (second) {
      this.use(this.views[0] ?? second);
      second.root.remove();
      this.views.pop();
    } else {
      const face = this.other();
      if (!face) return say("There is no other face.");
      const view = this.addView();
      void view.open(face.name, face.info).then(() => this.paint());
    }
    this.views[0]?.refit();
    this.paint();
  }

  keepInSight(point: Point): void {
    const { x, y } = this.view.toScreen(point);
    const { clientWidth: w, clientHeight: h } = this.view.root;
    this.view.pan(x < 20 ? x - 60 : x > w - 20 ? x - w + 60 : 0, y < 20 ? y - 60 : y > h - 20 ? y - h + 60 : 0);
  }

  tell(text: string): void {
    this.room.said.textContent = text;
  }

  paint(): void {
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      for (const view of this.views) this.paintView(view);
      this.room.update(this, { beside: this.views.length > 1, through: this.laid !== "" });
    });
  }

  /** Goes on with what was being drawn before a reload. */
  async goOn(): Promise<boolean> {
    const { photo, tool, draft } = unfinished() ?? { photo: "", tool: null, draft: [] };
    const face = this.faces.find((one) => one.name === photo);
    if (!face || !tool || draft.length === 0) return false;
    await this.open(face);
    this.take(tool);
    this.state.draft.push(...draft);
    this.state.cursor = draft.at(-1) ?? null;
    this.tell(`${draft.length} point${draft.length === 1 ? "" : "s"} from before the reload: go on, or Escape`);
    this.paint();
    return true;
  }

  private remember(): void {
    const { tool, draft } = this.state;
    keepUnfinished(tool && draft.length > 0 ? { photo: this.view.photo, tool, draft } : null);
  }

  private paintView(view: View): void {
    const scale = scaleOf(this.marks.list, view.photo);
    const idle: State = { tool: null, draft: [], cursor: null, chosen: this.state.chosen, vertex: null };
    const mark = view === this.view ? this.chosen : null;
    view.drawing(view === this.view && this.state.tool !== null);
    const region = this.faces.find((face) => face.name === view.photo)?.region ?? [];
    const marks = this.here(view.photo);
    const plane = mark && wayFrom(mark, marks, scale);
    const ways = (scale && this.spacing.of(view.photo, marks)) ?? (plane ? [plane] : []);
    paint(view, marks, region, view === this.view ? this.state : idle, scale, ways);
    view.root.setAttribute("aria-label", `${view.photo}, ${this.here(view.photo).length} marks`);
  }

  private addView(): View {
    const view: View = new View(this.room.views, () => this.paint());
    this.views.push(view);
    pointer(this, view);
    view.root.addEventListener("focus", () => this.use(view));
    view.root.addEventListener("keydown", (event) => {
      if (event.target === view.root && boardKey(this, event)) event.preventDefault();
    });
    return view;
  }

  private async keep(mark: Mark): Promise<void> {
    const named = await nameMark(mark, this.subjects(), measured(mark.kind, mark.points, this.scale));
    if (named?.subject) {
      const written = this.marks.change(null, named);
      this.choose(named.id);
      await written;
    } else if (named) say("Not kept: it says nothing of what it is of.", "problem");
    this.paint();
  }

  private async lay(): Promise<void> {
    const face = this.laid ? this.faces.find((one) => one.name === this.laid && one.name !== this.view.photo) ?? this.other() : undefined;
    this.laid = face?.name ?? "";
    const size = face && (await sizeOf(face.info));
    const fit = face && size ? register(this.marks.list, this.view.photo, this.view.size, face.name, size) : null;
    await this.view.lay(face?.info ?? null, fit, this.room.opacity());
    this.tell(face && fit ? `${face.title} through it, mirrored: ${fit.how}` : "");
    this.paint();
  }

  private other(): Face | undefined {
    const index = this.faces.findIndex((face) => face.name === this.view.photo);
    return this.faces.length > 1 ? this.faces[(index + 1) % this.faces.length] : undefined;
  }

  private subjects(): string[] {
    return [...new Set([...this.refs, ...this.marks.list.map((mark) => mark.subject.replace(/^part:/, "")), "unit"])].filter(Boolean);
  }

  private follow(subject: string): void {
    if (!subject || this.chosen?.subject === subject) return;
    const mark = this.here().find((one) => one.subject === subject);
    if (mark) this.choose(mark.id, true);
  }

  private settle(): void {
    if (!this.nudging || !this.trial) return;
    window.clearTimeout(this.nudging.timer);
    const [before, after] = [this.nudging.before, this.trial];
    this.nudging = null;
    this.commit(before, after);
  }

  private reset(): void {
    this.settle();
    Object.assign(this.state, { tool: null, draft: [], cursor: null, chosen: null, vertex: null });
  }
}

/** Takes over the photos of the page: one board before the first of them, with all of them as its faces. */
export async function photoBoard(): Promise<void> {
  const places = all("[data-photo][data-info]");
  const first = places[0];
  if (!first) return;
  const faces = places.map(faceOf);
  const place = el("div");
  const holder = first.closest("[data-board]");
  if (holder) holder.prepend(place);
  else first.before(place);
  const board = new Board(place, faces);
  for (const old of places) (old.closest("figure") ?? old).hidden = true;
  await Promise.all([board.marks.load(), board.readRefs()]);
  if (board.asked) return;
  const wanted = decodeURIComponent(location.hash.slice(1));
  if (!wanted && (await board.goOn())) return;
  const pinned = board.marks.list.find((mark) => mark.subject === wanted || mark.id === wanted);
  const count = (one: Face): number => board.marks.list.filter((mark) => mark.photo === one.name).length;
  const busiest = faces.reduce((a, b) => (count(b) > count(a) ? b : a));
  const face = faces.find((one) => one.name === (pinned?.photo ?? wanted)) ?? busiest;
  await board.open(face);
  if (pinned) board.choose(pinned.id, true);
}

function faceOf(place: HTMLElement): Face {
  const name = place.dataset["photo"] ?? "";
  const [x, y, w, h] = (place.dataset["region"] ?? "").split(",").map(Number);
  const known = x !== undefined && y !== undefined && w !== undefined && h !== undefined;
  const region = known ? boxOf({ x, y }, { x: x + w, y: y + h }) : [];
  return { name, info: place.dataset["info"] ?? "", title: place.dataset["title"] ?? name, region };
}

async function sizeOf(address: string): Promise<{ width: number; height: number }> {
  const { width, height } = await ask<TilesInfo>("GET", address);
  return { width, height };
}
