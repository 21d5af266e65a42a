import { useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import type { RecordedTrace } from '../../../worker/file/csv/trace-file.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useTrouble } from '../../components/trouble.ts';
import type { LoadedTest } from '../../library/library.ts';
import { RecordingProblems, useRecordings } from './recordings.tsx';

const SPEEDS = [1, 5, 20, Number.POSITIVE_INFINITY] as const;

/** Uses a recorded trace for the current cylinder: imported directly, or replayed as live samples. */
export function RecordingPicker({ loaded }: { loaded: LoadedTest }) {
  const { capture, library } = useModel();
  const { t, say, number } = useReader();
  const { route } = useLocation();
  const trouble = useTrouble();
  const recordings = useRecordings();
  const [index, setIndex] = useState(0);
  const [speed, setSpeed] = useState<number>(1);
  const item = capture.state.value.plan[capture.state.value.at];
  const recording = recordings.traces[index];
  const words = (one: RecordedTrace) => recordingLine(one, say(t.crank.recordingLine, recordingValues(one)));

  const take = async () => {
    if (!recording || !item) return;
    const { cylinder, condition } = item;
    const kept = await trouble.attempt(library.addRecorded(loaded.test, cylinder, condition, recording));
    if (kept) route(`tests/${loaded.test.id}/judge`);
  };

  return (
    <>
      <Section title={t.crank.sourceFile}>
        <div class="stack">
          <Button onClick={() => void recordings.choose()}>{t.crank.chooseFile}</Button>
          <RecordingProblems recordings={recordings} />
          {recordings.traces.length > 1 && (
            <Choice
              legend={t.crank.whichColumn}
              value={String(index)}
              options={recordings.traces.map((one, i) => ({ value: String(i), label: words(one) }))}
              onChoose={(i) => setIndex(Number(i))}
            />
          )}
          {recordings.traces.length === 1 && recording && <p>{words(recording)}</p>}
          {recording && (
            <Choice
              legend={t.crank.playSpeed}
              value={String(speed)}
              options={SPEEDS.map((one) => ({
                value: String(one),
                label: Number.isFinite(one) ? `${number(one)}×` : t.crank.atOnce,
              }))}
              onChoose={(one) => setSpeed(Number(one))}
            />
          )}
        </div>
      </Section>
      {recording && item && (
        <div class="action">
          <Button kind="main" onClick={() => capture.connect({ kind: 'replay', recording, speed })}>
            {t.crank.playRecording}
          </Button>
          <Button onClick={() => void take()}>
            {say(t.crank.addRecording, {
              cylinder: item.cylinder,
              condition: t.conditionLong[item.condition],
            })}
          </Button>
        </div>
      )}
    </>
  );
}

/** Length and size of a recording, to fill a sentence. */
export function recordingValues({ fileName, trace }: RecordedTrace) {
  return {
    name: fileName,
    samples: trace.timeS.length,
    durationS: (trace.timeS.at(-1) ?? 0) - (trace.timeS[0] ?? 0),
  };
}

const recordingLine = ({ header }: RecordedTrace, line: string): string =>
  header.cylinder === undefined ? line : `${header.cylinder}: ${line}`;
