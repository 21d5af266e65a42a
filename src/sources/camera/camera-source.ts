import { toKpa } from '../../../worker/core/units.ts';
import type { DialFacts, SourceInfo } from '../../../worker/file/records.ts';
import type { Clock, Log } from '../../platform/ports.ts';
import { type EndReason, type SampleSink, type SampleSource, SourceProblem } from '../port.ts';
import type { DialCamera } from './dial-camera.ts';
import { createDialSamples, type DialSamples } from './dial-samples.ts';

export interface CameraSourceOptions {
  /** With its scale fitted. Released when the source ends. */
  readonly camera: DialCamera;
  readonly dial: DialFacts;
  readonly clock: Clock;
  readonly log?: Pick<Log, 'add'> | undefined;
}

/** Name in `SourceInfo.layout`. */
const CAMERA_LAYOUT = 'dial on camera';

const STATUS_MS = 1000;
/** Without a clear reading for so long, the source reports `silent`. */
const SILENT_MS = 3000;
/** Delay before the first attempt to open the camera again; doubled after each, up to the longest one. */
const RETRY_MS = 1000;
const LONGEST_RETRY_MS = 8000;
/** Opening the camera again is given up after this long. */
const GIVE_UP_MS = 120_000;

/** The needle of a dial gauge, read from the pictures of a camera or a film. A camera source is opened once. */
export function createCameraSource(options: CameraSourceOptions): SampleSource {
  const { camera, dial } = options;
  return {
    kind: 'camera',
    async open(sink, signal) {
      if (signal.aborted) {
        camera.close();
        throw new SourceProblem('cancelled', 'Stopped before it began.');
      }
      stream(options, sink, signal);
      const rangeKpa = toKpa(dial.fullScale, dial.unit);
      const { classPercent } = dial;
      const info: SourceInfo = {
        kind: 'camera',
        name: camera.name,
        layout: CAMERA_LAYOUT,
        sensorMaxKpa: rangeKpa,
        dial,
        ...(classPercent !== undefined && { accuracy: { classPercent, rangeKpa } }),
      };
      return info;
    },
  };
}

function stream(
  { camera, dial, clock, log }: CameraSourceOptions,
  sink: SampleSink,
  signal: AbortSignal,
): void {
  const startMs = clock.nowMs();
  let over = false;
  let isBack = true;
  /** Time of the newest sample at the status before, s. */
  let countedS = 0;
  let counted = 0;
  let clearMs = startMs;
  let samples: DialSamples | null = null;
  let cancelStatus = (): void => {};
  let cancelRetry = (): void => {};
  let unlisten = (): void => {};

  function end(reason: EndReason): void {
    if (over) return;
    over = true;
    cancelStatus();
    cancelRetry();
    signal.removeEventListener('abort', stop);
    unlisten();
    camera.close();
    sink.ended(reason);
  }
  const stop = (): void => end({ kind: 'stopped' });

  function reportStatus(): void {
    const nowMs = clock.nowMs();
    if (isBack) {
      const silentMs = nowMs - clearMs;
      if (silentMs > SILENT_MS)
        sink.status({ state: 'silent', forS: silentMs / 1000, reason: samples?.reason() });
      else if (counted > 0) {
        // By their own times: a film is played slowly.
        const samplesPerS = counted / Math.max(0.001, (samples?.lastS() ?? 0) - countedS);
        sink.status({ state: 'streaming', samplesPerS });
      }
    }
    countedS = samples?.lastS() ?? 0;
    counted = 0;
    if (!over) cancelStatus = clock.after(STATUS_MS, reportStatus);
  }

  /** Opens the camera again, with pauses, until it succeeds, is refused, or `GIVE_UP_MS` have passed. */
  function comeBack(attempt: number, lostMs: number): void {
    if (over) return;
    sink.status({ state: 'reconnecting', attempt });
    if (over) return;
    cancelRetry = clock.after(Math.min(LONGEST_RETRY_MS, RETRY_MS * 2 ** (attempt - 1)), () => {
      camera.reopen().then(
        () => {
          isBack = true;
          clearMs = clock.nowMs();
        },
        (cause: unknown) => {
          if (over) return;
          const problem =
            cause instanceof SourceProblem
              ? cause
              : new SourceProblem('unexpected', String(cause), { cause });
          log?.add('camera', problem);
          const isFinal = problem.code === 'camera-refused' || clock.nowMs() - lostMs > GIVE_UP_MS;
          if (isFinal) end({ kind: 'lost', problem });
          else comeBack(attempt + 1, lostMs);
        },
      );
    });
  }

  function begin(): void {
    const mySamples = createDialSamples(sink, dial.unit);
    samples = mySamples;
    unlisten = camera.listen({
      reading(reading) {
        if (over) return;
        const nowMs = clock.nowMs();
        if (!mySamples.read(reading, (nowMs - startMs) / 1000, nowMs)) return;
        counted++;
        clearMs = nowMs;
      },
      ended() {
        if (over) return;
        if (camera.from === 'film') {
          end({ kind: 'finished' });
          return;
        }
        log?.add('camera', new SourceProblem('camera-lost', 'The camera was taken away.'));
        isBack = false;
        mySamples.interrupted();
        comeBack(1, clock.nowMs());
      },
    });
    camera.play();
    sink.status({ state: 'streaming', samplesPerS: 0 });
    if (!over) cancelStatus = clock.after(STATUS_MS, reportStatus);
  }

  signal.addEventListener('abort', stop);
  // Delayed until `open` has resolved.
  cancelStatus = clock.after(0, begin);
}
