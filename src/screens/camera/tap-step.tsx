import { useEffect, useState } from 'preact/hooks';
import type { DialFacts } from '../../../worker/file/records.ts';
import { unitSymbol } from '../../../worker/words/pressure.ts';
import { Button } from '../../components/button.tsx';
import { Field } from '../../components/field.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { asPrinted } from '../../components/source-words.ts';
import type { FitOutcome, FitProblem } from '../../sources/camera/dial-session.ts';
import { areOrdered, type TapTarget, typedNumber } from './dial-form.ts';
import { ScaleOverlay } from './scale-overlay.tsx';
import { TapPicture } from './tap-picture.tsx';

interface TapStepProps {
  picture: ImageBitmap;
  dial: DialFacts;
  targets: readonly TapTarget[];
  isKnown: boolean;
  onChange: (targets: readonly TapTarget[]) => void;
  /** Fits the scale to the taps. A good fit leaves this step. */
  onFit: () => Promise<FitOutcome>;
  /** The fit could not be tried. */
  onFail: (cause: unknown) => void;
  onRetake: () => void;
  onFourMarks: () => void;
  onLeave: () => void;
}

/** Problems that other taps may solve, without another picture. */
const OF_THE_MARKS: readonly FitProblem[] = ['marks-unusable', 'mark-off', 'ticks-missing', 'residual-high'];

/** Taps the hub and the marks on the frozen picture, one after another, then fits the scale. */
export function TapStep(props: TapStepProps) {
  const { picture, dial, targets, onChange, onFit } = props;
  const reader = useReader();
  const { t, say } = reader;
  const [current, setCurrent] = useState(0);
  const [refused, setRefused] = useState<(FitOutcome & { ok: false }) | null>(null);
  const [isFitting, setFitting] = useState(false);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new picture, or other marks, are tapped from the start.
  useEffect(() => {
    setCurrent(0);
    setRefused(null);
  }, [picture, targets.length]);
  const target = targets[current];
  const isLast = current === targets.length - 1;
  const symbol = unitSymbol(dial.unit);

  const change = (patch: Partial<TapTarget>) =>
    onChange(targets.map((one, i) => (i === current ? { ...one, ...patch } : one)));
  const findScale = async () => {
    setFitting(true);
    try {
      const outcome = await onFit();
      if (!outcome.ok) setRefused(outcome);
    } catch (cause) {
      props.onFail(cause);
    }
    setFitting(false);
  };

  if (refused) {
    const isOfMarks = OF_THE_MARKS.includes(refused.problem);
    const newPicture = (
      <Button key="picture" kind={isOfMarks ? '' : 'main'} onClick={props.onRetake}>
        {t.camera.retake}
      </Button>
    );
    const tapAgain = (
      <Button
        key="tap"
        kind={isOfMarks ? 'main' : ''}
        onClick={() => {
          setRefused(null);
          setCurrent(0);
        }}
      >
        {t.camera.tapAgain}
      </Button>
    );
    return (
      <>
        <div class="remark" role="alert">
          <VerdictShape verdict="fault" />
          <p>{t.camera.problem[refused.problem]}</p>
        </div>
        <div class="camera-picture">
          <FrozenPicture picture={picture} />
          {refused.scale && (
            <ScaleOverlay scale={refused.scale} width={picture.width} height={picture.height} />
          )}
        </div>
        <div class="action">
          {isOfMarks ? [tapAgain, newPicture] : [newPicture, tapAgain]}
          {props.isKnown && <Button onClick={props.onFourMarks}>{t.camera.fourMarks}</Button>}
          <Button onClick={props.onLeave}>{t.camera.changeDial}</Button>
        </div>
      </>
    );
  }
  const isTapped = Boolean(target?.at);
  const isOrdered = areOrdered(targets);
  const blocked = isFitting ? t.camera.fitting : isTapped && isOrdered ? null : instructionOf();
  function instructionOf(): string {
    return target?.value == null
      ? t.camera.tapHub
      : say(t.camera.tapMark, { value: asPrinted(target.value, reader), unit: symbol });
  }
  return (
    <>
      <p class="camera-now" role="status">
        <span class="quiet">{say(t.camera.tapCount, { n: current + 1, of: targets.length })}</span>{' '}
        {isFitting ? t.camera.fitting : instructionOf()}
      </p>
      <TapPicture picture={picture} targets={targets} current={current} onTap={(at) => change({ at })} />
      <p class="quiet">{t.camera.tapHint}</p>
      {target && target.value !== null && target.value > 0 && !isLast && (
        <MarkValue
          key={current}
          value={target.value}
          unit={symbol}
          isOrdered={isOrdered}
          onChange={(value) => change({ value })}
        />
      )}
      <div class="action pair">
        <Button
          kind="main"
          blocked={blocked}
          onClick={() => (isLast ? void findScale() : setCurrent(current + 1))}
        >
          {isLast ? t.camera.fit : t.camera.next}
        </Button>
        <Button onClick={() => (current === 0 ? props.onRetake() : setCurrent(current - 1))}>
          {current === 0 ? t.camera.retake : t.camera.back}
        </Button>
      </div>
    </>
  );
}

interface MarkValueProps {
  value: number;
  unit: string;
  isOrdered: boolean;
  onChange: (value: number) => void;
}

/** Another value for a mark between the ends, for a dial that prints no figure at the proposed one. */
function MarkValue({ value, unit, isOrdered, onChange }: MarkValueProps) {
  const reader = useReader();
  const { t } = reader;
  const [typed, setTyped] = useState(asPrinted(value, reader));
  return (
    <Field
      label={t.camera.markValue}
      decimal
      unit={unit}
      value={typed}
      wrong={isOrdered && typedNumber(typed) !== null ? undefined : t.camera.wrongMark}
      onInput={(text) => {
        setTyped(text);
        const next = typedNumber(text);
        if (next !== null && next > 0) onChange(next);
      }}
    />
  );
}

function FrozenPicture({ picture }: { picture: ImageBitmap }) {
  return (
    <canvas
      width={picture.width}
      height={picture.height}
      ref={(canvas) => {
        canvas?.getContext('2d')?.drawImage(picture, 0, 0);
      }}
    />
  );
}
