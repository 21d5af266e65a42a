import { useState } from 'preact/hooks';
import { Choice } from '../../components/choice.tsx';
import { Ladder } from '../../components/ladder.tsx';
import { CylinderMarker } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import type { Reader } from '../../components/reader.ts';
import { Section } from '../../components/section.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import { Wide } from '../../components/wide.tsx';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { byTaken, takenAt } from '../../library/test-date.ts';
import { type Change, changesSince, hasOtherHose } from './differences.ts';
import { ladderLine } from './ladder-line.ts';

interface EarlierSectionProps {
  loaded: LoadedTest;
  /** Readings chosen on this page. */
  chosen: readonly ReadTake[];
}

/** Compares this test with another one of the same engine. */
export function EarlierSection({ loaded, chosen }: EarlierSectionProps) {
  const { store } = useModel();
  const { t, dateTime, day } = useReader();
  const { engine, test } = loaded;
  const answer = useLoaded(`tests ${engine.id}`, () => store.tests(engine.id)).loaded;
  const [wanted, setWanted] = useState<string | null>(null);
  if (answer.state !== 'ready') return null;
  const others = answer.value
    .filter(({ id }) => id !== test.id)
    .sort(byTaken)
    .reverse();
  // Default: the test before this one.
  const before = others.find((one) => byTaken(one, test) < 0) ?? others[0];
  if (!before) {
    return (
      <Section title={t.compare.earlier}>
        <p class="quiet">{t.compare.earlierNone}</p>
      </Section>
    );
  }
  const otherId = wanted ?? before.id;
  return (
    <Section title={t.compare.earlier} hint={t.compare.earlierHint}>
      <div class="stack">
        <Choice
          legend={t.compare.earlierChoose}
          value={otherId}
          options={others.map((one) => ({
            value: one.id,
            label: takenAt(one) === one.startedAt ? dateTime(one.startedAt) : day(takenAt(one)),
          }))}
          onChoose={setWanted}
        />
        <Against key={otherId} otherId={otherId} loaded={loaded} chosen={chosen} />
      </div>
    </Section>
  );
}

function Against({ otherId, loaded, chosen }: EarlierSectionProps & { otherId: string }) {
  const { library } = useModel();
  const { t } = useReader();
  const resource = library.test(otherId).value;
  if (resource.state === 'failed') {
    return (
      <p class="problem" role="alert">
        {t.storeRead[resource.problem.code]}
      </p>
    );
  }
  if (!resource.value) return <p>{t.app.loading}</p>;
  const ids = new Set(chosen.map(({ take }) => take.id));
  const changes = changesSince(resource.value, loaded).filter(({ newer }) => ids.has(newer.take.id));
  if (changes.length === 0) return <p>{t.compare.earlierNothing}</p>;
  // Dry only where possible: all conditions of both tests would be four lines per cylinder. The table has them all.
  const drawn = changes.some(isDry) ? changes.filter(isDry) : changes;
  const lines = drawn.flatMap(({ older, newer }) => [
    { ...ladderLine(older), fit: null, isEarlier: true },
    { ...ladderLine(newer), fit: null },
  ]);
  const isCorrected = changes.every((one) => one.seaLevelByKpa !== null);
  return (
    <>
      {lines.some((line) => line.strokes.length > 0) && <Ladder lines={lines} label={t.compare.earlier} />}
      <ChangesTable changes={changes} isCorrected={isCorrected} />
      <p class="quiet">
        {isCorrected ? t.compare.airDiffers : t.compare.airNotKnown}{' '}
        {changes.some(hasOtherHose) && t.compare.hosesDiffer}
      </p>
    </>
  );
}

/** A percentage that always has its sign. */
function signedShare(share: number, { percent }: Reader): string {
  const figure = percent(Math.abs(share));
  if (!/[1-9]/.test(figure)) return figure;
  return `${share < 0 ? '−' : '+'}${figure}`;
}

const isDry = ({ condition }: Change): boolean => condition === 'dry';

function ChangesTable({ changes, isCorrected }: { changes: readonly Change[]; isCorrected: boolean }) {
  const reader = useReader();
  const { t } = reader;
  return (
    <Wide title={t.compare.earlier}>
      <table class="cards of-words">
        <caption>{t.app.plusMinus}</caption>
        <thead>
          <tr>
            <th scope="col">{t.column.cylinder}</th>
            <th scope="col">{t.column.before}</th>
            <th scope="col">{t.column.now}</th>
            <th scope="col">{t.column.change}</th>
            <th scope="col">{t.column.changeShare}</th>
            {isCorrected && <th scope="col">{t.column.changeSeaLevel}</th>}
          </tr>
        </thead>
        <tbody>
          {changes.map((one) => (
            <tr key={`${one.cylinder} ${one.condition}`}>
              <th scope="row">
                <span class="row-name">
                  <CylinderMarker cylinder={one.cylinder} /> {one.cylinder}{' '}
                  {t.condition[one.condition].toLowerCase()}
                </span>
              </th>
              <td data-head={t.column.before}>
                {reader.pressure(one.thenKpa, one.older.reading.finalPlusMinusKpa)}
              </td>
              <td data-head={t.column.now}>
                {reader.pressure(one.nowKpa, one.newer.reading.finalPlusMinusKpa)}
              </td>
              <td data-head={t.column.change}>
                {reader.difference(one.byKpa)}
                {one.plusMinusKpa !== null &&
                  Math.abs(one.byKpa) <= one.plusMinusKpa &&
                  `, ${t.compare.sameWithin}`}
              </td>
              <td data-head={t.column.changeShare}>{signedShare(one.byKpa / one.thenKpa, reader)}</td>
              {isCorrected && (
                <td data-head={t.column.changeSeaLevel}>{reader.difference(one.seaLevelByKpa)}</td>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}
