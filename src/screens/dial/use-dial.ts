import { useState } from 'preact/hooks';
import { isRotary } from '../../../worker/core/engine.ts';
import type { DisplayUnit } from '../../../worker/core/units.ts';
import type { TakeRecord } from '../../../worker/file/records.ts';
import { smallPressureInput } from '../../../worker/words/pressure.ts';
import { useModel, useReader } from '../../components/model.ts';
import { useTrouble } from '../../components/trouble.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { keyOf, nextUnmeasured, type Target } from './dial-order.ts';
import { NOT_NOTED, readTyped, type TypedProblem } from './typed-figures.ts';
import { type Entry, useEntries } from './use-entries.ts';

/** A reading that replaced another one, for its undo. */
interface Replaced {
  readonly take: TakeRecord;
  readonly fromKpa: number | null;
  readonly toKpa: number | null;
}

const BLANK: Entry = { final: '', strokes: '' };

/** State of the dial page: which reading is typed, its text, and what happens on Enter. */
export function useDial(loaded: LoadedTest, first: Target | null) {
  const { library } = useModel();
  const { unit } = useReader();
  const trouble = useTrouble();
  const entries = useEntries(loaded.test.id);
  const { counting, judgement, engine } = loaded;
  const { fuel, layout } = engine.facts;
  /** Saved here, perhaps not yet loaded again. */
  const [sent, setSent] = useState<ReadonlySet<string>>(new Set());
  const isMeasured = (target: Target): boolean =>
    counting[target.condition].has(target.cylinder) || sent.has(keyOf(target));
  const isDryMeasured = (cylinder: number): boolean => isMeasured({ cylinder, condition: 'dry' });

  const [at, setAt] = useState<Target | null>(() => first ?? nextUnmeasured(layout, null, isDryMeasured));
  /** Where to return after a correction; `undefined` while nothing is corrected. */
  const [back, setBack] = useState<Target | null | undefined>(undefined);
  const [problem, setProblem] = useState<TypedProblem | null>(null);
  const [isZeroAsked, setZeroAsked] = useState(false);
  const [replaced, setReplaced] = useState<Replaced | null>(null);

  const old: ReadTake | undefined = at ? counting[at.condition].get(at.cylinder) : undefined;
  const stored = old ? storedEntry(old, unit) : BLANK;
  const entry = (at && entries.get(keyOf(at), unit)) ?? stored;

  const move = (to: Target | null, backTo?: Target | null) => {
    setAt(to);
    setBack(backTo);
    setProblem(null);
    setZeroAsked(false);
  };

  /** The next reading after this one is saved. */
  const after = (done: Target): Target | null => {
    if (back !== undefined) return back;
    if (done.condition === 'dry')
      return nextUnmeasured(layout, done.cylinder, (one) => one === done.cylinder || isDryMeasured(one));
    const wet = judgement.wetRetest
      .filter((cylinder) => cylinder !== done.cylinder)
      .map((cylinder): Target => ({ cylinder, condition: 'wet' }));
    return wet.find((one) => !isMeasured(one)) ?? null;
  };

  const save = async (target: Target, typed: NonNullable<TakeRecord['typed']>, fromKpa?: number | null) => {
    const key = keyOf(target);
    setSent((keys) => new Set(keys).add(key));
    const take = await trouble.attempt(
      library.addTyped(loaded.test, target.cylinder, target.condition, typed),
    );
    if (take) {
      entries.forget(key);
      setReplaced(
        fromKpa === undefined
          ? null
          : { take, fromKpa, toKpa: typed.finalKpa ?? typed.strokesKpa.at(-1) ?? null },
      );
      return;
    }
    // The store refused it. The banner says why; the text is still in the draft.
    setSent((keys) => new Set([...keys].filter((one) => one !== key)));
    move(target);
  };

  return {
    at,
    entry,
    old,
    isCorrection: back !== undefined,
    problem,
    isZeroAsked,
    replaced,
    isMeasured,
    type(patch: Partial<Entry>) {
      if (!at) return;
      entries.set(keyOf(at), { ...entry, ...patch }, unit);
      setProblem(null);
      setZeroAsked(false);
    },
    /** Keeps what is typed while the unit changes: the person chose the wrong unit, not the wrong figure. */
    inUnit(next: DisplayUnit, change: () => void) {
      if (at && entries.get(keyOf(at), unit)) entries.set(keyOf(at), entry, next);
      change();
    },
    /** Saves what is typed and moves on. Returns whether the text was accepted. */
    submit(): boolean {
      if (!at) return false;
      const outcome = readTyped(entry.strokes, entry.final, unit, fuel, isRotary(engine.facts));
      if (!outcome.ok) {
        setProblem(outcome.problem);
        return false;
      }
      if (outcome.finalKpa === 0 && !isZeroAsked) {
        setZeroAsked(true);
        return false;
      }
      const isChanged = entry.final !== stored.final || entry.strokes !== stored.strokes;
      if (old && !isChanged) {
        entries.forget(keyOf(at));
      } else {
        // What was not changed keeps its precision: the field shows it rounded.
        const before = old?.take.typed;
        const strokesKpa =
          before && entry.strokes === stored.strokes ? before.strokesKpa : outcome.strokesKpa;
        const finalKpa = before && entry.final === stored.final ? before.finalKpa : outcome.finalKpa;
        void save(at, { strokesKpa, finalKpa }, old?.reading.finalKpa);
      }
      move(after(at));
      return true;
    },
    /** Goes to a reading; to one that exists for a correction, and back afterwards. */
    choose(target: Target) {
      if (at && keyOf(at) === keyOf(target)) return;
      const isBack = back && keyOf(back) === keyOf(target);
      if (isBack || (back === undefined && !isMeasured(target))) move(target);
      else move(target, back === undefined ? at : back);
    },
    cancel() {
      if (at) entries.forget(keyOf(at));
      move(back ?? null);
    },
    undo() {
      if (!replaced) return;
      setReplaced(null);
      void trouble.attempt(library.setTakeState(replaced.take, 'set-aside').then(() => true));
    },
  };
}

export type Dial = ReturnType<typeof useDial>;

/** The fields of a stored reading, in `unit`. */
const storedEntry = ({ take, reading }: ReadTake, unit: DisplayUnit): Entry => ({
  final: reading.finalKpa === null ? '' : smallPressureInput(reading.finalKpa, unit),
  strokes: (take.typed?.strokesKpa ?? [])
    .map((kpa) => (kpa === null ? NOT_NOTED : smallPressureInput(kpa, unit)))
    .join(' '),
});
