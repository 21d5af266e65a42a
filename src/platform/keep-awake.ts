import type { KeepAwake } from './ports.ts';

/** Screen Wake Lock. The browser releases it when the page is hidden, so it is requested again when visible. */
export function createKeepAwake(): KeepAwake {
  return {
    hold() {
      let sentinel: WakeLockSentinel | null = null;
      let released = false;
      const ask = async (): Promise<void> => {
        if (released || document.visibilityState !== 'visible' || !('wakeLock' in navigator)) return;
        try {
          const got = await navigator.wakeLock.request('screen');
          if (released) void got.release();
          else sentinel = got;
        } catch {
          // Refused (battery saver, policy): the screen may turn off, but capture continues.
        }
      };
      const onVisible = (): void => void ask();
      document.addEventListener('visibilitychange', onVisible);
      void ask();
      return () => {
        released = true;
        document.removeEventListener('visibilitychange', onVisible);
        void sentinel?.release();
      };
    },
  };
}
