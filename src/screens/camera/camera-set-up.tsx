import './camera.css';
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import type { FittedScale } from '../../../worker/dial/scale.ts';
import type { DialFacts } from '../../../worker/file/records.ts';
import { Heading, PageHead } from '../../components/heading.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Page } from '../../components/shell.tsx';
import type { FitOutcome } from '../../sources/camera/dial-session.ts';
import type { LiveCamera } from '../../sources/camera/live.ts';
import { SourceProblem, type SourceProblemCode } from '../../sources/port.ts';
import { AimStep } from './aim-step.tsx';
import { CheckStep } from './check-step.tsx';
import {
  type DialForm,
  factsOf,
  formOf,
  marksOf,
  readDialForm,
  type TapTarget,
  tapTargets,
} from './dial-form.ts';
import { PlaceStep } from './place-step.tsx';
import { TapStep } from './tap-step.tsx';

type Stage =
  | { readonly name: 'place' }
  | { readonly name: 'aim' }
  | { readonly name: 'tap'; readonly picture: ImageBitmap }
  | { readonly name: 'check'; readonly picture: ImageBitmap; readonly scale: FittedScale };

/** Sets the camera up on a dial and connects it as the source of samples. `onLeave`: back to the choice of sources. */
export function CameraSetUp({ onLeave }: { onLeave: () => void }) {
  const { capture, settings, pickFiles, log } = useModel();
  const { t, unit } = useReader();
  const remembered = settings.values.value.dial;
  const [isKnown, setKnown] = useState(remembered !== null);
  const [form, setForm] = useState<DialForm>({
    unit,
    fullScale: '',
    division: '',
    classPercent: '',
    follower: 'none',
  });
  const [stage, setStage] = useState<Stage>({ name: 'place' });
  const [targets, setTargets] = useState<readonly TapTarget[]>([]);
  const [problem, setProblem] = useState<SourceProblemCode | null>(null);
  const [isStarting, setStarting] = useState(false);
  const camera = useRef<LiveCamera | null>(null);
  const release = useCallback(() => {
    camera.current?.close();
    camera.current = null;
  }, []);
  const isLeft = useRef(false);
  useEffect(
    () => () => {
      isLeft.current = true;
      release();
    },
    [release],
  );
  const known = isKnown ? remembered : null;
  const dial: DialFacts | null = known ? factsOf(known) : readDialForm(form).dial;

  const fail = (cause: unknown) => {
    log.add('camera', cause);
    const isKnown = cause instanceof SourceProblem && cause.code !== 'unexpected';
    setProblem(isKnown ? cause.code : 'camera-busy');
    release();
    setStage({ name: 'place' });
  };
  /** Runs a step that the camera may refuse. */
  const attempt = async (work: () => Promise<void>) => {
    setProblem(null);
    setStarting(true);
    try {
      await work();
    } catch (cause) {
      fail(cause);
    }
    setStarting(false);
  };
  const open = (load: (live: typeof import('../../sources/camera/live.ts')) => Promise<LiveCamera>) => {
    if (!dial) return;
    setTargets(tapTargets(dial, known !== null));
    void attempt(async () => {
      release();
      const opened = await load(await import('../../sources/camera/live.ts'));
      // The permission may come after the person has left.
      if (isLeft.current) {
        opened.close();
        return;
      }
      camera.current = opened;
      if (opened.from === 'film') await freeze();
      else setStage({ name: 'aim' });
    });
  };
  const openFilm = async () => {
    if (!dial) return;
    const [file] = await pickFiles('video/*');
    if (file) open(({ openFilm }) => openFilm(file));
  };
  const freeze = async () => {
    const live = camera.current;
    if (!live) return;
    const picture = await live.freeze();
    setTargets((now) => now.map((target) => ({ ...target, at: null })));
    setStage({ name: 'tap', picture });
  };
  const fit = async (): Promise<FitOutcome> => {
    const marks = dial && marksOf(targets, dial, known);
    if (!marks || !camera.current || stage.name !== 'tap')
      return { ok: false, problem: 'marks-unusable', scale: null };
    const live = camera.current;
    const outcome = await live.fit(marks);
    if (outcome.ok) {
      await live.controls()?.lock();
      setStage({ name: 'check', picture: stage.picture, scale: outcome.scale });
    }
    return outcome;
  };
  const retake = () => {
    if (camera.current?.from === 'film') void attempt(freeze);
    else setStage({ name: 'aim' });
  };
  const connect = (scale: FittedScale) => {
    const live = camera.current;
    if (!live || !dial) return;
    settings.change({
      dial: { ...dial, sweep: scale.sweep, follower: known?.follower ?? form.follower },
    });
    // The source releases it from now on.
    camera.current = null;
    capture.connect({ kind: 'camera', camera: live, dial });
    onLeave();
  };
  const toPlace = () => {
    release();
    setStage({ name: 'place' });
  };

  const live = camera.current;
  return (
    <Page kind="camera-page">
      {stage.name === 'place' ? (
        <PageHead title={t.camera.title} />
      ) : (
        <Heading key={stage.name} visuallyHidden>
          {t.camera[stage.name]}
        </Heading>
      )}
      {problem && (
        <div class="remark" role="alert">
          <VerdictShape verdict="fault" />
          <p>{t.source[problem]}</p>
        </div>
      )}
      {stage.name === 'place' && (
        <PlaceStep
          known={known}
          form={form}
          isStarting={isStarting}
          onChange={(patch) => setForm((now) => ({ ...now, ...patch }))}
          onOther={() => setKnown(false)}
          onStart={() => open(({ openCamera }) => openCamera())}
          onFilm={() => void openFilm()}
          onCancel={onLeave}
        />
      )}
      {stage.name === 'aim' && live && (
        <AimStep camera={live} onFreeze={() => void attempt(freeze)} onBack={toPlace} />
      )}
      {stage.name === 'tap' && dial && (
        <TapStep
          picture={stage.picture}
          dial={dial}
          targets={targets}
          isKnown={known !== null}
          onChange={setTargets}
          onFit={fit}
          onFail={fail}
          onRetake={retake}
          onFourMarks={() => {
            if (remembered) setForm(formOf(remembered));
            setKnown(false);
            setTargets(tapTargets(dial, false));
          }}
          onLeave={() => {
            if (known) setForm(formOf(known));
            setKnown(false);
            toPlace();
          }}
        />
      )}
      {stage.name === 'check' && live && dial && (
        <CheckStep
          camera={live}
          dial={dial}
          scale={stage.scale}
          size={stage.picture}
          onFits={() => connect(stage.scale)}
          onFitsNot={() => setStage({ name: 'tap', picture: stage.picture })}
          onEnded={() => {
            setProblem('camera-busy');
            toPlace();
          }}
        />
      )}
    </Page>
  );
}
