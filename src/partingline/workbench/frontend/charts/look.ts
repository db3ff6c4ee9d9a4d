// Colours and axes of the charts, from the page's tokens; drawn anew when the theme changes.

import type uPlot from "uplot";

const CURVES = ["copper", "meets", "slate", "plum", "undecided", "ink"];

export function token(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim() || "currentColor";
}

export function curve(index: number): string {
  return token(CURVES[index % CURVES.length] ?? "ink");
}

export function axis(label: string, side: 2 | 3): uPlot.Axis {
  return {
    label, side,
    stroke: token("muted"),
    font: face(),
    labelFont: face(),
    labelSize: 18,
    size: side === 3 ? 58 : 32,
    grid: { stroke: token("rule"), width: 1 },
    ticks: { stroke: token("rule"), width: 1, size: 4 },
  };
}

export function face(): string {
  return `12px ${getComputedStyle(document.body).fontFamily}`;
}

/** Names each curve at its last point that is seen, clear of the other names. */
export function endLabels(): uPlot.Plugin {
  return { hooks: { draw: nameCurves } };
}

function nameCurves(plot: uPlot): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  const taken: number[] = [];
  ctx.save();
  ctx.font = face().replace("12px", `${12 * ratio}px`);
  ctx.textAlign = "right";
  ctx.textBaseline = "alphabetic";
  plot.series.forEach((series, index) => {
    const at = index > 0 && series.show ? lastSeen(plot, index) : null;
    const value = at === null ? null : plot.data[index]?.[at];
    if (at === null || value == null) return;
    const y = plot.valToPos(value, series.scale ?? "y", true);
    let place = y - 6 * ratio < bbox.top + 12 * ratio ? y + 15 * ratio : y - 6 * ratio;
    while (taken.some((other) => Math.abs(other - place) < 13 * ratio)) place -= 14 * ratio;
    taken.push(place);
    ctx.fillStyle = typeof series.stroke === "function" ? String(series.stroke(plot, index)) : token("ink");
    ctx.fillText(String(series.label), Math.min(plot.valToPos(plot.data[0][at] ?? 0, "x", true), bbox.left + bbox.width) - 4 * ratio, place);
  });
  ctx.restore();
}

function lastSeen(plot: uPlot, index: number): number | null {
  const values = plot.data[index];
  const max = plot.scales["x"]?.max ?? Infinity;
  for (let at = (values?.length ?? 0) - 1; at >= 0; at--) {
    if (values?.[at] != null && (plot.data[0][at] ?? Infinity) <= max) return at;
  }
  return null;
}

/** Calls when the light or dark page is asked for. */
export function onTheme(redraw: () => void): void {
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redraw);
}
