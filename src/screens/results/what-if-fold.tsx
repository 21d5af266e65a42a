import { useState } from 'preact/hooks';
import { cylindersOf } from '../../../worker/core/layouts.ts';
import { expectableGeometry } from '../../../worker/core/physics/stated-ratio.ts';
import type { WhatIfFactor } from '../../../worker/core/physics/what-if.ts';
import { toReader } from '../../../worker/core/quantities.ts';
import { median } from '../../../worker/core/statistics.ts';
import { Choice } from '../../components/choice.tsx';
import { Fold } from '../../components/fold.tsx';
import { useReader } from '../../components/model.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { WhatIfPlot } from '../../components/what-if-plot.tsx';
import type { LoadedTest } from '../../library/library.ts';

const FACTORS: readonly WhatIfFactor[] = [
  'cranking-speed',
  'altitude',
  'throttle',
  'intake-closing',
  'adapter-volume',
  'leak',
];

/** Expected reading of a sound cylinder when one parameter changes. Hidden without the engine's dimensions. */
export function WhatIfFold({ loaded }: { loaded: LoadedTest }) {
  const { t, say, units, symbol } = useReader();
  const [factor, setFactor] = useState<WhatIfFactor>('cranking-speed');
  const { engine, judgement, counting } = loaded;
  const { cycle, decompressor, fuel, layout } = engine.facts;
  const geometry = expectableGeometry(engine.facts);
  const readings = [...counting.dry.values()].map(({ reading }) => reading);
  const speeds = readings.map((reading) => reading.crankingRpm).filter((rpm) => rpm !== null);
  const cranked = {
    cycle,
    fuel,
    cylinders: cylindersOf(layout).length,
    decompressor,
    ambientKpa: judgement.ambientKpa ?? undefined,
    rpm: speeds.length === 0 ? undefined : median(speeds),
    hose:
      readings.find(({ hose }) => hose !== 'undetermined')?.hose === 'open' ? ('open' as const) : undefined,
  };
  // The physical model is loaded here, on demand.
  const key = JSON.stringify([geometry, cranked, factor]);
  const answer = useLoaded(key, async () => {
    const { whatIf } = await import('../../../worker/core/physics/what-if.ts');
    return { factor, points: whatIf(geometry, cranked, factor) };
  }).loaded;
  if (answer.state !== 'ready') return null;
  const { factor: drawn } = answer.value;
  const points =
    drawn === 'altitude'
      ? answer.value.points.map((one) => ({ ...one, x: toReader(one.x, 'altitude', units) }))
      : answer.value.points;
  const [first, ...further] = points;
  const last = further.at(-1);
  if (!first || !last) return null;
  const marks = judgement.cylinders.flatMap(({ cylinder, finalKpa }) =>
    finalKpa === null ? [] : [{ label: String(cylinder), kpa: finalKpa }],
  );
  return (
    <Fold id="what-if" title={t.whatIf.title} line={t.whatIf.line} hint={t.whatIf.hint}>
      <div class="stack">
        <Choice
          legend={t.whatIf.factorLegend}
          value={factor}
          options={FACTORS.map((one) => ({ value: one, label: t.whatIf.factor[one] }))}
          onChoose={setFactor}
        />
        <WhatIfPlot
          points={points}
          marks={marks}
          axis={say(t.whatIf.axis[drawn], { unit: symbol('altitude') })}
          label={say(t.whatIf.plot, {
            factor: t.whatIf.factor[drawn].toLowerCase(),
            fromKpa: first.expectedKpa,
            toKpa: last.expectedKpa,
            from: first.x,
            to: last.x,
          })}
        />
        <p class="quiet">{t.whatIf.said}</p>
      </div>
    </Fold>
  );
}
