import { type ReadonlySignal, signal } from '@preact/signals';
import type { Gap, SampleBlock } from '../../worker/core/trace.ts';
import type { SourceInfo, SourceKind } from '../../worker/file/records.ts';
import { type EndReason, type SampleSource, SourceProblem, type SourceStatus } from '../sources/port.ts';
import type { Connection } from './connection-state.ts';

/** Events of the current connection. */
export interface ConnectionListener {
  block(block: SampleBlock, arrivedMs: number): void;
  gap(gap: Gap): void;
  /** The last event of a connection. Not called for one that was never established. */
  ended(reason: EndReason): void;
}

/** The current connection and its state. */
export interface ConnectionModel {
  readonly state: ReadonlySignal<Connection>;
  /** Source of the current samples; `null` when not connected. */
  readonly info: ReadonlySignal<SourceInfo | null>;
  /** Closes the previous source, then opens the one that `load` creates. Never rejects: errors go to `state`. */
  open(kind: SourceKind, load: () => Promise<SampleSource>): Promise<void>;
  close(): void;
}

/** One source at a time. After `close`, events from the old source are ignored. */
export function createConnection(listener: ConnectionListener): ConnectionModel {
  const state = signal<Connection>({ state: 'none' });
  const info = signal<SourceInfo | null>(null);
  let current: AbortController | null = null;

  const close = (): void => {
    const old = current;
    current = null;
    old?.abort();
    info.value = null;
    state.value = { state: 'none' };
  };

  return {
    state,
    info,
    async open(kind, load) {
      close();
      const mine = new AbortController();
      current = mine;
      state.value = { state: kind === 'bluetooth' || kind === 'serial' ? 'choosing' : 'connecting', kind };
      let latest: SourceStatus | null = null;
      const show = (status: SourceStatus): void => {
        latest = status;
        if (status.state === 'connecting') state.value = { state: 'connecting', kind };
        else if (info.value) state.value = { ...status, kind, info: info.value };
      };
      const end = (reason: EndReason): void => {
        current = null;
        info.value = null;
        state.value =
          reason.kind === 'lost'
            ? { state: 'lost', kind, problem: reason.problem }
            : { state: 'none', finished: reason.kind === 'finished' };
        listener.ended(reason);
      };
      /** Ignores calls once this connection is superseded. */
      const mineOnly =
        <A extends unknown[]>(listen: (...args: A) => void) =>
        (...args: A): void => {
          if (current === mine) listen(...args);
        };
      const early: EndReason[] = [];
      try {
        const source = await load();
        if (current !== mine) return;
        const about = await source.open(
          {
            block: mineOnly((block, arrivedMs) => listener.block(block, arrivedMs)),
            gap: mineOnly((gap) => listener.gap(gap)),
            status: mineOnly(show),
            ended: mineOnly((reason) => {
              if (info.value) end(reason);
              else early.push(reason);
            }),
          },
          mine.signal,
        );
        if (current !== mine) return;
        info.value = about;
        show(latest ?? { state: 'streaming', samplesPerS: 0 });
        if (early[0]) end(early[0]);
      } catch (cause) {
        if (current !== mine) return;
        current = null;
        const problem =
          cause instanceof SourceProblem
            ? cause
            : new SourceProblem('unexpected', 'The source failed for a reason of its own.', { cause });
        state.value = problem.code === 'cancelled' ? { state: 'none' } : { state: 'lost', kind, problem };
      }
    },
    close,
  };
}
