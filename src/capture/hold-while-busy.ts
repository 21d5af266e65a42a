import { effect, type ReadonlySignal } from '@preact/signals';
import type { KeepAwake } from '../platform/ports.ts';

/** Keeps the screen on while `busy`; calls `onIdle` at the start and whenever it ends. */
export function holdWhileBusy(busy: ReadonlySignal<boolean>, keepAwake: KeepAwake, onIdle: () => void): void {
  let release: (() => void) | null = null;
  effect(() => {
    if (busy.value) {
      release ??= keepAwake.hold();
      return;
    }
    release?.();
    release = null;
    onIdle();
  });
}
