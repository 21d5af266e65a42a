import { createLiveEngine, type LiveSpec } from '../../simulator/live-engine.ts';
import { createRadio, makeRadio, packedFormat, type RadioOptions } from '../../simulator/radio.ts';
import { createRandom } from '../../simulator/random.ts';
import { makeSensor, type SensorOptions } from '../../simulator/transducer.ts';
import { createStreamDecoder, layoutName } from '../../worker/wire/stream-decoder.ts';
import type { TimelineEvent } from '../../worker/wire/timeline.ts';
import type { Clock } from '../platform/ports.ts';
import { type EndReason, type SampleSource, SourceProblem } from './port.ts';
import type { SimulatorControls } from './source-choice.ts';

/** A simulated engine with sensor and radio. Its bytes go through the same decoders as those of a real sensor. */
export interface SimulatedOptions extends Omit<LiveSpec, 'sensor'> {
  readonly clock: Clock;
  readonly sensor?: SensorOptions | undefined;
  /** Default: the packed stream over a good link. */
  readonly radio?: Partial<RadioOptions> | undefined;
  /** Cylinder of the hose at the start. Default: the lowest number. */
  readonly cylinder?: number | undefined;
}

/** The controls have no effect while the source is not open. */
export interface SimulatedSource extends SimulatorControls {
  readonly source: SampleSource;
}

/** Longest cranking without a rest. */
const LONGEST_CRANK_S = 12;
/** Time from the end of cranking to the release of the pressure. */
const WATCHED_S = 2.5;

const TICK_MS = 20;
const STATUS_MS = 1000;

/** A source that the returned controls drive. Not yet open. */
export function createSimulatedSource(options: SimulatedOptions): SimulatedSource {
  const { clock, engine, seed } = options;
  const layout = options.radio?.layout;
  const sensor = makeSensor({
    maxKpa: engine.fuel === 'diesel' ? 6000 : 2500,
    ...(layout?.kind === 'environmental' && { absolute: true }),
    ...options.sensor,
  });
  const radioSpec = makeRadio({
    layout: { kind: 'packed', format: packedFormat(sensor.maxKpa) },
    rateHz: sensor.rateHz,
    ...options.radio,
  });
  let at: Parameters<SimulatorControls['moveHose']>[0] = {
    cylinder: options.cylinder ?? Math.min(...engine.cylinders.keys()),
    condition: 'dry',
  };
  let running: { readonly live: ReturnType<typeof createLiveEngine>; nowS(): number } | undefined;
  /** Time of the pressure release after cranking; `null` while the starter turns or no pressure is held. */
  let releaseS: number | null = null;
  let wasTurning = false;

  /** Releases the pressure some time after cranking, as a user does. */
  function watchPressure(live: ReturnType<typeof createLiveEngine>, nowS: number): void {
    if (live.starterOn) releaseS = null;
    else if (wasTurning) releaseS = nowS + WATCHED_S;
    wasTurning = live.starterOn;
    if (releaseS === null || nowS < releaseS) return;
    releaseS = null;
    live.releasePressure(nowS);
  }

  const source: SampleSource = {
    kind: 'simulated',
    open: async (sink, signal) => {
      if (signal.aborted) throw new SourceProblem('cancelled', 'Stopped before it began.');
      if (running) throw new SourceProblem('refused', 'The simulated sensor is connected already.');
      const startMs = clock.nowMs();
      const nowS = () => (clock.nowMs() - startMs) / 1000;
      const live = createLiveEngine({ ...options, sensor }, at.cylinder);
      live.moveHose(0, at.cylinder, at.condition);
      const radio = createRadio(radioSpec, createRandom(seed).fork(3));
      const decoder = createStreamDecoder(radioSpec.layout);
      let statusMs = startMs;
      let counted = 0;
      let over = false;
      let cancel = (): void => {};
      running = { live, nowS };

      const emit = (events: readonly TimelineEvent[], arrivedS: number): void => {
        for (const event of events) {
          // The sink may have stopped the source during the previous call.
          if (over) return;
          if (event.kind === 'gap') sink.gap(event.gap);
          else {
            counted += event.block.timeS.length;
            sink.block(event.block, startMs + arrivedS * 1000);
          }
        }
      };
      const receive = (untilS: number): void => {
        radio.push(live.sample(untilS));
        for (const event of radio.due(untilS)) {
          if (event.kind === 'packet') {
            emit(decoder.push(new DataView(event.bytes.buffer), event.arrivalS), event.arrivalS);
          } else if (event.kind === 'link-lost' && !over) {
            emit(decoder.linkLost(), event.arrivalS);
            sink.status({ state: 'reconnecting', attempt: 1 });
          }
        }
        emit(decoder.tick(untilS), untilS);
      };
      const end = (reason: EndReason): void => {
        cancel();
        signal.removeEventListener('abort', stop);
        running = undefined;
        emit(decoder.linkLost(), nowS());
        over = true;
        sink.ended(reason);
      };
      const stop = (): void => end({ kind: 'stopped' });
      const tick = (): void => {
        receive(nowS());
        watchPressure(live, nowS());
        const sinceMs = clock.nowMs() - statusMs;
        if (sinceMs >= STATUS_MS) {
          if (counted > 0 && !over)
            sink.status({ state: 'streaming', samplesPerS: (counted * 1000) / sinceMs });
          statusMs += sinceMs;
          counted = 0;
        }
        if (!signal.aborted) cancel = clock.after(TICK_MS, tick);
      };

      signal.addEventListener('abort', stop);
      cancel = clock.after(TICK_MS, tick);
      return {
        kind: 'simulated',
        name: engine.name,
        layout: layoutName(radioSpec.layout),
        sensorMaxKpa: sensor.maxKpa,
      };
    },
  };

  return {
    source,
    crank: () => running?.live.crank(running.nowS(), LONGEST_CRANK_S),
    releaseStarter: () => running?.live.releaseStarter(running.nowS()),
    moveHose: (item) => {
      at = item;
      running?.live.moveHose(running.nowS(), item.cylinder, item.condition);
    },
  };
}
