import { useEffect, useState } from 'preact/hooks';
import type { Fuel } from '../../../worker/core/engine.ts';
import { Field } from '../../components/field.tsx';
import { useReader } from '../../components/model.ts';
import { StrokePad } from './stroke-pad.tsx';
import {
  exampleFaces,
  exampleStrokes,
  strokesIn,
  withFigure,
  withoutLast,
  withStroke,
} from './typed-figures.ts';

interface StrokeNotesProps {
  text: string;
  wrong: string | undefined;
  fuel: Fuel;
  /** Figures of the three faces of a rotor instead of strokes. */
  isRotor: boolean;
  onInput: (text: string) => void;
}

/** The figures of each stroke, typed or tapped: folded, because most people note only the last one. */
export function StrokeNotes({ text, wrong, fuel, isRotor, onInput }: StrokeNotesProps) {
  const { t, say, unit, unitSymbol, locale } = useReader();
  const [isOpen, setOpen] = useState(isRotor || text !== '');
  // What was typed, or is wrong, must not stay folded.
  const isNeeded = text !== '' || wrong !== undefined;
  useEffect(() => {
    if (isNeeded) setOpen(true);
  }, [isNeeded]);
  return (
    <>
      <details class="fold" open={isOpen} onToggle={(event) => setOpen(event.currentTarget.open)}>
        <summary>{isRotor ? t.typed.eachFace : t.typed.each}</summary>
        <Field
          label={isRotor ? t.typed.faces : t.typed.strokes}
          hint={say(isRotor ? t.typed.facesHint : t.typed.strokesHint, {
            unit: unitSymbol,
            example: isRotor ? exampleFaces(unit, locale) : exampleStrokes(unit, locale),
          })}
          value={text}
          wrong={wrong}
          onInput={onInput}
        />
      </details>
      {!isRotor && (
        <details class="fold">
          <summary>{t.typed.along}</summary>
          <p class="quiet">{t.typed.tapHint}</p>
          <StrokePad
            strokes={strokesIn(text)}
            fuel={fuel}
            onStroke={() => onInput(withStroke(text))}
            onFigure={(index, value) => onInput(withFigure(text, index, value, unit))}
            onUndo={() => onInput(withoutLast(text))}
          />
        </details>
      )}
    </>
  );
}
