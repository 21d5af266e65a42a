import { useState } from 'preact/hooks';
import {
  classErrorKpa,
  isOutsideClass,
  type SensorAccuracy,
  scaleFactor,
  sensorErrorKpa,
  usefulCheck,
} from '../../../worker/core/sensor-accuracy.ts';
import { Button } from '../../components/button.tsx';
import { useReader } from '../../components/model.ts';
import { CheckDialog } from './check-dialog.tsx';

interface CheckSectionProps {
  accuracy: SensorAccuracy | undefined;
  onChange: (accuracy: SensorAccuracy) => void;
}

/** Result of the check against a known gauge, or the way to one. */
export function CheckSection({ accuracy, onChange }: CheckSectionProps) {
  const { t } = useReader();
  const [isOpen, setOpen] = useState(false);
  if (accuracy && isOpen) {
    return (
      <CheckDialog
        rangeKpa={accuracy.rangeKpa}
        onSave={(check) => {
          onChange({ ...accuracy, check });
          setOpen(false);
        }}
        onCancel={() => setOpen(false)}
      />
    );
  }
  const { check: _check, ...unchecked } = accuracy ?? {};
  return (
    <>
      {accuracy?.check && <CheckResult accuracy={accuracy} />}
      <div class="row">
        <Button onClick={() => setOpen(true)} blocked={accuracy ? null : t.sensor.checkNeedsClass}>
          {t.sensor.check}
        </Button>
        {accuracy?.check && (
          <Button kind="plain" onClick={() => onChange(unchecked as SensorAccuracy)}>
            {t.sensor.checkUndo}
          </Button>
        )}
      </div>
      {!accuracy && <p class="quiet">{t.sensor.checkNeedsClass}</p>}
    </>
  );
}

function CheckResult({ accuracy }: { accuracy: SensorAccuracy }) {
  const { t, say, day } = useReader();
  const { check } = accuracy;
  if (!check) return null;
  const { referenceKpa, shownKpa, checkedOn } = check;
  const values = {
    day: day(`${checkedOn}T12:00:00`),
    referenceKpa,
    shownKpa,
  };
  const isUseful = usefulCheck(accuracy) !== null;
  return (
    <>
      <p>
        {isUseful
          ? say(t.sensor.checkResult, { ...values, byPercent: 100 * (scaleFactor(accuracy) - 1) })
          : say(t.sensor.checkUseless, values)}{' '}
        {isOutsideClass(accuracy) && t.sensor.checkOutside}
      </p>
      <p>
        {isUseful
          ? say(t.sensor.accuracyChecked, {
              withinKpa: sensorErrorKpa(accuracy, referenceKpa),
              kpa: referenceKpa,
              classKpa: classErrorKpa(accuracy),
            })
          : say(t.sensor.accuracyIs, { withinKpa: classErrorKpa(accuracy) })}
      </p>
    </>
  );
}
