// One face on the screen: deep zoom of its tiles, and a layer of marks above.

import OpenSeadragon from "openseadragon";
import { draw, el, set } from "../page/dom";
import type { TilesInfo } from "../page/interface";
import { ask } from "../page/server";
import type { Point } from "./geometry";
import type { Fit, Size } from "./register";

export class View {
  readonly root: HTMLElement;
  readonly layer = draw("svg", { class: "layer", "aria-hidden": "true" });
  photo = "";
  size: Size = { width: 1, height: 1 };
  private readonly viewer: OpenSeadragon.Viewer;
  private laid = "";

  /** The view at the end of `room`, which is on the page: the viewer fits what it shows to the size that it finds. */
  constructor(room: HTMLElement, moved: () => void) {
    forestallStyle();
    const host = el("div", { class: "tiles", "aria-hidden": "true" });
    this.root = el("div", { class: "view", tabindex: 0, role: "application", "aria-roledescription": "photo board" }, host, this.layer);
    room.append(this.root);
    this.viewer = OpenSeadragon({
      element: host,
      drawer: "canvas",
      showNavigationControl: false,
      tabIndex: -1,
      keyboardNavEnabled: false,
      gestureSettingsMouse: { clickToZoom: false, dblClickToZoom: false },
      visibilityRatio: 0.3,
      minZoomImageRatio: 0.6,
      maxZoomPixelRatio: 8,
      animationTime: matchMedia("(prefers-reduced-motion: reduce)").matches ? 0 : 0.3,
      imageSmoothingEnabled: true,
    } as OpenSeadragon.Options);
    this.viewer.addHandler("update-viewport", moved);
    this.viewer.addHandler("resize", moved);
    this.layer.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
  }

  /** Opens the photo; done when it can be drawn upon. */
  async open(photo: string, address: string): Promise<void> {
    const info = await ask<TilesInfo>("GET", address);
    [this.photo, this.size, this.laid] = [photo, { width: info.width, height: info.height }, ""];
    await new Promise<void>((done) => {
      this.viewer.addOnceHandler("open", () => done());
      this.viewer.addOnceHandler("open-failed", () => done());
      this.viewer.open({ tileSource: source(info) } as unknown as OpenSeadragon.TileSourceSpecifier);
    });
  }

  /** The other face through this one, or none. */
  async lay(address: string | null, fit: Fit | null, opacity: number): Promise<void> {
    const world = this.viewer.world;
    if (world.getItemCount() > 1) world.removeItem(world.getItemAt(1));
    this.laid = address ?? "";
    if (!address || !fit) return;
    const info = await ask<TilesInfo>("GET", address);
    if (this.laid !== address) return;
    const scale = 1 / this.size.width;
    const height = (fit.width * info.height) / info.width;
    this.viewer.addTiledImage({
      tileSource: source(info) as unknown as OpenSeadragon.TileSource,
      x: (fit.centre.x - fit.width / 2) * scale,
      y: (fit.centre.y - height / 2) * scale,
      width: fit.width * scale,
      degrees: fit.degrees,
      flipped: true,
      opacity,
    });
  }

  setOpacity(opacity: number): void {
    if (this.viewer.world.getItemCount() > 1) this.viewer.world.getItemAt(1).setOpacity(opacity);
  }

  get ready(): boolean {
    return this.viewer.world.getItemCount() > 0;
  }

  toScreen(p: Point): Point {
    const at = this.viewer.viewport.pixelFromPoint(new OpenSeadragon.Point(p.x / this.size.width, p.y / this.size.width), true);
    return { x: at.x, y: at.y };
  }

  /** The pixel of the original under a point of the view. */
  toPhoto(p: Point): Point {
    const at = this.viewer.viewport.pointFromPixel(new OpenSeadragon.Point(p.x, p.y), true);
    return { x: at.x * this.size.width, y: at.y * this.size.width };
  }

  at(event: MouseEvent): Point {
    const box = this.root.getBoundingClientRect();
    return this.toPhoto({ x: event.clientX - box.left, y: event.clientY - box.top });
  }

  /** Photo pixels per screen pixel. */
  get pixel(): number {
    const [a, b] = [this.toPhoto({ x: 0, y: 0 }), this.toPhoto({ x: 100, y: 0 })];
    return (b.x - a.x) / 100;
  }

  centre(): Point {
    return this.toPhoto({ x: this.root.clientWidth / 2, y: this.root.clientHeight / 2 });
  }

  pan(dx: number, dy: number): void {
    const k = this.pixel / this.size.width;
    this.viewer.viewport.panBy(new OpenSeadragon.Point(dx * k, dy * k)).applyConstraints();
  }

  zoom(factor: number, about?: Point): void {
    const point = about && new OpenSeadragon.Point(about.x / this.size.width, about.y / this.size.width);
    this.viewer.viewport.zoomBy(factor, point).applyConstraints();
  }

  /** Shows the whole photo once the view has its new size. */
  refit(): void {
    this.viewer.addOnceHandler("after-resize", () => requestAnimationFrame(() => this.fit())); // it keeps its zoom first
  }

  fit(): void {
    this.viewer.viewport.goHome();
  }

  /** Brings a place into the middle, near enough to be seen. */
  show(points: Point[]): void {
    const [xs, ys] = [points.map((p) => p.x), points.map((p) => p.y)];
    const [x, y] = [Math.min(...xs), Math.min(...ys)];
    const [w, h] = [Math.max(...xs) - x, Math.max(...ys) - y];
    const room = Math.max(w, h, this.size.width / 12) * 1.5;
    const k = 1 / this.size.width;
    this.viewer.viewport.fitBounds(new OpenSeadragon.Rect((x + w / 2 - room) * k, (y + h / 2 - room) * k, 2 * room * k, 2 * room * k));
  }

  /** While drawing, the layer takes every pointer; else only what lies on it. */
  drawing(active: boolean): void {
    set(this.layer, { "data-drawing": active });
  }

  private wheel(event: WheelEvent): void {
    event.preventDefault();
    this.zoom(Math.exp(-event.deltaY / 400), this.at(event));
  }
}

/** The viewer would add an inline style element, which the page's policy refuses: it looks for this one first. */
function forestallStyle(): void {
  const name = "data-openseadragon-mobile-css";
  if (document.querySelector(`style[${name}]`)) return;
  const empty = document.createElementNS(null, "style");
  empty.setAttribute(name, "true");
  document.head.append(empty);
}

function source(info: TilesInfo): object {
  const small = Math.ceil(Math.log2(Math.max(info.width, info.height) / info.tile));
  return {
    width: info.width,
    height: info.height,
    tileSize: info.tile,
    tileOverlap: info.overlap,
    minLevel: Math.max(0, info.levels - 1 - Math.max(0, small)),
    maxLevel: info.levels - 1,
    getTileUrl: (z: number, x: number, y: number): string =>
      info.url.replace("{z}", String(z)).replace("{x}", String(x)).replace("{y}", String(y)),
  };
}
