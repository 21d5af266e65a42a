import { useEffect, useState } from 'preact/hooks';
import { DISPLAY_UNITS, SEA_LEVEL_KPA } from '../../../worker/core/units.ts';
import type { SourceInfo } from '../../../worker/file/records.ts';
import { unitSymbol } from '../../../worker/words/pressure.ts';
import type { Connection } from '../../capture/connection-state.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { PageHead } from '../../components/heading.tsx';
import { LiveTrace } from '../../components/live-trace.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { layoutOf, sourceName, stampOf } from '../../components/source-words.ts';
import { Stamp } from '../../components/stamp.tsx';
import { SIMULATED_FACTS } from '../compression-test/new-records.ts';
import { connectionWords } from '../crank/crank-words.ts';
import { AccuracySection } from './accuracy-section.tsx';
import { CableSection } from './cable-section.tsx';
import { restOf } from './rest.ts';
import { UnlistedSensorSection } from './unlisted-sensor.tsx';

/** Source of the figures that are typed in. */
const DIAL_GAUGE: SourceInfo = { kind: 'typed', name: 'Dial gauge' };

/** Sensor page: connection, device information and live reading. */
export function SensorScreen() {
  const { capture } = useModel();
  const reader = useReader();
  const { t } = reader;
  const connection = capture.connection.value;
  const isOn = 'info' in connection;
  const stamp = isOn ? stampOf(connection.kind, reader) : null;
  const isBusy = connection.state === 'choosing' || connection.state === 'connecting';
  const wasCancelled = connection.state === 'lost' && connection.problem.code === 'cancelled';
  return (
    <Page>
      <PageHead title={t.sensor.title}>
        <div class="remark" role="status">
          <VerdictShape
            verdict={connection.state === 'streaming' ? 'sound' : isOn || isBusy ? 'watch' : 'cannot-tell'}
          />
          <p>
            {wasCancelled || connection.state === 'none'
              ? t.sensor.noneYet
              : connectionWords(connection, reader)}{' '}
            {stamp && <Stamp>{stamp}</Stamp>}
          </p>
        </div>
      </PageHead>
      {isOn && <NowSection />}
      {isOn && <AboutSection connection={connection} />}
      {isOn && <AccuracySection info={connection.info} />}
      <UnitSection />
      {!isOn && <AccuracySection info={DIAL_GAUGE} />}
      <Section title={t.sensor.needs}>
        <p>{t.sensor.needsText}</p>
        <p>{t.sensor.cameraText}</p>
      </Section>
      {!isOn && <UnlistedSensorSection />}
      {!isOn && <CableSection />}
      <SensorActions isOn={isOn} isBusy={isBusy} />
    </Page>
  );
}

function SensorActions({ isOn, isBusy }: { isOn: boolean; isBusy: boolean }) {
  const { capture } = useModel();
  const { t } = useReader();
  const hasBluetooth = 'bluetooth' in navigator;
  const hasCable = 'serial' in navigator;
  if (isOn || isBusy) {
    return (
      <div class="action">
        <Button kind="main stop" onClick={() => capture.disconnect()}>
          {isBusy ? t.app.cancel : t.crank.disconnect}
        </Button>
      </div>
    );
  }
  return (
    <div class="action">
      {!hasBluetooth && <p class="action-why">{t.source['no-bluetooth']}</p>}
      <Button
        kind="main"
        onClick={() => capture.connect({ kind: 'bluetooth' })}
        blocked={hasBluetooth ? null : t.source['no-bluetooth']}
      >
        {t.sensor.connect}
      </Button>
      {hasCable && (
        <Button onClick={() => capture.connect({ kind: 'serial' })}>{t.sensor.connectCable}</Button>
      )}
      <Button
        onClick={() => capture.connect({ kind: 'simulated', facts: SIMULATED_FACTS, faults: [], seed: 1 })}
      >
        {t.sensor.trySimulator}
      </Button>
    </div>
  );
}

/** Live pressure and noise, updated a few times a second so that they stay readable. */
function NowSection() {
  const { capture } = useModel();
  const { t, say, figure, unitSymbol: symbol } = useReader();
  const [now, setNow] = useState(() => restOf(capture.buffer));
  useEffect(() => {
    const timer = setInterval(() => setNow(restOf(capture.buffer)), 250);
    return () => clearInterval(timer);
  }, [capture]);
  return (
    <Section title={t.sensor.live} hint={t.sensor.liveHint}>
      <p class="now-figure">
        {figure(capture.buffer.lastKpa)} <span class="now-unit">{symbol}</span>
      </p>
      {now && <p>{say(t.sensor.rest, { meanKpa: now.meanKpa, noiseKpa: now.noiseKpa })}</p>}
      <p class="quiet">{say(t.sensor.zeroHint, { zero: 0, ambient: SEA_LEVEL_KPA })}</p>
      <div class="aligned">
        <LiveTrace />
      </div>
    </Section>
  );
}

function AboutSection({ connection }: { connection: Extract<Connection, { info: unknown }> }) {
  const reader = useReader();
  const { t, pressure, number, percent } = reader;
  const { info } = connection;
  const streaming = connection.state === 'streaming' ? connection : null;
  const facts: readonly [string, string | undefined][] = [
    [t.sensor.name, sourceName(info, reader)],
    [t.sensor.manufacturer, info.manufacturer],
    [t.sensor.model, info.model],
    [t.sensor.serial, info.serial],
    [t.sensor.firmware, info.firmware],
    [t.sensor.layout, layoutOf(info, reader)],
    [t.sensor.range, info.sensorMaxKpa === undefined ? undefined : pressure(info.sensorMaxKpa)],
    [t.sensor.rate, streaming && streaming.samplesPerS > 0 ? number(streaming.samplesPerS) : undefined],
    [
      t.sensor.battery,
      streaming?.batteryPercent === undefined ? undefined : percent(streaming.batteryPercent / 100),
    ],
  ];
  return (
    <Section title={t.sensor.about}>
      <dl class="facts">
        {facts.map(
          ([name, value]) =>
            value !== undefined && (
              <>
                <dt key={name}>{name}</dt>
                <dd>{value}</dd>
              </>
            ),
        )}
      </dl>
    </Section>
  );
}

/** Choice of the unit for all screens. */
function UnitSection() {
  const { settings } = useModel();
  const { t, unit } = useReader();
  return (
    <Section title={t.settings.unit}>
      <Choice
        legend={t.settings.unit}
        quiet
        value={unit}
        options={DISPLAY_UNITS.map((one) => ({ value: one, label: unitSymbol(one) }))}
        onChoose={(one) => settings.change({ unit: one })}
      />
    </Section>
  );
}
