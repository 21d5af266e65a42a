import { useState } from 'preact/hooks';
import { Choice } from '../../components/choice.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import type { ReadTake } from '../../library/library.ts';
import { AlignedChart, type LoadedTrace } from './aligned-chart.tsx';

type AlignBy = 'stroke' | 'time';

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
        <AlignedChart
          key={key}
          traces={loaded.value}
          timeAxis={by === 'stroke' ? t.compare.sinceFirst : t.compare.sinceStart}
        />
      )}
    </div>
  );
}

/** Time that becomes 0, seconds: the first stroke's peak, or the first sample. */
function shiftOf({ reading }: ReadTake, firstSampleS: number, by: AlignBy): number {
  if (by === 'time') return firstSampleS;
  return reading.strokes.find((stroke) => !stroke.lost)?.timeS ?? firstSampleS;
}
