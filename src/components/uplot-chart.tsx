/**
 * Wraps uPlot. A chart is created once for its lines, fed through its handle, and destroyed with its component. Samples
 * never pass through props or signals.
 */
import { useLayoutEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { type ChartMark, drawEndLabels, drawMarks, inkOf } from './chart-ink.ts';

interface ChartLine {
  /** Written at the right end of the line; empty for none. */
  readonly label: string;
  /** Name of a CSS custom property, such as `--cyl-3`. */
  readonly colour: string;
  readonly dashed: boolean;
}

/** All lines share `x`, which ascends. Arrays have equal length; `null` breaks a line. */
interface ChartData {
  readonly x: readonly number[];
  readonly ys: readonly (readonly (number | null)[])[];
  readonly xRange: readonly [number, number];
  readonly yRange: readonly [number, number];
  readonly marks?: readonly ChartMark[];
}

export interface ChartHandle {
  draw(data: ChartData): void;
  /** Width of the plotting area, CSS pixels. */
  columns(): number;
}

interface ChartProps {
  lines: readonly ChartLine[];
  xLabel: string;
  yLabel: string;
  /** Accessible name. */
  label: string;
  /** Called when the chart exists, and again with the same handle after a resize. Returns its clean-up. */
  onReady: (handle: ChartHandle) => (() => void) | undefined;
  /** Called when a range of `x` is selected with the pointer. */
  onSelect?: (from: number, to: number) => void;
  /** Formats an axis value; `step` is the distance between ticks. */
  format: (value: number, step: number) => string;
}

/** The lines are fixed when the chart is created: use a `key` that changes with them. */
export function UplotChart(props: ChartProps) {
  const place = useRef<HTMLDivElement>(null);
  const latest = useRef(props);
  latest.current = props;

  useLayoutEffect(() => {
    const element = place.current;
    if (!element) return;
    let marks: readonly ChartMark[] = [];
    // Reading a colour costs a style recalculation, so colours are cached per theme.
    const inks = new Map<string, string>();
    const ink = (property: string): string => {
      const known = inks.get(property) ?? inkOf(element, property);
      inks.set(property, known);
      return known;
    };
    const options = optionsFor(
      sizeOf(element),
      () => latest.current,
      () => marks,
      ink,
    );
    const empty = [[], ...latest.current.lines.map(() => [])] as unknown as uPlot.AlignedData;
    const plot = new uPlot(options, empty, element);
    const resize = (size: { width: number; height: number }) => {
      Object.assign(plot.axes[0] ?? {}, labelled(xLabelAt(size.height, latest.current)));
      plot.setSize(size);
    };
    // Forces the layout now. Without it the plotting area has no width until the task ends.
    plot.batch(() => undefined);
    const handle: ChartHandle = {
      columns: () => Math.max(16, Math.round(plot.over.clientWidth)),
      draw: (data) => {
        marks = data.marks ?? [];
        plot.batch(() => {
          plot.setData([data.x, ...data.ys] as uPlot.AlignedData, false);
          plot.setScale('x', { min: data.xRange[0], max: data.xRange[1] });
          plot.setScale('y', { min: data.yRange[0], max: data.yRange[1] });
        });
      },
    };
    let cleanUp = latest.current.onReady(handle);
    const observer = new ResizeObserver(() => {
      const size = sizeOf(element);
      if (size.width === plot.width && size.height === plot.height) return;
      plot.batch(() => resize(size));
      cleanUp?.();
      cleanUp = latest.current.onReady(handle);
    });
    observer.observe(element);
    const stopFollowing = followTheme(() => {
      inks.clear();
      plot.redraw(false);
    });
    return () => {
      observer.disconnect();
      stopFollowing();
      cleanUp?.();
      plot.destroy();
    };
  }, []);

  return <div ref={place} class="chart" role="img" aria-label={props.label} />;
}

function sizeOf(element: HTMLElement) {
  return { width: Math.max(200, element.clientWidth), height: Math.max(100, element.clientHeight) };
}

/** Below this height, CSS pixels, the axis label is omitted to leave room for the lines. */
const LOW_CHART = 200;

const xLabelAt = (height: number, { xLabel }: ChartProps): string => (height < LOW_CHART ? '' : xLabel);

/** uPlot reserves room even for an empty label unless `labelSize` is 0. */
const labelled = (label: string) => ({ label, labelSize: label === '' ? 0 : 22 });

/** Room for `12 wet` at the end of a line. */
const END_LABEL_ROOM = 66;

function optionsFor(
  size: { width: number; height: number },
  props: () => ChartProps,
  marks: () => readonly ChartMark[],
  ink: (property: string) => string,
): uPlot.Options {
  const { lines, yLabel, onSelect } = props();
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
      show: onSelect !== undefined,
      x: false,
      y: false,
      points: { show: false },
      drag: { x: onSelect !== undefined, y: false, setScale: false },
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
          props().onSelect?.(from, to);
        },
      ],
    },
  };
}

/** Calls `changed` when the theme changes, by the system or by the user. */
function followTheme(changed: () => void): () => void {
  const media = matchMedia('(prefers-color-scheme: dark)');
  const observer = new MutationObserver(changed);
  media.addEventListener('change', changed);
  observer.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
  return () => {
    media.removeEventListener('change', changed);
    observer.disconnect();
  };
}
