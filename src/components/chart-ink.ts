/** Canvas drawing on top of a chart's lines: stroke marks and names at the line ends. */
import type uPlot from 'uplot';
import { endLabels, withRoomForText } from './scale.ts';

/** A stroke on the trace, in the chart's units. */
export interface ChartMark {
  readonly x: number;
  /** Peak of the stroke; `null` when not known. */
  readonly y: number | null;
  readonly text: string;
}

/** Resolves a custom property to a colour for a canvas. The browser evaluates `light-dark()`. */
export function inkOf(element: HTMLElement, property: string): string {
  element.style.setProperty('accent-color', `var(${property})`);
  const colour = getComputedStyle(element).accentColor;
  element.style.removeProperty('accent-color');
  return colour;
}

/** Draws a tick above each stroke's peak, with its number where there is room. */
export function drawMarks(plot: uPlot, marks: readonly ChartMark[], ink: string, paper: string): void {
  const { ctx, bbox } = plot;
  const dot = devicePixelRatio;
  ctx.save();
  ctx.font = `600 ${14 * dot}px system-ui, sans-serif`;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'alphabetic';
  ctx.lineWidth = 2 * dot;
  ctx.strokeStyle = ink;
  const seen = marks
    .map((mark) => ({ mark, x: plot.valToPos(mark.x, 'x', true), width: ctx.measureText(mark.text).width }))
    .filter(({ x }) => x >= bbox.left && x <= bbox.left + bbox.width);
  const numbered = new Set(withRoomForText(seen, 3 * dot));
  for (const one of seen) {
    const { mark, x } = one;
    const top = mark.y === null ? bbox.top + bbox.height : plot.valToPos(mark.y, 'y', true);
    const foot = Math.max(bbox.top + 22 * dot, top - 5 * dot);
    ctx.setLineDash(mark.y === null ? [2 * dot, 3 * dot] : []);
    ctx.beginPath();
    ctx.moveTo(x - 0.5 * dot, foot);
    ctx.lineTo(x + 0.5 * dot, foot - 8 * dot);
    ctx.stroke();
    if (numbered.has(one)) outlined(ctx, mark.text, x, foot - 11 * dot, ink, paper, dot);
  }
  ctx.restore();
}

/** Text with an outline in the page colour, legible over a line. */
function outlined(
  ctx: CanvasRenderingContext2D,
  text: string,
  x: number,
  y: number,
  ink: string,
  paper: string,
  dot: number,
): void {
  ctx.save();
  ctx.setLineDash([]);
  ctx.lineJoin = 'round';
  ctx.lineWidth = 4 * dot;
  ctx.strokeStyle = paper;
  ctx.strokeText(text, x, y);
  ctx.fillStyle = ink;
  ctx.fillText(text, x, y);
  ctx.restore();
}

/** Writes each line's name at its right end, moved apart where names would collide. */
export function drawEndLabels(plot: uPlot, lines: readonly { readonly label: string }[], ink: string): void {
  const { ctx, bbox } = plot;
  const dot = devicePixelRatio;
  const max = plot.scales.x?.max ?? 0;
  const ends = lines.flatMap((line, i) => {
    const end = lastKnown(plot.data[i + 1] ?? [], plot.data[0], max);
    if (!end) return [];
    return [{ label: line.label, x: plot.valToPos(end.x, 'x', true), y: plot.valToPos(end.y, 'y', true) }];
  });
  const places = endLabels(
    ends.map((end) => end.y),
    17 * dot,
    bbox.top,
    bbox.top + bbox.height,
  );
  ctx.save();
  ctx.font = `600 ${14 * dot}px system-ui, sans-serif`;
  ctx.setLineDash([]);
  ctx.textAlign = 'left';
  ctx.textBaseline = 'middle';
  ctx.fillStyle = ink;
  ctx.strokeStyle = ink;
  ends.forEach((end, i) => {
    const labelY = places[i] ?? end.y;
    const labelX = bbox.left + bbox.width + 12 * dot;
    ctx.lineWidth = dot;
    ctx.globalAlpha = 0.35;
    ctx.beginPath();
    ctx.moveTo(end.x, end.y);
    ctx.lineTo(labelX - 3 * dot, labelY);
    ctx.stroke();
    ctx.globalAlpha = 1;
    ctx.fillText(end.label, labelX, labelY);
  });
  ctx.restore();
}

/** The last point with a value at or before `max`; `null` when there is none. */
function lastKnown(
  ys: ArrayLike<number | null | undefined>,
  xs: ArrayLike<number>,
  max: number,
): { readonly x: number; readonly y: number } | null {
  for (let i = ys.length - 1; i >= 0; i--) {
    const [x, y] = [xs[i], ys[i]];
    if (y !== null && y !== undefined && x !== undefined && x <= max) return { x, y };
  }
  return null;
}
