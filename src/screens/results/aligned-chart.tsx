import { useCallback, useId, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { fromKpa } from '../../../worker/core/units.ts';
import { type AlignedTrace, alignColumns } from '../../components/align.ts';
import { Button } from '../../components/button.tsx';
import { cylinderStyle } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { digitsOfStep, niceScale } from '../../components/scale.ts';
import { type ChartHandle, UplotChart } from '../../components/uplot-chart.tsx';
import { limited, type Range } from '../../components/zoom-range.ts';
import type { ReadTake } from '../../library/library.ts';

/** Minimum range of the plot, kPa. */
const LEAST_RANGE_KPA = 100;

export interface LoadedTrace {
  readonly one: ReadTake;
  readonly aligned: AlignedTrace;
}

interface AlignedChartProps {
  traces: readonly LoadedTrace[];
  /** Label of the time axis, with its unit. */
  timeAxis: string;
}

/** The traces over one another. Mouse, fingers and keys choose the part of the time that is shown. */
export function AlignedChart({ traces, timeAxis }: AlignedChartProps) {
  const { t, say, unit, unitSymbol, number } = useReader();
  const [zoom, setZoom] = useState<Range | null>(null);
  const hintId = useId();
  const whole = wholeRange(traces);
  const [fromS, toS] = zoom ?? whole;
  const draw = useCallback(
    (chart: ChartHandle) => {
      const { timeS, pressureKpa } = alignColumns(
        traces.map(({ aligned }) => aligned),
        fromS,
        toS,
        chart.columns(),
      );
      const ys = pressureKpa.map((row) => row.map((kpa) => (kpa === null ? null : fromKpa(kpa, unit))));
      const highest = Math.max(fromKpa(LEAST_RANGE_KPA, unit), ...ys.flat().map((value) => value ?? 0));
      const scale = niceScale(0, highest, 4);
      chart.draw({ x: timeS, ys, xRange: [fromS, toS], yRange: [Math.min(0, scale.low), scale.high] });
    },
    [traces, fromS, toS, unit],
  );
  // The chart stays while it is zoomed: making another one would end a gesture.
  const handle = useRef<ChartHandle | null>(null);
  const latestDraw = useRef(draw);
  latestDraw.current = draw;
  const onReady = useCallback((chart: ChartHandle) => {
    handle.current = chart;
    latestDraw.current(chart);
    return undefined;
  }, []);
  useLayoutEffect(() => {
    if (handle.current) draw(handle.current);
  }, [draw]);
  return (
    <>
      <p class="quiet" id={hintId}>
        <span class="for-mouse">{t.compare.zoomMouse} </span>
        <span class="for-touch">{t.compare.zoomTouch} </span>
        <span class="for-mouse">{t.compare.zoomKeys}</span>
      </p>
      <div class="aligned">
        <UplotChart
          key={unit}
          lines={traces.map(({ one: { take } }) => ({
            label:
              take.condition === 'wet'
                ? `${take.cylinder} ${t.condition.wet.toLowerCase()}`
                : String(take.cylinder),
            colour: cylinderStyle(take.cylinder).colour,
            dashed: take.condition === 'wet',
          }))}
          label={t.compare.aligned}
          describedBy={hintId}
          xLabel={timeAxis}
          yLabel={say(t.compare.pressureAxis, { unit: unitSymbol })}
          format={(value, step) => number(value, digitsOfStep(step))}
          onReady={onReady}
          zoom={{ shown: [fromS, toS], whole, onZoom: setZoom }}
        />
      </div>
      <p class="visually-hidden" role="status">
        {zoom ? say(t.compare.shown, { fromS, toS }) : t.compare.shownWhole}
      </p>
      <div class="row">
        {traces.some(({ one }) => one.reading.strokes.length > 0) && (
          <Button onClick={() => setZoom(limited(firstStrokes(traces), whole))}>{t.compare.closer}</Button>
        )}
        {zoom && <Button onClick={() => setZoom(null)}>{t.compare.whole}</Button>}
      </div>
    </>
  );
}

/** Time range from just before the first stroke to just after the third, seconds, over all traces. */
function firstStrokes(traces: readonly LoadedTrace[]): [number, number] {
  const times = traces.flatMap(({ one, aligned }) =>
    one.reading.strokes.filter((stroke) => stroke.number <= 3).map((stroke) => stroke.timeS - aligned.shiftS),
  );
  if (times.length === 0) return wholeRange(traces);
  return [Math.min(...times) - 0.4, Math.max(...times) + 0.4];
}

function wholeRange(traces: readonly LoadedTrace[]): [number, number] {
  const starts = traces.map(({ aligned: { trace, shiftS } }) => (trace.timeS[0] ?? 0) - shiftS);
  const ends = traces.map(({ aligned: { trace, shiftS } }) => (trace.timeS.at(-1) ?? 1) - shiftS);
  const from = Math.min(...starts);
  return [from, Math.max(from + 0.5, ...ends)];
}
