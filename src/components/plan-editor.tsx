import { useState } from 'preact/hooks';
import type { Layout } from '../../worker/core/engine.ts';
import { cylindersOf } from '../../worker/core/layouts.ts';
import { Button } from './button.tsx';
import { Choice } from './choice.tsx';
import { useReader } from './model.ts';
import { Plan } from './plan.tsx';
import { hasRowsToMoveTo, moveToNextRow, sharesGasket, swapCylinders, toggleGasket } from './plan-edit.ts';

interface PlanEditorProps {
  layout: Layout;
  /** Whether the plan is the default one, without corrections. */
  isUsual: boolean;
  onChange: (layout: Layout) => void;
  onReset: () => void;
}

type Mode = 'check' | 'swap' | 'gasket' | 'row';

/** Shows the cylinder plan and corrects it when the user taps its circles. */
export function PlanEditor({ layout, isUsual, onChange, onReset }: PlanEditorProps) {
  const { t, say } = useReader();
  const words = t.planEditor;
  const [chosenMode, setMode] = useState<Mode>('check');
  const [first, setFirst] = useState<number | null>(null);
  const [said, setSaid] = useState('');
  const count = cylindersOf(layout).length;
  const modes: Mode[] = ['check', 'swap', 'gasket', ...(hasRowsToMoveTo(layout) ? (['row'] as const) : [])];
  const mode = modes.includes(chosenMode) ? chosenMode : 'check';

  const tapPair = (a: number, b: number) => {
    if (mode === 'swap') {
      onChange(swapCylinders(layout, a, b));
      setSaid(say(words.swapped, { a, b }));
    } else {
      setSaid(say(sharesGasket(layout, a, b) ? words.parted : words.joined, { a, b }));
      onChange(toggleGasket(layout, a, b));
    }
  };
  const tap = (cylinder: number) => {
    if (mode === 'row') {
      onChange(moveToNextRow(layout, cylinder));
      setSaid(say(words.moved, { a: cylinder }));
    } else if (first === null || first === cylinder) {
      setFirst(first === cylinder ? null : cylinder);
      setSaid('');
    } else {
      tapPair(first, cylinder);
      setFirst(null);
    }
  };

  return (
    <div class="stack">
      <Plan
        layout={layout}
        cells={new Map()}
        current={first}
        {...(mode === 'check' ? {} : { onChoose: tap })}
        label={say(t.plan.label, { count })}
      />
      {count > 1 && (
        <Choice
          legend={words.legend}
          value={mode}
          options={modes.map((one) => ({ value: one, label: words.mode[one] }))}
          onChoose={(one) => {
            setMode(one);
            setFirst(null);
            setSaid('');
          }}
        />
      )}
      <p role="status" class="quiet">
        {said || (first === null ? words.how[mode] : say(words.second, { a: first }))}
      </p>
      {!isUsual && (
        <Button
          onClick={() => {
            onReset();
            setFirst(null);
            setSaid(words.isReset);
          }}
        >
          {words.reset}
        </Button>
      )}
    </div>
  );
}
