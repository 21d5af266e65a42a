import { effect, type ReadonlySignal, signal } from '@preact/signals';
import type { SourceInfo } from '../../worker/file/records.ts';
import type { Clock, FrameScheduler, KeyValueStorage } from '../platform/ports.ts';
import type { SampleSource } from '../sources/port.ts';
import type { SimulatorControls, SourceChoice } from '../sources/source-choice.ts';
import type { PlanItem } from './capture-state.ts';
import { createConnection } from './connection.ts';
import { createConnectionLog } from './connection-log.ts';
import type { Connection } from './connection-state.ts';
import type { LiveAnalysis } from './live-analysis.ts';
import { createRingBuffer, type RingBuffer } from './ring-buffer.ts';
import type { TakeWriter } from './take-writer.ts';

export interface SampleFeedOptions {
  readonly clock: Clock;
  readonly frames: FrameScheduler;
  /** Keeps the connection log across visits. */
  readonly storage?: KeyValueStorage;
  readonly writer: Pick<TakeWriter, 'block' | 'gap'>;
  readonly analysis: Pick<LiveAnalysis, 'push' | 'gap' | 'settle'>;
  openSource(choice: SourceChoice): Promise<{ source: SampleSource; controls?: SimulatorControls }>;
  /** Adds what the user stated of a source to what it says of itself. */
  describe?(info: SourceInfo): SourceInfo;
  /** No more samples of this connection will come, and those received are analysed. */
  onEnd(): void;
}

/** The live connection. Samples go from it to the buffer, the open take and the analysis, in that order. */
export interface SampleFeed {
  readonly connection: ReadonlySignal<Connection>;
  /** Connected source; `null` when not connected. */
  readonly info: ReadonlySignal<SourceInfo | null>;
  /** Controls of the simulated engine; `null` unless it is connected. */
  readonly simulator: ReadonlySignal<SimulatorControls | null>;
  readonly buffer: RingBuffer;
  /** Source of the buffered samples. Kept after the connection ends, because its last samples are still being analysed. */
  source(): SourceInfo | null;
  /** Host time of the newest block, milliseconds. */
  arrivedMs(): number;
  /** Closes the connection, clears the buffer and connects. `false`: not connected, or replaced by a later call. */
  connect(choice: SourceChoice): Promise<boolean>;
  /** Closes the connection and calls `onEnd`. */
  disconnect(): void;
  /** Moves the hose of the simulated engine. */
  moveHose(item: PlanItem): void;
  log(): readonly string[];
}

/** Not connected. */
export function createSampleFeed(options: SampleFeedOptions): SampleFeed {
  const { clock, frames, writer, analysis } = options;
  const buffer = createRingBuffer({ frames, nowMs: clock.nowMs });
  const simulator = signal<SimulatorControls | null>(null);
  let source: SourceInfo | null = null;
  let arrivedMs = 0;
  let choiceNumber = 0;

  const connection = createConnection({
    block(block, atMs) {
      arrivedMs = clock.nowMs();
      buffer.add(block, atMs);
      writer.block(block, frames.visible());
      analysis.push(block);
    },
    gap(gap) {
      log.gap(gap);
      buffer.addGap(gap);
      writer.gap(gap);
      analysis.gap(gap);
    },
    async ended() {
      // Wait for the analysis of the samples received, so a recording's last strokes count.
      const mine = choiceNumber;
      await analysis.settle();
      if (mine !== choiceNumber) return;
      simulator.value = null;
      options.onEnd();
    },
  });
  const log = createConnectionLog(connection.state, clock, options.storage);
  effect(() => {
    source = connection.info.value ?? source;
  });

  const disconnect = (): void => {
    choiceNumber++;
    connection.close();
    simulator.value = null;
    options.onEnd();
  };

  return {
    connection: connection.state,
    info: connection.info,
    simulator,
    buffer,
    source: () => source && (options.describe?.(source) ?? source),
    arrivedMs: () => arrivedMs,
    async connect(choice) {
      disconnect();
      const mine = choiceNumber;
      buffer.clear();
      await connection.open(choice.kind, async () => {
        const made = await options.openSource(choice);
        if (mine === choiceNumber) simulator.value = made.controls ?? null;
        return made.source;
      });
      return mine === choiceNumber && connection.info.value !== null;
    },
    disconnect,
    moveHose: (item) => simulator.value?.moveHose(item),
    log: log.lines,
  };
}
