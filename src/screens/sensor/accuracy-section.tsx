import { useState } from 'preact/hooks';
import { classErrorKpa, type SensorAccuracy } from '../../../worker/core/sensor-accuracy.ts';
import type { SourceInfo } from '../../../worker/file/records.ts';
import { parsePressure, smallPressureInput } from '../../../worker/words/pressure.ts';
import { accuracyOf, deviceKey } from '../../app/sensor-accuracies.ts';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { CheckSection } from './check-section.tsx';
import { classesOf, classLabel, isRange, NO_CLASS } from './class-words.ts';

/** Class and range of a sensor or of the dial gauge, remembered for it; for a sensor its check as well. */
export function AccuracySection({ info }: { info: SourceInfo }) {
  const { settings } = useModel();
  const reader = useReader();
  const { t, say, unit, unitSymbol } = reader;
  const { accuracies } = settings.values.value;
  const key = deviceKey(info);
  const accuracy = accuracyOf(info, accuracies);
  const knownKpa = accuracy?.rangeKpa ?? info.sensorMaxKpa;
  const [range, setRange] = useState(() =>
    knownKpa === undefined ? '' : smallPressureInput(knownKpa, unit),
  );
  /** Chosen before the range is known. */
  const [chosen, setChosen] = useState<number | undefined>();
  if (key === null) return null;
  const isDial = info.kind === 'typed';
  const keep = (one: SensorAccuracy | undefined) => {
    const { [key]: _before, ...others } = settings.values.peek().accuracies;
    settings.change({ accuracies: one === undefined ? others : { ...others, [key]: one } });
  };
  const stated = (classPercent: number | undefined, rangeKpa: number | null | undefined) => {
    setChosen(classPercent);
    if (classPercent === undefined) keep(undefined);
    // A check belongs to the scale, not to the class.
    else if (isRange(rangeKpa)) keep({ ...accuracy, classPercent, rangeKpa });
  };
  const rangeKpa = parsePressure(range, unit);
  const classPercent = accuracy?.classPercent ?? chosen;
  return (
    <Section
      title={isDial ? t.sensor.dial : t.sensor.accuracy}
      hint={isDial ? t.sensor.dialHint : t.sensor.accuracyHint}
    >
      <div class="stack">
        {!accuracy?.check && (
          <p>
            {accuracy
              ? say(t.sensor.accuracyIs, { withinKpa: classErrorKpa(accuracy) })
              : t.sensor.accuracyUnknown}
          </p>
        )}
        <Choice
          legend={t.sensor.accuracyClass}
          value={classPercent === undefined ? NO_CLASS : String(classPercent)}
          options={[
            { value: NO_CLASS, label: t.sensor.accuracyNone },
            ...classesOf(info.kind, classPercent).map((percent) => ({
              value: String(percent),
              label: classLabel(percent, isDial, reader),
            })),
          ]}
          onChoose={(text) => stated(text === NO_CLASS ? undefined : Number(text), rangeKpa)}
        />
        {!isDial && !accuracy?.check && <p class="quiet">{t.sensor.accuracyClassHint}</p>}
        {(isDial || info.sensorMaxKpa === undefined) && (
          <div class="fields narrow">
            <Field
              label={t.sensor.accuracyRange}
              unit={unitSymbol}
              decimal
              value={range}
              wrong={classPercent !== undefined && !isRange(rangeKpa) ? t.sensor.rangeWanted : undefined}
              onInput={(text) => {
                setRange(text);
                if (classPercent !== undefined) stated(classPercent, parsePressure(text, unit));
              }}
            />
          </div>
        )}
        {!isDial && <CheckSection accuracy={accuracy} onChange={keep} />}
      </div>
    </Section>
  );
}
