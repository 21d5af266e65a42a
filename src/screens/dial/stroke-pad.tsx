import { useState } from 'preact/hooks';
import type { Fuel } from '../../../worker/core/engine.ts';
import { digitsFor } from '../../../worker/core/units.ts';
import { Button } from '../../components/button.tsx';
import { useReader } from '../../components/model.ts';
import { DIAL } from './typed-figures.ts';

interface StrokePadProps {
  /** Strokes so far, in the reader's unit; `null` where the figure is not set. */
  strokes: readonly (number | null)[];
  fuel: Fuel;
  onStroke: () => void;
  /** `index` counts from 0. */
  onFigure: (index: number, value: number) => void;
  onUndo: () => void;
}

/**
 * Counts strokes by a tap each, while the starter turns. The figure of any stroke is set before or after, in any order;
 * strokes left without one are kept as not noted.
 */
export function StrokePad({ strokes, fuel, onStroke, onFigure, onUndo }: StrokePadProps) {
  const { t, say, number, unit } = useReader();
  const [chosen, setChosen] = useState<number | null>(null);
  const last = strokes.length - 1;
  const at = chosen !== null && chosen <= last ? chosen : last;
  const figure = (value: number | null) => (value === null ? '?' : number(value, digitsFor(unit)));
  return (
    <div class="stroke-pad">
      <button
        type="button"
        class="pad"
        onClick={() => {
          setChosen(null);
          onStroke();
        }}
      >
        <span class="pad-figure">{say(t.typed.stroke, { n: strokes.length + 1 })}</span>
        <span>{t.typed.tapHere}</span>
      </button>
      {strokes.length > 0 && (
        <>
          <fieldset class="stroke-chips">
            <legend>{t.typed.setAny}</legend>
            {strokes.map((value, i) => (
              <button
                key={i}
                type="button"
                class="button chip"
                aria-pressed={i === at}
                aria-label={say(t.typed.strokeFigure, { n: i + 1, figure: figure(value) })}
                onClick={() => setChosen(i)}
              >
                <span class="chip-number">{i + 1}</span> {figure(value)}
              </button>
            ))}
          </fieldset>
          <Needle strokes={strokes} at={at} fuel={fuel} onFigure={(value) => onFigure(at, value)} />
          <Button onClick={onUndo}>{t.typed.undoStroke}</Button>
        </>
      )}
    </div>
  );
}

interface NeedleProps {
  strokes: readonly (number | null)[];
  at: number;
  fuel: Fuel;
  onFigure: (value: number) => void;
}

/** Sets the figure of one stroke, between those of its neighbours: a dial gauge never falls. */
function Needle({ strokes, at, fuel, onFigure }: NeedleProps) {
  const { t, say, unit, unitSymbol, number } = useReader();
  const { step, end } = DIAL[unit];
  const known = (part: readonly (number | null)[]) => part.filter((value) => value !== null);
  const lowest = known(strokes.slice(0, at)).at(-1) ?? 0;
  const highest = Math.max(lowest, known(strokes.slice(at + 1))[0] ?? Math.max(end[fuel], strokes[at] ?? 0));
  const needle = strokes[at] ?? lowest;
  const set = (value: number) => onFigure(Math.min(highest, Math.max(lowest, value)));
  return (
    <>
      <label class="field slider">
        <span class="label">{say(t.typed.needle, { n: at + 1 })}</span>
        <input
          type="range"
          min={lowest}
          max={highest}
          step={step}
          value={needle}
          aria-valuetext={`${number(needle, digitsFor(unit))} ${unitSymbol}`}
          onInput={(event) => set(Number(event.currentTarget.value))}
        />
      </label>
      <div class="needle-steps">
        {[-5, -1, 1, 5].map((steps) => (
          <button
            key={steps}
            type="button"
            class="button"
            aria-label={`${steps < 0 ? t.typed.lower : t.typed.higher}: ${number(Math.abs(steps) * step, digitsFor(unit))}`}
            onClick={() => set(needle + steps * step)}
          >
            {steps < 0 ? '−' : '+'}
            {number(Math.abs(steps) * step, step < 1 ? 1 : 0)}
          </button>
        ))}
      </div>
    </>
  );
}
