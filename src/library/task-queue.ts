/** Lets work wait for its turn, so that what is looked at now does not queue behind what was passed on the way. */
export interface TaskQueue {
  /** Next, before all that waits. Work that still waits under this key gives way to it. */
  next(key: string, work: () => Promise<void>): void;
  /** Behind everything that `next` is told, in the order of asking. */
  later<T>(work: () => Promise<T>): Promise<T>;
  /** Nobody wants it any more. `true` when it was still waiting. */
  drop(key: string): boolean;
}

/** `most`: how much may be under way at once. */
export function createTaskQueue(most: number): TaskQueue {
  const first = new Map<string, () => Promise<void>>();
  const last: (() => Promise<void>)[] = [];
  let running = 0;

  const taken = (): (() => Promise<void>) | undefined => {
    const newest = [...first.keys()].at(-1);
    if (newest === undefined) return last.shift();
    const work = first.get(newest);
    first.delete(newest);
    return work;
  };

  const go = (): void => {
    while (running < most) {
      const work = taken();
      if (!work) return;
      running++;
      void work()
        .catch(() => undefined)
        .finally(() => {
          running--;
          go();
        });
    }
  };

  return {
    next(key, work) {
      first.delete(key);
      first.set(key, work);
      go();
    },
    later: (work) =>
      new Promise((resolve, reject) => {
        last.push(() => work().then(resolve, reject));
        go();
      }),
    drop: (key) => first.delete(key),
  };
}
