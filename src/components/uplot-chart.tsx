/**
 * Wraps uPlot. A chart is created once for its lines, fed through its handle, and destroyed with its component. Samples
 * never pass through props or signals.
 */
import { useLayoutEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { type ChartMark, inkOf } from './chart-ink.ts';
import { followTheme } from './follow-theme.ts';
import { followFingers, type PlotZoom, zoomByKey } from './plot-gestures.ts';
import { type ChartSettings, labelled, optionsFor, sizeOf, xLabelAt } from './uplot-options.ts';

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

interface ChartProps extends ChartSettings {
  /** Accessible name. */
  label: string;
  /** Id of the text that says how to zoom. */
  describedBy?: string | undefined;
  /** Called when the chart exists, and again with the same handle after a resize. Returns its clean-up. */
  onReady: (handle: ChartHandle) => (() => void) | undefined;
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
    const stopFingers = latest.current.zoom
      ? followFingers(plot.over, () => latest.current.zoom ?? NO_ZOOM)
      : undefined;
    return () => {
      stopFingers?.();
      observer.disconnect();
      stopFollowing();
      cleanUp?.();
      plot.destroy();
    };
  }, []);

  const chart = <div ref={place} class="chart" role="img" aria-label={props.label} />;
  const { zoom } = props;
  if (!zoom) return chart;
  return (
    <div
      class="chart zoomable"
      role="application"
      aria-label={props.label}
      aria-describedby={props.describedBy}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: an application by its role; its keys zoom and move.
      tabIndex={0}
      onKeyDown={(event) => zoomByKey(event, zoom)}
    >
      {chart}
    </div>
  );
}

const NO_ZOOM: PlotZoom = { shown: [0, 1], whole: [0, 1], onZoom: () => undefined };
