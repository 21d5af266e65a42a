import { useCallback, useState } from 'preact/hooks';
import { fromKpa } from '../../../worker/core/units.ts';
import { type AlignedTrace, alignColumns } from '../../components/align.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { cylinderStyle } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { digitsOfStep, niceScale } from '../../components/scale.ts';
import { type ChartHandle, UplotChart } from '../../components/uplot-chart.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import type { ReadTake } from '../../library/library.ts';

type AlignBy = 'stroke' | 'time';

/** Minimum range of the plot, kPa. */
const LEAST_RANGE_KPA = 100;

interface LoadedTrace {
  readonly one: ReadTake;
  readonly aligned: AlignedTrace;
}

/** Traces of several takes, aligned on the first stroke or as recorded. */
export function AlignedTraces({ takes }: { takes: readonly ReadTake[] }) {
  const { library } = useModel();
  const { t } = useReader();
  const [by, setBy] = useState<AlignBy>('stroke');
  const measured = takes.filter(({ take }) => !take.typed);
  const key = `${by} ${measured.map(({ take }) => take.id).join(' ')}`;
  const { loaded } = useLoaded(key, () =>
    Promise.all(
      measured.map(async (one): Promise<LoadedTrace> => {
        const trace = await library.trace(one.take.id);
        return {
          one,
          aligned: {
            trace,
            shiftS: shiftOf(one, trace.timeS[0] ?? 0, by),
            zeroKpa: one.reading.zeroKpa ?? 0,
          },
        };
      }),
    ),
  );
  if (measured.length === 0) return <p class="quiet">{t.compare.noTrace}</p>;
  return (
    <div class="stack">
      <p class="quiet for-mouse">{t.compare.zoomHint}</p>
      <Choice
        legend={t.compare.alignBy}
        value={by}
        options={[
          { value: 'stroke', label: t.compare.byStroke },
          { value: 'time', label: t.compare.byTime },
        ]}
        onChoose={setBy}
      />
      {measured.length < takes.length && <p class="quiet">{t.compare.noTrace}</p>}
      {loaded.state === 'failed' && (
        <p class="problem" role="alert">
          {t.storeRead[loaded.problem.code]}
        </p>
      )}
      {loaded.state === 'ready' && loaded.value.length > 0 && (
        <AlignedChart key={key} traces={loaded.value} by={by} />
      )}
    </div>
  );
}

/** Time that becomes 0, seconds: the first stroke's peak, or the first sample. */
function shiftOf({ reading }: ReadTake, firstSampleS: number, by: AlignBy): number {
  if (by === 'time') return firstSampleS;
  return reading.strokes.find((stroke) => !stroke.lost)?.timeS ?? firstSampleS;
}

function AlignedChart({ traces, by }: { traces: readonly LoadedTrace[]; by: AlignBy }) {
  const { t, say, unit, unitSymbol, number } = useReader();
  const [zoom, setZoom] = useState<readonly [number, number] | null>(null);
  const [fromS, toS] = zoom ?? wholeRange(traces);
  const onReady = useCallback(
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
      return undefined;
    },
    [traces, fromS, toS, unit],
  );
  return (
    <>
      <div class="aligned">
        <UplotChart
          key={`${fromS} ${toS} ${unit}`}
          lines={traces.map(({ one: { take } }) => ({
            label:
              take.condition === 'wet'
                ? `${take.cylinder} ${t.condition.wet.toLowerCase()}`
                : String(take.cylinder),
            colour: cylinderStyle(take.cylinder).colour,
            dashed: take.condition === 'wet',
          }))}
          label={t.compare.aligned}
          xLabel={by === 'stroke' ? t.compare.sinceFirst : t.compare.sinceStart}
          yLabel={say(t.compare.pressureAxis, { unit: unitSymbol })}
          format={(value, step) => number(value, digitsOfStep(step))}
          onReady={onReady}
          onSelect={(from, to) => setZoom([from, to])}
        />
      </div>
      <div class="row">
        {traces.some(({ one }) => one.reading.strokes.length > 0) && (
          <Button onClick={() => setZoom(firstStrokes(traces))}>{t.compare.closer}</Button>
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
