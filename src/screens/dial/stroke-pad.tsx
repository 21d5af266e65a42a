import { useState } from 'preact/hooks';
import type { Fuel } from '../../../worker/core/engine.ts';
import { digitsFor } from '../../../worker/core/units.ts';
import { Button } from '../../components/button.tsx';
import { useReader } from '../../components/model.ts';
import { Tally } from '../../components/tally.tsx';
import { DIAL } from './typed-figures.ts';

interface StrokePadProps {
  /** Strokes entered so far, in the reader's unit. */
  strokes: readonly number[];
  fuel: Fuel;
  onStroke: (value: number) => void;
  onUndo: () => void;
}

/**
 * Records strokes from a dial gauge by tapping: set the needle, tap once per stroke. The needle starts at the last
 * value because it never falls.
 */
export function StrokePad({ strokes, fuel, onStroke, onUndo }: StrokePadProps) {
  const { t, say, unit, unitSymbol, number } = useReader();
  const last = strokes.at(-1) ?? 0;
  const [set, setSet] = useState({ from: last, value: last });
  const { step, end } = DIAL[unit];
  const top = Math.max(end[fuel], last);
  // After another stroke, typed or tapped, the needle starts from that value.
  const needle = set.from === last ? Math.min(top, Math.max(last, set.value)) : last;
  const setNeedle = (value: number) => setSet({ from: last, value });
  const move = (steps: number) => setNeedle(needle + steps * step);
  const marks = strokes.map((_, i) => ({ number: i + 1, partial: false, lost: false }));
  return (
    <div class="stroke-pad">
      <label class="field slider">
        <span class="label">{t.typed.needle}</span>
        <input
          type="range"
          min={last}
          max={top}
          step={step}
          value={needle}
          onInput={(event) => setNeedle(Number(event.currentTarget.value))}
        />
      </label>
      <div class="needle-steps">
        {[-5, -1, 1, 5].map((steps) => (
          <button
            key={steps}
            type="button"
            class="button"
            aria-label={`${steps < 0 ? t.typed.lower : t.typed.higher}: ${number(Math.abs(steps) * step, digitsFor(unit))}`}
            onClick={() => move(steps)}
          >
            {steps < 0 ? '−' : '+'}
            {number(Math.abs(steps) * step, step < 1 ? 1 : 0)}
          </button>
        ))}
      </div>
      <button type="button" class="pad" onClick={() => onStroke(needle)}>
        <span>{say(t.typed.stroke, { n: strokes.length + 1 })}</span>
        <span class="pad-figure">
          {number(needle, digitsFor(unit))} <span class="pad-unit">{unitSymbol}</span>
        </span>
      </button>
      {strokes.length > 0 && (
        <div class="row">
          <Tally strokes={marks} settledFrom={null} />
          <Button onClick={onUndo}>{t.typed.undoStroke}</Button>
        </div>
      )}
    </div>
  );
}
