import { QUANTITY_UNITS, type QuantityUnits } from '../../../worker/core/quantities.ts';
import { DISPLAY_UNITS } from '../../../worker/core/units.ts';
import { unitSymbol } from '../../../worker/words/pressure.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';

const QUANTITIES = Object.keys(QUANTITY_UNITS) as (keyof QuantityUnits)[];

/** A choice of unit for each quantity, and one to take those of the region. */
export function UnitsSection() {
  const { settings } = useModel();
  const { t, unit, units } = useReader();
  const { region } = settings;
  const regional = [unitSymbol(region.unit), ...QUANTITIES.map((quantity) => region.units[quantity])];
  return (
    <Section title={t.settings.units} hint={t.settings.unitsHint}>
      <div class="stack">
        <Choice
          legend={t.settings.unit}
          value={unit}
          options={DISPLAY_UNITS.map((one) => ({ value: one, label: unitSymbol(one) }))}
          onChoose={(one) => settings.change({ unit: one })}
        />
        <div class="unit-choices">
          {QUANTITIES.map((quantity) => (
            <Choice
              key={quantity}
              legend={t.settings.quantity[quantity]}
              value={units[quantity]}
              options={QUANTITY_UNITS[quantity].map((one) => ({ value: one, label: one }))}
              onChoose={(one) => settings.change({ units: { ...units, [quantity]: one } })}
            />
          ))}
        </div>
        <div class="row">
          <Button onClick={() => settings.change(region)}>{t.settings.asRegion}</Button>
          <span class="quiet">{regional.join(', ')}</span>
        </div>
      </div>
    </Section>
  );
}
