import { useCallback } from 'preact/hooks';
import { fromKpa } from '../../worker/core/units.ts';
import type { ChartMark } from './chart-ink.ts';
import { useModel, useReader } from './model.ts';
import { digitsOfStep } from './scale.ts';
import { type ChartHandle, UplotChart } from './uplot-chart.tsx';

/** Time span of the plot, seconds. */
const SPAN_S = 8;
/** Minimum height of the plot, gauge kPa: keeps the noise of an idle sensor small. */
const LEAST_KPA = 200;

/** The received trace, reduced to pixel columns and drawn once per animation frame. */
export function LiveTrace() {
  const { capture } = useModel();
  const { t, say, unit, unitSymbol, number, locale } = useReader();

  const onReady = useCallback(
    (chart: ChartHandle) => {
      // The range only grows, so that the plot does not rescale with every stroke.
      let seenKpa = LEAST_KPA;
      const draw = () => {
        const { buffer } = capture;
        const toS = Math.max(SPAN_S, buffer.lastS ?? 0);
        const fromS = toS - SPAN_S;
        const live = capture.live.peek();
        const zeroKpa = live?.zeroKpa ?? 0;
        const { timeS, pressureKpa } = buffer.decimate(fromS, toS, chart.columns());
        const gauge = pressureKpa.map((kpa) => (kpa === null ? null : kpa - zeroKpa));
        for (const kpa of gauge) if (kpa !== null && kpa > seenKpa) seenKpa = kpa;
        const top = fromKpa(seenKpa * 1.2, unit);
        const marks: ChartMark[] = (live?.strokes ?? []).map((stroke) => ({
          x: stroke.timeS,
          y: stroke.peakKpa === null ? null : fromKpa(stroke.peakKpa, unit),
          text: number(stroke.number),
        }));
        chart.draw({
          x: timeS,
          ys: [gauge.map((kpa) => (kpa === null ? null : fromKpa(kpa, unit)))],
          xRange: [fromS, toS],
          yRange: [0, top],
          marks,
        });
      };
      draw();
      return capture.buffer.onFrame(draw);
    },
    [capture, unit, number],
  );

  return (
    <UplotChart
      key={`${unit} ${locale}`}
      lines={[{ label: '', colour: '--accent', dashed: false }]}
      label={t.crank.traceTitle}
      xLabel={t.compare.sinceStart}
      yLabel={say(t.compare.pressureAxis, { unit: unitSymbol })}
      format={(value, step) => number(value, digitsOfStep(step))}
      onReady={onReady}
    />
  );
}
