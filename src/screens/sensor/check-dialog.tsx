import { useState } from 'preact/hooks';
import type { SensorCheck } from '../../../worker/core/sensor-accuracy.ts';
import { parsePressure } from '../../../worker/words/pressure.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { localDay } from '../../library/test-date.ts';
import { classLabel, isRange, REFERENCE_CLASSES } from './class-words.ts';
import { restOf } from './rest.ts';

interface CheckDialogProps {
  rangeKpa: number;
  onSave: (check: SensorCheck) => void;
  onCancel: () => void;
}

const USUAL_REFERENCE = 0.5;
/** Lowest pressure of a check, as a share of the range: below it the gauge's own error counts for too much. */
const LEAST_SHARE = 0.1;
/** Noise above which the pressure still moves, as a share of what is shown. */
const STEADY_SHARE = 0.01;

/** Zero, one pressure, and what the reference gauge shows there. */
export function CheckDialog({ rangeKpa, onSave, onCancel }: CheckDialogProps) {
  const { capture } = useModel();
  const reader = useReader();
  const { t, say, unit, unitSymbol } = reader;
  const [zeroKpa, setZero] = useState<number | null>(null);
  const [shownKpa, setShown] = useState<number | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [reference, setReference] = useState('');
  const [referenceRange, setRange] = useState('');
  const [classPercent, setClass] = useState(USUAL_REFERENCE);
  const read = () => {
    const rest = restOf(capture.buffer);
    if (rest === null || zeroKpa === null) return;
    const kpa = rest.meanKpa - zeroKpa;
    const leastKpa = LEAST_SHARE * rangeKpa;
    const isSteady = rest.noiseKpa <= STEADY_SHARE * kpa;
    setProblem(
      kpa < leastKpa ? say(t.sensor.checkLow, { leastKpa }) : isSteady ? null : t.sensor.checkUnsteady,
    );
    setShown(kpa >= leastKpa && isSteady ? kpa : null);
  };
  const referenceKpa = parsePressure(reference, unit);
  const referenceRangeKpa = parsePressure(referenceRange, unit);
  const isReady = shownKpa !== null && isRange(referenceKpa) && isRange(referenceRangeKpa);
  return (
    <section class="stack" aria-label={t.sensor.check}>
      <p>{t.sensor.checkZero}</p>
      <div class="row">
        <Button onClick={() => setZero(restOf(capture.buffer)?.meanKpa ?? null)}>
          {t.sensor.checkTakeZero}
        </Button>
        <span role="status">{zeroKpa !== null && say(t.sensor.checkZeroIs, { zeroKpa })}</span>
      </div>
      {zeroKpa !== null && (
        <>
          <p>{t.sensor.checkApply}</p>
          <div class="row">
            <Button onClick={read}>{t.sensor.checkRead}</Button>
            <span role="status">
              {problem ?? (shownKpa !== null && say(t.sensor.checkShown, { shownKpa }))}
            </span>
          </div>
        </>
      )}
      {shownKpa !== null && (
        <>
          <div class="fields narrow">
            <Field
              label={t.sensor.checkReference}
              unit={unitSymbol}
              decimal
              value={reference}
              onInput={setReference}
            />
            <Field
              label={t.sensor.checkReferenceRange}
              unit={unitSymbol}
              decimal
              value={referenceRange}
              onInput={setRange}
            />
          </div>
          <Choice
            legend={t.sensor.checkReferenceClass}
            value={String(classPercent)}
            options={REFERENCE_CLASSES.map((one) => ({
              value: String(one),
              label: classLabel(one, false, reader),
            }))}
            onChoose={(text) => setClass(Number(text))}
          />
        </>
      )}
      <div class="row">
        {isReady && (
          <Button
            onClick={() =>
              onSave({
                shownKpa,
                referenceKpa,
                referencePlusMinusKpa: (classPercent / 100) * referenceRangeKpa,
                checkedOn: localDay(new Date()),
              })
            }
          >
            {t.sensor.checkSave}
          </Button>
        )}
        <Button kind="plain" onClick={onCancel}>
          {t.app.cancel}
        </Button>
      </div>
    </section>
  );
}
