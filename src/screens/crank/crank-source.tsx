import { useState } from 'preact/hooks';
import { isRotary } from '../../../worker/core/engine.ts';
import {
  isCylinderFault,
  isPairFault,
  PAIR_FAULTS,
  SINGLE_FAULTS,
} from '../../../worker/core/judge/faults.ts';
import type { Cause } from '../../../worker/core/judgement.ts';
import { cylindersOf, neighboursOf } from '../../../worker/core/layouts.ts';
import type { Hose } from '../../../worker/core/trace.ts';
import type { SourceKind, TakeRecord } from '../../../worker/file/records.ts';
import type { Connection } from '../../capture/connection-state.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { UnfinishedTakes } from '../engines/unfinished-takes.tsx';
import { RecordingPicker } from '../recordings/recording-picker.tsx';
import { connectionWords } from './crank-words.ts';

interface CrankSourceProps {
  loaded: LoadedTest;
  connection: Connection;
  onType: () => void;
  onCamera: () => void;
}

/** Choice of the source of figures. */
export function CrankSource({ loaded, connection, onType, onCamera }: CrankSourceProps) {
  const { capture } = useModel();
  const reader = useReader();
  const { t } = reader;
  const isSimulated = loaded.test.origin === 'simulated';
  const [chosen, setChosen] = useState<SourceKind>(
    isSimulated ? 'simulated' : 'bluetooth' in navigator ? 'bluetooth' : 'typed',
  );
  const isBusy = connection.state === 'choosing' || connection.state === 'connecting';
  /** Skips a cylinder whose interrupted take was kept. */
  const goOnFrom = ({ cylinder, condition }: TakeRecord) => {
    const { plan, at } = capture.state.peek();
    const next = plan[at];
    if (next?.cylinder === cylinder && next.condition === condition) capture.skip();
  };
  const options: readonly { key: SourceKind; name: string; hint: string }[] = [
    { key: 'typed', name: t.crank.sourceTyped, hint: t.crank.sourceTypedHint },
    // A dial gauge has a check valve, which keeps only the highest of a rotor's faces.
    ...(isRotary(loaded.engine.facts)
      ? []
      : [{ key: 'camera' as const, name: t.crank.sourceCamera, hint: t.crank.sourceCameraHint }]),
    { key: 'bluetooth', name: t.crank.sourceSensor, hint: t.crank.sourceSensorHint },
    ...('serial' in navigator
      ? [{ key: 'serial' as const, name: t.crank.sourceCable, hint: t.crank.sourceCableHint }]
      : []),
    { key: 'replay', name: t.crank.sourceFile, hint: t.crank.sourceFileHint },
    { key: 'simulated', name: t.crank.sourceSimulator, hint: t.crank.sourceSimulatorHint },
  ];
  return (
    <>
      <ConnectionRemark connection={connection} />
      <UnfinishedTakes testId={loaded.test.id} onKeep={goOnFrom} />
      <Section title={t.crank.chooseSource}>
        <fieldset class="sources">
          <legend class="visually-hidden">{t.crank.chooseSource}</legend>
          {options.map((option) => (
            <label key={option.key} class="tick">
              <input
                type="radio"
                name="source"
                checked={chosen === option.key}
                onChange={() => setChosen(option.key)}
              />
              <span class="strong">{option.name}</span>
              <span class="why">{option.hint}</span>
            </label>
          ))}
        </fieldset>
      </Section>
      {chosen === 'replay' && <RecordingPicker loaded={loaded} />}
      {chosen === 'simulated' && <SimulatorChoice loaded={loaded} isBusy={isBusy} />}
      {chosen === 'typed' && (
        <div class="action">
          <Button kind="main" onClick={onType}>
            {t.crank.typeIn}
          </Button>
        </div>
      )}
      {chosen === 'camera' && (
        <div class="action">
          <Button kind="main" onClick={onCamera}>
            {t.crank.setUpCamera}
          </Button>
        </div>
      )}
      {(chosen === 'bluetooth' || chosen === 'serial') && (
        <>
          <HoseSection loaded={loaded} />
          <SensorAction kind={chosen} isBusy={isBusy} wasLost={wasLost(connection, chosen)} />
        </>
      )}
    </>
  );
}

/** State of the connection, while connecting or after a failure. */
function ConnectionRemark({ connection }: { connection: Connection }) {
  const reader = useReader();
  if (connection.state === 'none' && !connection.finished) return null;
  if (connection.state === 'lost' && connection.problem.code === 'cancelled') return null;
  return (
    <div class="remark" role="status">
      {connection.state === 'lost' ? <VerdictShape verdict="fault" /> : <VerdictShape verdict="watch" />}
      <p>{connectionWords(connection, reader)}</p>
    </div>
  );
}

type HoseChoice = Hose | 'find';

