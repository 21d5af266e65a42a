/** uPlot's options: axes, lines, labels and the selection by mouse. */
import type uPlot from 'uplot';
import { type ChartMark, drawEndLabels, drawMarks } from './chart-ink.ts';
import { type PlotZoom, zoomTo } from './plot-gestures.ts';

interface ChartLine {
  /** Written at the right end of the line; empty for none. */
  readonly label: string;
  /** Name of a CSS custom property, such as `--cyl-3`. */
  readonly colour: string;
  readonly dashed: boolean;
}

export interface ChartSettings {
  readonly lines: readonly ChartLine[];
  readonly xLabel: string;
  readonly yLabel: string;
  /** Lets the reader zoom with mouse, fingers and keys. */
  readonly zoom?: PlotZoom | undefined;
  /** Formats an axis value; `step` is the distance between ticks. */
  readonly format: (value: number, step: number) => string;
}

/** Size of the chart in its element, CSS pixels. */
export function sizeOf(element: HTMLElement) {
  return { width: Math.max(200, element.clientWidth), height: Math.max(100, element.clientHeight) };
}

/** Below this height, CSS pixels, the axis label is omitted to leave room for the lines. */
const LOW_CHART = 200;

/** The label of the horizontal axis in a chart of this height. */
export const xLabelAt = (height: number, { xLabel }: ChartSettings): string =>
  height < LOW_CHART ? '' : xLabel;

/** uPlot reserves room even for an empty label unless `labelSize` is 0. */
export const labelled = (label: string) => ({ label, labelSize: label === '' ? 0 : 22 });

/** Room for `12 wet` at the end of a line. */
const END_LABEL_ROOM = 66;

/** uPlot's options for lines that are fixed from now on. What may change later is read through functions. */
export function optionsFor(
  size: { width: number; height: number },
  props: () => ChartSettings,
  marks: () => readonly ChartMark[],
  ink: (property: string) => string,
): uPlot.Options {
  const { lines, yLabel, zoom } = props();
  const hasLabels = lines.some((line) => line.label !== '');
  const axis = (label: string, format: (value: number, step: number) => string): uPlot.Axis => ({
    ...labelled(label),
    stroke: () => ink('--ink-2'),
    font: '14px system-ui, sans-serif',
    labelFont: '14px system-ui, sans-serif',
    ticks: { show: false },
    grid: { show: false },
    values: (_, splits, _axis, _space, step) => splits.map((value) => format(value, step)),
  });
  return {
    ...size,
    padding: [14, hasLabels ? END_LABEL_ROOM : 14, 0, 0],
    legend: { show: false },
    cursor: {
      show: zoom !== undefined,
      x: false,
      y: false,
      points: { show: false },
      drag: { x: zoom !== undefined, y: false, setScale: false },
    },
    scales: { x: { time: false, auto: false }, y: { auto: false } },
    axes: [
      {
        ...axis(xLabelAt(size.height, props()), (value, step) => props().format(value, step)),
        size: 26,
        space: 64,
      },
      {
        ...axis(yLabel, (value, step) => props().format(value, step)),
        size: 46,
        space: 48,
        // Horizontal grid lines only.
        grid: { stroke: () => ink('--rule'), width: 1 },
      },
    ],
    series: [
      {},
      ...lines.map(
        (line): uPlot.Series => ({
          stroke: () => ink(line.colour),
          width: 1.75,
          points: { show: false },
          ...(line.dashed ? { dash: [7, 5] } : {}),
        }),
      ),
    ],
    hooks: {
      draw: [
        (plot) => {
          drawMarks(plot, marks(), ink('--ink'), ink('--paper'));
          if (hasLabels) drawEndLabels(plot, props().lines, ink('--ink'));
        },
      ],
      setSelect: [
        (plot) => {
          if (plot.select.width < 8) return;
          const from = plot.posToVal(plot.select.left, 'x');
          const to = plot.posToVal(plot.select.left + plot.select.width, 'x');
          plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
          const { zoom: at } = props();
          if (at) zoomTo(at, [from, to]);
        },
      ],
    },
  };
}
