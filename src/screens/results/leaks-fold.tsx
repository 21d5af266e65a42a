import type { LeakEstimate, LeakSize, NoLeakReason } from '../../../worker/core/leak/leak-estimate.ts';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { Fold } from '../../components/fold.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { Wide } from '../../components/wide.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { missingDimensions } from './result-words.ts';

const isSize = (one: LeakEstimate): one is LeakSize => 'leakMm2' in one;

/** Estimated size of the leaks, or the reason why there is none. */
export function LeaksFold({ loaded }: { loaded: LoadedTest }) {
  const { library } = useModel();
  const { t, say } = useReader();
  const { engine, test, counting } = loaded;
  const takes = [...counting.dry.values(), ...counting.wet.values()].map(({ take }) => take.id);
  const key = JSON.stringify([takes, engine.facts, test.conditions.ambientKpa, test.conditions.altitudeM]);
  const answer = useLoaded(key, () => library.leaks(loaded)).loaded;
  if (answer.state !== 'ready' || answer.value.length === 0) return null;
  const sizes = answer.value.filter(isSize);
  const shared = sharedReason(answer.value);
  return (
    <Fold
      id="leaks"
      title={t.results.leaks}
      line={
        sizes.length > 0
          ? say(t.results.leaksLine, { leakMm2: Math.max(...sizes.map(({ leakMm2 }) => leakMm2)) })
          : t.results.leaksLineNone
      }
      hint={sizes.length > 0 ? t.results.leaksHint : undefined}
    >
      {shared === 'no-geometry' ? (
        <MissingDimensions engine={engine} />
      ) : shared ? (
        <p class="quiet">{say(t.results.leaksNot, { why: t.noLeak[shared] })}</p>
      ) : (
        <div class="stack">
          <LeaksTable estimates={answer.value} hasWet={sizes.some((one) => one.leftMm2 !== undefined)} />
          {sizes.length > 0 && <p class="quiet">{t.results.leakDerived}</p>}
        </div>
      )}
    </Fold>
  );
}

/** What the card lacks, with a link to it. */
function MissingDimensions({ engine }: { engine: EngineRecord }) {
  const { t, say, list } = useReader();
  return (
    <>
      <p>
        {say(t.results.leaksNeed, {
          list: list(missingDimensions(engine.facts.geometry).map((one) => t.results.dimension[one])),
        })}
      </p>
      <p>
        <a class="button" href={`engine/${engine.id}/card`}>
          {t.results.toCard}
        </a>
      </p>
    </>
  );
}

/** The reason when all estimates are refused for the same one; else `null`. */
function sharedReason(estimates: readonly LeakEstimate[]): NoLeakReason | null {
  const [only = null, ...others] = new Set(estimates.map((one) => (isSize(one) ? null : one.reason)));
  return others.length === 0 ? only : null;
}

function LeaksTable({ estimates, hasWet }: { estimates: readonly LeakEstimate[]; hasWet: boolean }) {
  const { t, say, number, percent } = useReader();
  const area = (mm2: number | undefined) => (mm2 === undefined ? '' : `${number(mm2, 1)}\u00a0mm²`);
  const stopped = ({ oilRemovedMm2, leakMm2 }: LeakSize) =>
    oilRemovedMm2 === undefined ? '' : `${area(oilRemovedMm2)}, ${percent(oilRemovedMm2 / leakMm2)}`;
  const timesBest = ({ timesBest, timesBestLow, timesBestHigh }: LeakSize) =>
    timesBestLow === null || timesBestHigh === null
      ? t.results.leakBest
      : say(t.results.leakTimes, { times: timesBest, low: timesBestLow, high: timesBestHigh });
  return (
    <Wide title={t.results.leaks}>
      <table>
        <thead>
          <tr>
            <th scope="col">{t.column.cylinder}</th>
            <th scope="col">{t.column.leak}</th>
            <th scope="col">{t.column.leakTimes}</th>
            {hasWet && <th scope="col">{t.column.oilStopped}</th>}
            {hasWet && <th scope="col">{t.column.oilLeft}</th>}
            <th scope="col">{t.column.leakDown}</th>
          </tr>
        </thead>
        <tbody>
          {estimates.map((one) => (
            <tr key={one.cylinder}>
              <th scope="row">{one.cylinder}</th>
              {isSize(one) ? (
                <>
                  <td>
                    {say(t.results.leakSize, {
                      leakMm2: one.leakMm2,
                      lowMm2: one.lowMm2,
                      highMm2: one.highMm2,
                    })}
                  </td>
                  <td>{timesBest(one)}</td>
                  {hasWet && <td>{stopped(one)}</td>}
                  {hasWet && <td>{area(one.leftMm2)}</td>}
                  <td>{say(t.results.leakDown, { percent: one.leakDownPercent })}</td>
                </>
              ) : (
                <td class="words" colSpan={hasWet ? 5 : 3}>
                  {say(t.results.leakNone, { why: t.noLeak[one.reason] })}
                </td>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}
