import type { ComponentChildren } from 'preact';
import { SEA_LEVEL_KPA } from '../../../worker/core/units.ts';
import { MAPPED_UNITS, type MappedUnit } from '../../../worker/file/columns/column-mapping.ts';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { type DraftProblem, type MappingDraft, POINT_FIELDS, type PointField, withSignal } from './draft.ts';

interface ScaleFieldsProps {
  draft: MappingDraft;
  problems: readonly DraftProblem[];
  onChange: (draft: MappingDraft) => void;
}

/** What the pressure columns hold: a unit, or two points of the sensor. */
export function ScaleFields({ draft, problems, onChange }: ScaleFieldsProps) {
  const { t, say } = useReader();
  const w = t.columns;
  const { signal } = draft;
  const isSensor = signal !== '' && signal !== 'pressure';
  const wrong = (...codes: DraftProblem['code'][]): string | undefined => {
    const found = problems.find(({ code }) => codes.includes(code));
    return found && w.problem[found.code];
  };
  const wrongPoint = (point: PointField): string | undefined => {
    if (problems.some((one) => one.point === point)) return w.problem['no-point'];
    if (point === 'highReading') return wrong('same-reading');
    return point === 'highPressure' ? wrong('same-pressure', 'beyond-sensor') : undefined;
  };
  return (
    <Section title={w.scale}>
      <div class="stack">
        <ChoiceWithProblem wrong={wrong('no-signal')}>
          <Choice<MappingDraft['signal']>
            legend={w.signal}
            value={signal}
            options={(['pressure', 'volts', 'milliamps', 'counts'] as const).map((value) => ({
              value,
              label: w.signals[value],
            }))}
            onChoose={(chosen) => onChange(withSignal(draft, chosen))}
          />
        </ChoiceWithProblem>
        <ChoiceWithProblem wrong={wrong('no-unit')}>
          <Choice<MappedUnit | ''>
            legend={isSensor ? w.pointsUnit : w.unit}
            value={draft.unit}
            options={MAPPED_UNITS.map((value) => ({ value, label: value.replace('2', '²') }))}
            onChoose={(unit) => onChange({ ...draft, unit })}
          />
        </ChoiceWithProblem>
        {isSensor && (
          <fieldset class="points">
            <legend>{w.points}</legend>
            <p class="quiet">{say(w.pointsHint, { low: 0.5, high: 4.5 })}</p>
            <div class="fields narrow">
              {POINT_FIELDS.map((point) => (
                <Field
                  key={point}
                  label={w[point]}
                  value={draft.points[point]}
                  unit={point.endsWith('Reading') ? w.signalUnits[signal] : draft.unit.replace('2', '²')}
                  decimal
                  wrong={wrongPoint(point)}
                  onInput={(text) => onChange({ ...draft, points: { ...draft.points, [point]: text } })}
                />
              ))}
            </div>
          </fieldset>
        )}
        <div class="stack-tight">
          <Choice
            legend={w.reference}
            value={draft.reference}
            options={(['gauge', 'absolute'] as const).map((value) => ({ value, label: w.references[value] }))}
            onChoose={(reference) => onChange({ ...draft, reference })}
          />
          <p class="quiet">{say(w.referenceHint, { ambient: SEA_LEVEL_KPA })}</p>
        </div>
      </div>
    </Section>
  );
}

function ChoiceWithProblem({ wrong, children }: { wrong: string | undefined; children: ComponentChildren }) {
  return (
    <div class="field wide">
      {children}
      {wrong && (
        <span class="wrongly" role="alert">
          {wrong}
        </span>
      )}
    </div>
  );
}
