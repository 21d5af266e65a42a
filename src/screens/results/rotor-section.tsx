import { ROTOR_RPM } from '../../../worker/core/judge/rotor-speed.ts';
import type { RotorJudgement } from '../../../worker/core/judgement.ts';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Wide } from '../../components/wide.tsx';

/** The faces of each rotor, as measured and at 250 rpm, and how the correction was made. */
export function RotorSection({ rotors }: { rotors: readonly RotorJudgement[] }) {
  const { t, say, pressure, number } = useReader();
  const shown = rotors.filter(({ faces }) => faces.length > 0);
  if (shown.length === 0) return null;
  const isCorrected = shown.some(({ speedFactor }) => speedFactor !== null);
  return (
    <Section title={t.rotary.title} hint={isCorrected ? t.rotary.hint : t.rotary.hintTyped}>
      <div class="stack">
        <Wide title={t.rotary.title}>
          <table class="faces">
            <thead>
              <tr>
                <th scope="col">{t.column.rotor}</th>
                <th scope="col">{t.rotary.face}</th>
                <th scope="col">{t.rotary.measured}</th>
                {isCorrected && <th scope="col">{t.rotary.at250}</th>}
              </tr>
            </thead>
            <tbody>
              {shown.flatMap(({ cylinder, faces, speedFactor }) =>
                faces.map((face) => (
                  <tr key={`${cylinder} ${face.face}`}>
                    <th scope="row">{number(cylinder)}</th>
                    <td>{number(face.face)}</td>
                    <td>{pressure(face.peakKpa, face.plusMinusKpa)}</td>
                    {isCorrected && (
                      <td>{speedFactor !== null && pressure(face.at250Kpa, face.at250PlusMinusKpa)}</td>
                    )}
                  </tr>
                )),
              )}
            </tbody>
          </table>
        </Wide>
        {shown.map(({ cylinder, faceSpreadAt250Kpa, speedFactor, rpm }) => (
          <p key={cylinder}>
            {say(t.rotary.spread, {
              n: cylinder,
              spreadKpa: faceSpreadAt250Kpa,
              atRpm: rpm === null ? null : ROTOR_RPM,
            })}{' '}
            {speedFactor !== null &&
              say(speedFactor >= 1 ? t.rotary.raised : t.rotary.lowered, {
                rpm,
                share: Math.abs(speedFactor - 1),
              })}
          </p>
        ))}
        {isCorrected && <p class="quiet">{t.rotary.how}</p>}
      </div>
    </Section>
  );
}
