import type { Session } from './session-file.ts';

/** Result of `mergeSession`. */
export interface Merge {
  /** Records to add; none of their ids exists yet. */
  readonly add: Session;
  /** Number of engines, tests, takes and plugs that exist already, identical to the last sample. */
  readonly alreadyThere: number;
}

/**
 * Computes the records that an import adds. Nothing is overwritten: an identical record under the same id is skipped. A
 * different record under the same id gets a new id, and references to it are updated. The new id is derived from the old
 * one (`e1-2`), so importing the same file twice adds nothing the second time.
 *
 * `existing` must contain all records whose id is in the file or derived from one in the file.
 */
export function mergeSession(incoming: Session, existing: Session): Merge {
  let alreadyThere = 0;

  /** Finds the id for a record. `add` is null when an identical record exists under that id. */
  function place<T>(
    id: string,
    existingById: ReadonlyMap<string, T>,
    withId: (id: string) => T,
  ): { id: string; add: T | null } {
    for (let n = 1; ; n++) {
      const candidateId = idAt(id, n);
      const candidate = withId(candidateId);
      const there = existingById.get(candidateId);
      if (there === undefined) return { id: candidateId, add: candidate };
      if (same(candidate, there)) {
        alreadyThere++;
        return { id: candidateId, add: null };
      }
    }
  }

  const engineIds = new Map<string, string>();
  const engines = new Map(existing.engines.map((engine) => [engine.id, engine]));
  const addEngines = incoming.engines.flatMap((engine) => {
    const { id, add } = place(engine.id, engines, (newId) => ({ ...engine, id: newId }));
    engineIds.set(engine.id, id);
    return add ?? [];
  });

  const testIds = new Map<string, string>();
  const tests = new Map(existing.tests.map((test) => [test.id, test]));
  const addTests = incoming.tests.flatMap((test) => {
    const engineId = engineIds.get(test.engineId) ?? test.engineId;
    const { id, add } = place(test.id, tests, (newId) => ({ ...test, engineId, id: newId }));
    testIds.set(test.id, id);
    return add ?? [];
  });

  const takes = new Map(existing.takes.map((one) => [one.take.id, one]));
  const addTakes = incoming.takes.flatMap(({ take, trace }) => {
    const testId = testIds.get(take.testId) ?? take.testId;
    return place(take.id, takes, (id) => ({ take: { ...take, testId, id }, trace })).add ?? [];
  });

  const plugs = new Map(existing.plugs.map((one) => [one.plug.id, one]));
  const addPlugs = incoming.plugs.flatMap(({ plug, photo }) => {
    const engineId = engineIds.get(plug.engineId) ?? plug.engineId;
    return place(plug.id, plugs, (id) => ({ plug: { ...plug, engineId, id }, photo })).add ?? [];
  });

  return { add: { engines: addEngines, tests: addTests, takes: addTakes, plugs: addPlugs }, alreadyThere };
}

/** The `n`th candidate for the id of an imported record, from 1: `id` itself, then `id-2` and so on. */
export const idAt = (id: string, n: number): string => (n === 1 ? id : `${id.slice(0, 58)}-${n}`);

/** Whether two values are deeply equal; a missing field equals one that is `undefined`. */
function same(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (isNumbers(a) || isNumbers(b)) {
    return (
      isNumbers(a) && isNumbers(b) && a.length === b.length && a.every((value, i) => Object.is(value, b[i]))
    );
  }
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  return (
    Array.isArray(a) === Array.isArray(b) &&
    [...keys].every((key) => same(Reflect.get(a, key) as unknown, Reflect.get(b, key) as unknown))
  );
}

const isNumbers = (value: object): value is Float64Array | Uint8Array =>
  value instanceof Float64Array || value instanceof Uint8Array;
