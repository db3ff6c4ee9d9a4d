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

/** Names each curve at its last point that is seen. */
export function endLabels(): uPlot.Plugin {
  return {
    hooks: {
      draw: (plot: uPlot) => {
        const { ctx } = plot;
        const ratio = devicePixelRatio;
        ctx.save();
        ctx.font = face().replace("12px", `${12 * ratio}px`);
        ctx.textAlign = "right";
        plot.series.forEach((series, index) => {
          const values = plot.data[index];
          if (index === 0 || !series.show || !series.label || !values) return;
          const [, last] = series.idxs ?? [0, 0];
          let at = last;
          while (at > 0 && values[at] == null) at -= 1;
          const value = values[at];
          const x = plot.data[0][at];
          if (value == null || x === undefined) return;
          ctx.fillStyle = typeof series.stroke === "function" ? String(series.stroke(plot, index)) : token("ink");
          const y = plot.valToPos(value, series.scale ?? "y", true);
          const place = Math.max(plot.bbox.top + 14 * ratio, Math.min(plot.bbox.top + plot.bbox.height - 6 * ratio, y - 6 * ratio));
          ctx.fillText(String(series.label), plot.valToPos(x, "x", true) - 4 * ratio, place);
        });
        ctx.restore();
      },
    },
  };
}

/** Calls when the light or dark page is asked for. */
export function onTheme(redraw: () => void): void {
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redraw);
}
