// A recording: lowest, mean and highest level of each stretch, fetched anew for what is looked at; contracts and messages above.

import uPlot from "uplot";
import { el } from "../page/dom";
import type { Capture, Levels } from "../page/interface";
import { ask, ofUnit, reason } from "../page/server";
import { frame, seconds, type Frame, type Range } from "./frame";
import { take } from "./log";
import { axis, curve, face, onTheme, token } from "./look";

const HEIGHT = 260;
const LEAST_S = 2e-6;
const MOST_NAMES = 60;

export async function captureChart(figure: HTMLElement): Promise<void> {
  const name = figure.dataset["capture"] ?? "";
  const capture = await ask<Capture>("GET", ofUnit("captures", encodeURIComponent(name)));
  if (capture.channels.length === 0 || !(capture.duration_s > 0)) return;
  new Recording(figure, name, capture);
}

class Recording {
  private readonly whole: Range;
  private range: Range;
  private channel: string;
  private readonly room: Frame;
  private plot: uPlot | null = null;
  private asked: AbortController | null = null;
  private levels: Levels | null = null;

  constructor(figure: HTMLElement, private readonly name: string, private capture: Capture) {
    this.whole = this.range = { from: 0, to: capture.duration_s };
    this.channel = (capture.channels.find((one) => one.name === "vbus") ?? capture.channels[0])?.name ?? "";
    this.room = frame(name, () => this.range, () => this.whole, (range) => void this.go(range));
    if (capture.channels.length > 1) this.room.root.prepend(this.choice());
    take(figure, this.room.root);
    void this.go(this.whole);
    onTheme(() => this.draw(true));
    new ResizeObserver(() => this.plot?.setSize({ width: this.room.width(), height: HEIGHT })).observe(this.room.plots);
  }

  private async go(range: Range): Promise<void> {
    if (range.to - range.from < LEAST_S) return;
    this.range = range;
    this.asked?.abort();
    const asked = (this.asked = new AbortController());
    const address = ofUnit("captures", encodeURIComponent(this.name));
    const stretch = { from: String(range.from), to: String(range.to) };
    const query = new URLSearchParams({ channel: this.channel, ...stretch, points: String(Math.min(2000, 2 * this.room.width())) });
    try {
      const levels = ask<Levels>("GET", `${address}/levels?${query.toString()}`, undefined, asked.signal);
      const seen = ask<Capture>("GET", `${address}?${new URLSearchParams(stretch).toString()}`, undefined, asked.signal);
      this.levels = await levels;
      this.draw();
      this.capture = await seen;
      this.draw();
    } catch (error) {
      if (!asked.signal.aborted) this.room.said.textContent = reason(error);
    }
  }

  private draw(anew = false): void {
    const { levels } = this;
    if (!levels) return;
    if (anew || !this.plot) this.build(levels);
    const plot = this.plot;
    plot?.batch(() => {
      plot.setData([levels.t_s, levels.high, levels.low, levels.mean], false);
      plot.setScale("x", { min: this.range.from, max: this.range.to });
      const [low, high] = [Math.min(...levels.low), Math.max(...levels.high)];
      const room = Math.max((high - low) * 0.06, 0.05);
      plot.setScale("y", { min: low - room, max: high + room * 4 });
    });
  }

  private build(levels: Levels): void {
    this.plot?.destroy();
    const edge = { width: 0, points: { show: false } };
    this.plot = new uPlot({
      width: this.room.width(), height: HEIGHT,
      legend: { show: false },
      scales: { x: { time: false, auto: false }, y: { auto: false } },
      cursor: { drag: { x: true, y: false, setScale: false } },
      series: [{}, edge, edge, { stroke: () => curve(0), width: 1.25, points: { show: false } }],
      bands: [{ series: [1, 2], fill: () => `${curve(0)}40` }],
      axes: [
        { ...axis("time", 2), size: 40, values: (_, ticks) => ticks.map((t) => seconds(t, (ticks[1] ?? 1) - (ticks[0] ?? 0))) },
        axis(`${levels.channel}, ${levels.unit}`, 3),
      ],
      hooks: {
        draw: [(plot) => this.annotate(plot)],
        setCursor: [(plot) => this.tell(plot)],
        setSelect: [(plot) => this.select(plot)],
      },
    }, [levels.t_s, levels.high, levels.low, levels.mean]);
    this.room.plots.replaceChildren(this.plot.root);
  }

  private select(plot: uPlot): void {
    const { left, width } = plot.select;
    if (width < 3) return;
    const range = { from: plot.posToVal(left, "x"), to: plot.posToVal(left + width, "x") };
    plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
    void this.go(range);
  }

  private annotate(plot: uPlot): void {
    const { ctx, bbox } = plot;
    const ratio = devicePixelRatio;
    const x = (t: number): number => Math.max(bbox.left, Math.min(bbox.left + bbox.width, plot.valToPos(t, "x", true)));
    const { from, to } = this.range;
    ctx.save();
    ctx.font = face().replace("12px", `${12 * ratio}px`);
    ctx.textAlign = "left";
    ctx.textBaseline = "alphabetic";
    for (const one of this.capture.contracts.filter((c) => c.to_s > from && c.from_s < to)) {
      const [left, right] = [x(one.from_s), x(one.to_s)];
      ctx.fillStyle = token("meets");
      ctx.fillRect(left + ratio, bbox.top + ratio, Math.max(ratio, right - left - 2 * ratio), 3 * ratio);
      if (ctx.measureText(one.text).width < right - left) ctx.fillText(one.text, left + 3 * ratio, bbox.top + 17 * ratio);
    }
    const seen = this.capture.messages.filter((m) => m.end_s > from && m.t_s < to);
    for (const message of seen) {
      ctx.fillStyle = token(message.valid ? "slate" : "short");
      ctx.fillRect(x(message.t_s), bbox.top + 22 * ratio, Math.max(ratio, x(message.end_s) - x(message.t_s)), 8 * ratio);
      if (seen.length <= MOST_NAMES && ctx.measureText(message.name).width < x(message.end_s) - x(message.t_s)) {
        ctx.fillText(message.name, x(message.t_s), bbox.top + 44 * ratio);
      }
    }
    ctx.restore();
  }

  private tell(plot: uPlot): void {
    const index = plot.cursor.idx;
    const { levels } = this;
    if (index == null || !levels || !(plot.cursor.left != null && plot.cursor.left >= 0)) return;
    const t = plot.posToVal(plot.cursor.left, "x");
    const near = (this.range.to - this.range.from) / 200;
    const message = this.capture.messages.find((m) => t >= m.t_s - near && t <= m.end_s + near);
    const contract = this.capture.contracts.find((c) => t >= c.from_s && t <= c.to_s);
    const value = (n: number | undefined): string => (n === undefined ? "–" : Number(n.toPrecision(4)).toString());
    const level = `${levels.channel} ${value(levels.low[index])} … ${value(levels.high[index])} ${levels.unit}`;
    const words = [seconds(t, near / 5), level, contract?.text, message && `${message.from}: ${message.name}${message.valid ? "" : ", not valid"}`];
    this.room.said.textContent = words.filter(Boolean).join(" · ");
  }

  private choice(): HTMLElement {
    const select = el("select", { "aria-label": `Channel of ${this.name}` }, ...this.capture.channels.map((one) => el("option", { value: one.name, selected: one.name === this.channel }, one.name)));
    select.addEventListener("change", () => {
      this.channel = select.value;
      this.plot?.destroy();
      this.plot = null;
      void this.go(this.range);
    });
    return el("label", { class: "tools" }, "level of ", select);
  }
}
