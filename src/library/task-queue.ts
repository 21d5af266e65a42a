/** Queue with limited concurrency, in which the newest task runs first: it is for what is on screen now. */
export interface TaskQueue {
  /** Queues `work` before everything else. Replaces queued work with the same key. Errors of `work` are ignored. */
  next(key: string, work: () => Promise<void>): void;
  /** Queues `work` behind everything queued by `next`, first in, first out. */
  later<T>(work: () => Promise<T>): Promise<T>;
  /** Cancels queued work. `false` when none was queued under this key. */
  drop(key: string): boolean;
}

/** `most`: maximum number of tasks running at once. */
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
