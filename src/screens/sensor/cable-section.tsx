import { useState } from 'preact/hooks';
import { fromKpa, toKpa } from '../../../worker/core/units.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import { Field } from '../../components/field.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';

/** Output of the usual ratiometric transducers, volts. */
const LOW_V = 0.5;
const HIGH_V = 4.5;

/** Range of a sensor that sends volts by cable, or the browsers that reach one. */
export function CableSection() {
  const { t } = useReader();
  if ('serial' in navigator) return <VoltsSection />;
  return (
    <Section title={t.sensor.cable}>
      <p>{t.sensor.noCable}</p>
    </Section>
  );
}

function VoltsSection() {
  const { settings } = useModel();
  const { t, unit, unitSymbol } = useReader();
  const { volts } = settings.values.value.sensor;
  const [typed, setTyped] = useState(() =>
    volts === undefined ? '' : String(Number(fromKpa(volts.highKpa, unit).toPrecision(6))),
  );
  const highest = parseNumber(typed);
  const isEmpty = typed.trim() === '';
  const isFine = isEmpty || (typeof highest === 'number' && highest > 0);
  return (
    <Section title={t.sensor.cable} hint={t.sensor.cableHint}>
      <Field
        label={t.sensor.volts}
        unit={unitSymbol}
        value={typed}
        wrong={isFine ? undefined : t.sensor.voltsWrong}
        onInput={(text) => {
          setTyped(text);
          const number = parseNumber(text);
          const sensor = { ...settings.values.peek().sensor };
          if (text.trim() === '') settings.change({ sensor: { ...sensor, volts: undefined } });
          else if (typeof number === 'number' && number > 0) {
            const range = { lowV: LOW_V, lowKpa: 0, highV: HIGH_V, highKpa: toKpa(number, unit) };
            settings.change({ sensor: { ...sensor, volts: range } });
          }
        }}
      />
    </Section>
  );
}
