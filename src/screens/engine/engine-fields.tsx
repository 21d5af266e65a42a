import { CRANKING_RANGE_KPA } from '../../../worker/core/cranking-range.ts';
import { LIMITS } from '../../../worker/file/limits.ts';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { useReader } from '../../components/model.ts';
import { Plan } from '../../components/plan.tsx';
import { PlanEditor } from '../../components/plan-editor.tsx';
import { Section } from '../../components/section.tsx';
import { type EngineForm, type FormProblem, layoutOf, mostOf } from './engine-form.ts';
import { patchOfCount, patchOfKind, patchOfRows } from './layout-patch.ts';
import { ManualFields } from './manual-fields.tsx';

interface EngineFieldsProps {
  form: EngineForm;
  /** Messages for the fields; empty until the first attempt to continue. */
  problems: readonly FormProblem[];
  onChange: (patch: Partial<EngineForm>) => void;
  /** Message about the plan as a whole. */
  planRemark?: string | undefined;
  /** Name that an engine without one gets. Without it, a name is required. */
  defaultName?: string | undefined;
}

const KINDS = ['inline', 'vee', 'flat', 'radial', 'rotors', 'rows'] as const;

/** The facts of an engine that a test needs. */
export function EngineFields({ form, problems, onChange, planRemark, defaultName }: EngineFieldsProps) {
  const { t, say } = useReader();
  const layout = layoutOf(form);
  const isRotary = form.kind === 'rotors';
  const wrong = (field: keyof EngineForm): string | undefined => {
    const problem = problems.find((one) => one.field === field);
    return (
      problem &&
      say(t.setup[problem.code], {
        n: problem.cylinder,
        example: field === 'ratio' ? '9.5' : '120',
        low: CRANKING_RANGE_KPA[form.fuel].low,
        high: CRANKING_RANGE_KPA[form.fuel].high,
      })
    );
  };
  return (
    <>
      <Section title={t.setup.titleEdit}>
        <div class="stack">
          <Field
            label={t.setup.name}
            most={LIMITS.nameLength}
            hint={
              defaultName === undefined
                ? t.setup.nameHint
                : `${t.setup.nameHint} ${say(t.setup.nameOptional, { name: defaultName })}`
            }
            value={form.name}
            wrong={wrong('name')}
            onInput={(name) => onChange({ name })}
          />
        </div>
      </Section>
      <Section title={t.setup.layout}>
        <div class="stack">
          <Counter
            label={isRotary ? t.setup.rotorCount : t.setup.count}
            steps={isRotary ? [t.setup.rotorFewer, t.setup.rotorMore] : [t.setup.fewer, t.setup.more]}
            most={mostOf(form.kind)}
            value={form.count}
            wrong={wrong('count')}
            onInput={(count) => onChange(patchOfCount(count, form))}
          />
          <Choice
            legend={t.setup.layout}
            quiet
            value={form.kind}
            options={KINDS.map((kind) => ({ value: kind, label: t.layoutKind[kind] }))}
            onChoose={(kind) => onChange(patchOfKind(kind, form))}
          />
          {form.kind === 'rows' && (
            <Field
              label={t.setup.rows}
              hint={t.setup.rowsHint}
              value={form.rows}
              lines={3}
              wrong={wrong('rows')}
              onInput={(rows) => onChange(patchOfRows(rows))}
            />
          )}
          {!isRotary && <p class="quiet">{t.setup.check}</p>}
          {layout && isRotary && (
            <>
              <Plan layout={layout} cells={new Map()} />
              <p class="quiet">{t.setup.rotorHow}</p>
            </>
          )}
          {layout && !isRotary && (
            <PlanEditor
              key={`${form.kind} ${form.count}`}
              layout={layout}
              isUsual={form.edited === null}
              onChange={(edited) =>
                onChange(
                  form.kind === 'rows'
                    ? { edited, rows: edited.rows.map((row) => row.join(' ')).join('\n') }
                    : { edited },
                )
              }
              onReset={() => onChange({ edited: null })}
            />
          )}
          {planRemark && (
            <p class="problem plan-remark" role="alert" tabIndex={-1}>
              {planRemark}
            </p>
          )}
        </div>
      </Section>
      {!isRotary && (
        <Section title={t.setup.working}>
          <div class="stack">
            <Choice
              legend={t.setup.fuel}
              value={form.fuel}
              options={[
                { value: 'spark', label: t.setup.fuelSpark },
                { value: 'diesel', label: t.setup.fuelDiesel },
              ]}
              onChoose={(fuel) => onChange({ fuel })}
            />
            {form.fuel === 'diesel' && <p class="quiet">{t.setup.dieselOil}</p>}
            <Choice
              legend={t.setup.cycle}
              value={String(form.cycle)}
              options={[
                { value: '4', label: t.cycle[4] },
                { value: '2', label: t.cycle[2] },
              ]}
              onChoose={(cycle) => onChange({ cycle: cycle === '2' ? 2 : 4 })}
            />
            <Choice
              legend={t.setup.decompressor}
              value={form.decompressor}
              options={(['', 'none', 'automatic', 'by-hand'] as const).map((value) => ({
                value,
                label: t.setup.decompressorKind[value || 'unknown'],
              }))}
              onChoose={(decompressor) => onChange({ decompressor })}
            />
            {form.decompressor !== '' && form.decompressor !== 'none' && (
              <p class="quiet">{t.setup.decompressorHint}</p>
            )}
          </div>
        </Section>
      )}
      <ManualFields form={form} wrong={wrong} onChange={onChange} />
    </>
  );
}

/** A number with large minus and plus buttons, usable with gloves. */
function Counter({
  label,
  steps: [fewer, more],
  most,
  value,
  wrong,
  onInput,
}: {
  label: string;
  /** Names of the buttons. */
  steps: readonly [fewer: string, more: string];
  most: number;
  value: string;
  wrong: string | undefined;
  onInput: (value: string) => void;
}) {
  const step = (by: number) =>
    onInput(String(Math.min(most, Math.max(1, (Number.parseInt(value, 10) || 0) + by))));
  return (
    <div class="counter">
      <Field label={label} value={value} decimal wrong={wrong} onInput={onInput} />
      <button type="button" class="button" aria-label={fewer} onClick={() => step(-1)}>
        −
      </button>
      <button type="button" class="button" aria-label={more} onClick={() => step(1)}>
        +
      </button>
    </div>
  );
}
