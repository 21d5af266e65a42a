import { SEA_LEVEL_KPA } from '../../../worker/core/units.ts';
import { Fold } from '../../components/fold.tsx';
import { useReader } from '../../components/model.ts';
import { Wide } from '../../components/wide.tsx';
import type { LoadedTest } from '../../library/library.ts';

/** Corrections below this fraction are less than a gauge can show and are not listed. */
const NEXT_TO_NOTHING = 0.01;

/** Barometric correction: measured and corrected figures side by side. */
export function AirFold({ loaded }: { loaded: LoadedTest }) {
  const { judgement, test } = loaded;
  const { t, say, pressure, units } = useReader();
  const { ambientKpa } = judgement;
  if (ambientKpa === null) {
    return (
      <Fold id="air" title={t.results.air} line={t.results.airLineUnknown}>
        <div class="stack">
          <p>{say(t.results.airUnknown, { altitudeM: units.altitude === 'ft' ? 1524 : 1500 })}</p>
          <p>
            <a class="button" href={`tests/${test.id}/prepare`}>
              {t.results.airTell}
            </a>
          </p>
        </div>
      </Fold>
    );
  }
  const factor = SEA_LEVEL_KPA / ambientKpa;
  const altitudeM = test.conditions.ambientKpa === undefined ? test.conditions.altitudeM : undefined;
  const isNothing = Math.abs(factor - 1) < NEXT_TO_NOTHING;
  const read = judgement.cylinders.filter((one) => one.finalKpa !== null);
  return (
    <Fold
      id="air"
      title={t.results.air}
      line={isNothing ? t.results.airLineNothing : say(t.results.airLine, { factor })}
      hint={isNothing ? undefined : t.results.airHint}
    >
      <div class="stack">
        <p>
          {say(t.results.airSaid, { ambientKpa, altitudeM, factor })}{' '}
          {isNothing ? t.results.airAlready : t.results.airUse}
        </p>
        {!isNothing && (
          <Wide title={t.results.air}>
            <table>
              <thead>
                <tr>
                  <th scope="col">{t.column.cylinder}</th>
                  <th scope="col">{t.column.measured}</th>
                  <th scope="col">{t.column.seaLevel}</th>
                </tr>
              </thead>
              <tbody>
                {read.map((one) => (
                  <tr key={one.cylinder}>
                    <th scope="row">{one.cylinder}</th>
                    <td>{pressure(one.finalKpa)}</td>
                    <td>{pressure(one.seaLevelKpa)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </Wide>
        )}
      </div>
    </Fold>
  );
}