/** Hose on the sensor, when the user knows it better than the analysis of the trace. */
function HoseSection({ loaded }: { loaded: LoadedTest }) {
  const { capture } = useModel();
  const { t } = useReader();
  const hose: HoseChoice = capture.session.value?.hose ?? 'find';
  const choose = (one: HoseChoice) => {
    const { plan, at } = capture.state.peek();
    capture.begin(loaded.engine, loaded.test, plan.slice(at), one === 'find' ? undefined : one);
  };
  return (
    <Section title={t.crank.hose} hint={isRotary(loaded.engine.facts) ? t.crank.hoseRotor : t.crank.hoseHint}>
      <Choice
        legend={t.crank.hose}
        quiet
        value={hose}
        options={[
          { value: 'find', label: t.crank.hoseFind },
          { value: 'check-valve', label: t.hose['check-valve'] },
          { value: 'open', label: t.hose.open },
        ]}
        onChoose={choose}
      />
    </Section>
  );
}

/** Whether a sensor can be reconnected without another device chooser. */
const wasLost = (connection: Connection, kind: SourceKind): boolean =>
  connection.state === 'lost' &&
  connection.kind === kind &&
  ['link-lost', 'timed-out', 'out-of-range', 'unplugged'].includes(connection.problem.code);

interface SensorActionProps {
  kind: 'bluetooth' | 'serial';
  isBusy: boolean;
  wasLost: boolean;
}

function SensorAction({ kind, isBusy, wasLost }: SensorActionProps) {
  const { capture } = useModel();
  const { t } = useReader();
  const blocked = kind in navigator ? null : t.source['no-bluetooth'];
  if (isBusy) {
    return (
      <div class="action">
        <Button kind="main stop" onClick={() => capture.disconnect()}>
          {t.app.cancel}
        </Button>
      </div>
    );
  }
  return (
    <div class="action">
      {blocked && <p class="action-why">{blocked}</p>}
      {wasLost && (
        <Button kind="main" onClick={() => capture.connect({ kind, again: true })} blocked={blocked}>
          {t.crank.connectAgain}
        </Button>
      )}
      <Button kind={wasLost ? '' : 'main'} onClick={() => capture.connect({ kind })} blocked={blocked}>
        {wasLost ? t.crank.connectOther : t.crank.connectSensor}
      </Button>
      <a class="button plain" href="sensor">
        {t.crank.sensorUnlisted}
      </a>
    </div>
  );
}

const CHOICES: readonly (Cause | 'none')[] = [
  'none',
  ...SINGLE_FAULTS,
  ...PAIR_FAULTS,
  'all-low',
  'rig-leak',
];

const ROTOR_CHOICES: readonly (Cause | 'none')[] = ['none', 'apex-seal', 'side-seal', 'all-low'];

function SimulatorChoice({ loaded, isBusy }: { loaded: LoadedTest; isBusy: boolean }) {
  const { capture } = useModel();
  const { t, say } = useReader();
  const { facts } = loaded.engine;
  const cylinders = cylindersOf(facts.layout);
  const [fault, setFault] = useState<Cause | 'none'>('none');
  const isRotor = isRotary(facts);
  const [hose, setHose] = useState<Hose>(isRotor ? 'open' : 'check-valve');
  const [cylinder, setCylinder] = useState(cylinders[Math.min(2, cylinders.length - 1)] ?? 1);
  const isEverywhere = fault === 'all-low' || fault === 'rig-leak';
  const start = () =>
    capture.connect({
      kind: 'simulated',
      facts,
      faults: fault === 'none' ? [] : [{ cause: fault, cylinders: faultyOnes() }],
      seed: Math.floor(Math.random() * 1e9),
      hose,
    });
  const faultyOnes = () => {
    if (isEverywhere) return cylinders;
    if (fault === 'none' || !isCylinderFault(fault) || !isPairFault(fault)) return [cylinder];
    return neighboursOf(facts.layout).find((pair) => pair.includes(cylinder)) ?? [cylinder];
  };
  return (
    <>
      <Section title={t.setup.fault} hint={t.setup.faultHint}>
        <div class="stack">
          <Choice
            legend={t.setup.fault}
            quiet
            value={fault}
            options={(isRotor ? ROTOR_CHOICES : CHOICES).map((code) => ({
              value: code,
              label: code === 'none' ? t.setup.faultNone : t.cause[code],
            }))}
            onChoose={setFault}
          />
          {fault !== 'none' && !isEverywhere && cylinders.length > 1 && (
            <Choice
              legend={isRotor ? t.column.rotor : t.column.cylinder}
              value={String(cylinder)}
              options={cylinders.map((n) => ({ value: String(n), label: say('{n}', { n }) }))}
              onChoose={(n) => setCylinder(Number(n))}
            />
          )}
          <Choice
            legend={t.crank.hose}
            value={hose}
            options={[
              { value: 'check-valve', label: t.hose['check-valve'] },
              { value: 'open', label: t.hose.open },
            ]}
            onChoose={setHose}
          />
        </div>
      </Section>
      <div class="action">
        <Button kind="main" onClick={start} blocked={isBusy ? t.connection.connecting : null}>
          {t.crank.connectSimulator}
        </Button>
      </div>
    </>
  );
}
