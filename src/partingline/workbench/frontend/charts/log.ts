// A bench log: one chart for each unit, one time for all.

import uPlot from "uplot";
import type { Log } from "../page/interface";
import { ask, ofUnit } from "../page/server";
import { frame, seconds, type Range } from "./frame";
import { axis, curve, endLabels, face, onTheme, token } from "./look";

const HEIGHT = 170;

/** Replaces the drawn log by one that can be zoomed; the drawn one stays where the log cannot be read. */
export async function logChart(figure: HTMLElement): Promise<void> {
  const name = figure.dataset["log"] ?? "";
  const log = await ask<Log>("GET", `${ofUnit("logs", encodeURIComponent(name))}?points=2000`);
  const [first, last] = [log.t_s[0], log.t_s.at(-1)];
  if (first === undefined || last === undefined || last <= first) return;
  const whole: Range = { from: first, to: last };
  let range = whole;
  let plots: uPlot[] = [];
  const room = frame(name, () => range, () => whole, (next) => {
    range = next;
    for (const plot of plots) plot.setScale("x", { min: next.from, max: next.to });
  });
  const said = (index: number | null | undefined): void => {
    if (index === null || index === undefined) return;
    const values = log.series.map((one) => `${one.name} ${number(one.values[index])} ${one.unit}`);
    room.said.textContent = [seconds(log.t_s[index] ?? 0, 1), ...values].join(" · ");
  };
  const segments = JSON.parse(figure.dataset["segments"] ?? "[]") as Segment[];
  const build = (): void => {
    for (const plot of plots) plot.destroy();
    plots = groups(log).map((group, index, every) => plotOf(log, group, index === every.length - 1, room.width(), said, (next) => (range = next), settledParts(segments, index === 0)));
    room.plots.replaceChildren(...plots.map((plot) => plot.root));
    for (const plot of plots) plot.setScale("x", { min: range.from, max: range.to });
  };
  take(figure, room.root);
  build();
  onTheme(build);
  new ResizeObserver(() => {
    for (const plot of plots) plot.setSize({ width: room.width(), height: plot.height });
  }).observe(room.plots);
}

/** The chart in the figure, below its heading, in the place of what was drawn; caption and tables stay. */
export function take(figure: HTMLElement, root: HTMLElement): void {
  for (const drawn of figure.querySelectorAll(":scope > svg, :scope > .picture")) drawn.remove();
  const heading = figure.querySelector(":scope > h2, :scope > h3, :scope > h4");
  if (heading) heading.after(root);
  else figure.prepend(root);
  figure.classList.add("taken");
}

type Segment = [from: number, to: number, steady: boolean];

/** Shades the settled part of each segment, numbered at the top of the first chart; one that drifts is dashed. */
function settledParts(segments: Segment[], numbered: boolean): uPlot.Plugin {
  const shade = (plot: uPlot): void => {
    const { ctx, bbox } = plot;
    const ratio = devicePixelRatio;
    ctx.save();
    ctx.font = face().replace("12px", `${11 * ratio}px`);
    ctx.textAlign = "center";
    ctx.textBaseline = "top";
    segments.forEach(([from, to, steady], index) => {
      const clip = (t: number): number => Math.max(bbox.left, Math.min(bbox.left + bbox.width, plot.valToPos(t, "x", true)));
      const [left, right] = [clip(from), clip(to)];
      if (right - left < ratio) return;
      ctx.fillStyle = `${token("undecided")}${steady ? "26" : "12"}`;
      ctx.fillRect(left, bbox.top, right - left, bbox.height);
      if (!steady) {
        ctx.setLineDash([3 * ratio, 3 * ratio]);
        ctx.strokeStyle = token("undecided");
        ctx.strokeRect(left, bbox.top, right - left, bbox.height);
      }
      ctx.fillStyle = token("muted");
      if (numbered) ctx.fillText(String(index + 1), (left + right) / 2, bbox.top + 2 * ratio);
    });
    ctx.restore();
  };
  return { hooks: { drawClear: shade } };
}

interface Group { unit: string; members: number[] }

function groups(log: Log): Group[] {
  const found: Group[] = [];
  log.series.forEach((series, index) => {
    const group = found.find((one) => one.unit === series.unit);
    if (group) group.members.push(index);
    else found.push({ unit: series.unit, members: [index] });
  });
  return found;
}

function plotOf(log: Log, group: Group, lowest: boolean, width: number, said: (index: number | null | undefined) => void, zoomed: (range: Range) => void, parts: uPlot.Plugin): uPlot {
  const series = group.members.map((index): uPlot.Series => ({
    label: log.series[index]?.name ?? "", stroke: () => curve(index), width: 1.5, points: { show: false },
  }));
  const data = [log.t_s, ...group.members.map((index) => log.series[index]?.values ?? [])] as uPlot.AlignedData;
  return new uPlot({
    width, height: lowest ? HEIGHT + 30 : HEIGHT,
    legend: { show: false },
    padding: [14, 24, 8, 0],
    scales: { x: { time: false } },
    cursor: { sync: { key: "logs" }, drag: { x: true, y: false } },
    series: [{}, ...series],
    axes: [{ ...axis(lowest ? "time" : "", 2), show: lowest, values: (_, ticks) => ticks.map((t) => seconds(t, (ticks[1] ?? 1) - (ticks[0] ?? 0))) }, axis(group.unit, 3)],
    plugins: [parts, endLabels()],
    hooks: {
      setCursor: [(plot) => said(plot.cursor.idx)],
      setScale: [(plot, key) => {
        const { min, max } = plot.scales[key] ?? {};
        if (key === "x" && min != null && max != null) zoomed({ from: min, to: max });
      }],
    },
  }, data);
}

function number(value: number | null | undefined): string {
  return value == null ? "–" : String(Number(value.toPrecision(5)));
}
