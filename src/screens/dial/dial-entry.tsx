import type { RefObject } from 'preact';
import { CRANKING_RANGE_KPA } from '../../../worker/core/cranking-range.ts';
import { isRotary } from '../../../worker/core/engine.ts';
import { DISPLAY_UNITS } from '../../../worker/core/units.ts';
import { unitSymbol } from '../../../worker/words/pressure.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { useModel, useReader } from '../../components/model.ts';
import type { LoadedTest } from '../../library/library.ts';
import { StrokeNotes } from './stroke-notes.tsx';
import { exampleFinal, lackOf, strokesIn } from './typed-figures.ts';
import type { Dial } from './use-dial.ts';

interface DialEntryProps {
  loaded: LoadedTest;
  dial: Dial;
  /** Receives the large field. It stays the same element, so that the on-screen keypad stays open. */
  field: RefObject<HTMLInputElement | null>;
}

/** Pressing a control with this handler leaves the focus, and with it the on-screen keypad, where it is. */
export const keepFocus = (event: MouseEvent): void => event.preventDefault();

/** The large field for one reading, and what is seldom needed below it. */
export function DialEntry({ loaded, dial, field }: DialEntryProps) {
  const { t, say, unit, unitSymbol: symbol } = useReader();
  const { settings } = useModel();
  const { at, entry, old, problem } = dial;
  const { fuel } = loaded.engine.facts;
  const isRotor = isRotary(loaded.engine.facts);
  const wrong = (which: 'strokes' | 'final'): string | undefined => {
    if (problem?.field !== which) return undefined;
    return say(t.typed[problem.code], {
      text: 'text' in problem ? problem.text : null,
      n: 'stroke' in problem ? problem.stroke : null,
      unit: symbol,
      example: exampleFinal(unit, fuel),
      highKpa: CRANKING_RANGE_KPA[fuel].high,
    });
  };
  const remark = dial.isZeroAsked ? t.typed.zero : wrong('final');
  const strokes = strokesIn(entry.strokes);
  return (
    <>
      <label class="dial-label" for="dial-figure">
        {at &&
          say(isRotor ? t.typed.rotorFigure : t.typed.figure, {
            n: at.cylinder,
            condition: t.conditionLong[at.condition],
          })}
      </label>
      <div class="dial-line">
        <div class={`field${remark ? ' wrong' : ''}`}>
          <span class="line">
            <input
              id="dial-figure"
              ref={field}
              class="dial-figure"
              type="text"
              inputMode="decimal"
              enterkeyhint="next"
              autocomplete="off"
              value={entry.final}
              aria-invalid={remark ? true : undefined}
              aria-describedby={remark ? 'dial-remark' : undefined}
              onInput={(event) => dial.type({ final: event.currentTarget.value })}
              onKeyDown={(event) => {
                if (event.key === 'Escape' && dial.isCorrection) dial.cancel();
              }}
            />
            <select
              class="dial-unit"
              aria-label={t.settings.unit}
              value={unit}
              onChange={(event) => {
                const chosen = DISPLAY_UNITS.find((one) => one === event.currentTarget.value);
                if (chosen) dial.inUnit(chosen, () => settings.change({ unit: chosen }));
              }}
            >
              {DISPLAY_UNITS.map((one) => (
                <option key={one} value={one}>
                  {unitSymbol(one)}
                </option>
              ))}
            </select>
          </span>
        </div>
        <button type="submit" class="button main" onMouseDown={keepFocus}>
          {dial.isCorrection ? t.typed.save : t.typed.next}
        </button>
      </div>
      {remark && (
        <p class="dial-remark problem" id="dial-remark" role="alert">
          {remark}
        </p>
      )}
      {dial.isCorrection && old && (
        <p>
          <Button onClick={dial.cancel}>{say(t.typed.keep, { kpa: old.reading.finalKpa })}</Button>
        </p>
      )}
      <Replaced dial={dial} />
      {at?.condition === 'wet' && (
        <p role="status">
          {t.crank.wetCaution}{' '}
          {!dial.isMeasured({ ...at, condition: 'dry' }) && <span class="problem">{t.crank.noDryYet}</span>}
        </p>
      )}
      {at && fuel === 'spark' && !isRotor && (
        <Choice
          legend={t.crank.condition}
          quiet
          value={at.condition}
          options={[
            { value: 'dry', label: t.condition.dry },
            { value: 'wet', label: t.condition.wet },
          ]}
          onChoose={(condition) => dial.choose({ ...at, condition })}
        />
      )}
      <StrokeNotes
        text={entry.strokes}
        wrong={wrong('strokes')}
        fuel={fuel}
        isRotor={isRotor}
        onInput={(text) => dial.type({ strokes: text })}
      />
      <p class="quiet">{isRotor ? t.typed.faceLack : t.typed.lack[lackOf(strokes.length)]}</p>
    </>
  );
}

/** The reading that was replaced last, with its undo. */
export function Replaced({ dial: { replaced, undo } }: { dial: Dial }) {
  const { t, say } = useReader();
  return (
    <div role="status">
      {replaced && (
        <p class="dial-replaced">
          {say(t.typed.replaced, {
            n: replaced.take.cylinder,
            fromKpa: replaced.fromKpa,
            toKpa: replaced.toKpa,
          })}{' '}
          <button type="button" class="button" onMouseDown={keepFocus} onClick={undo}>
            {t.app.undo}
          </button>
        </p>
      )}
    </div>
  );
}
