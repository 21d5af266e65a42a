import { type FileProblem, refused } from '../csv/trace-file.ts';

/** Converts the content of one version to the next. The input has not been validated. */
export type Upgrader = (raw: Readonly<Record<string, unknown>>) => Record<string, unknown>;

/** Upgraders in order; index n - 1 converts version n to n + 1. The changes are listed in `worker/file/README.md`. */
const UPGRADERS: readonly Upgrader[] = [
  (raw) => ({ ...raw, plugs: [] }),
  // Takes without an order are ordered by their time of capture.
  (raw) => ({ ...raw }),
  // Tests without a day of their own are of the day of their record.
  (raw) => ({ ...raw }),
  // Nothing is known of customer, registration or job of older engines and tests.
  (raw) => ({ ...raw }),
  // No older engine is a rotary one; releases and how ratios are counted are not known.
  (raw) => ({ ...raw }),
  // Nothing is known of the accuracy of older sensors, and none is on a cable.
  (raw) => ({ ...raw }),
];

/**
 * Upgrades a file to `version`, one step at a time. A newer file is refused as `newer-version`; one without a usable
 * version, or that an upgrader cannot handle, as `not-ours`. Never throws.
 */
export function upgradeSession(
  raw: object,
  version: number,
  upgraders: readonly Upgrader[] = UPGRADERS,
): { readonly ok: true; readonly raw: object } | { readonly ok: false; readonly problem: FileProblem } {
  const found: unknown = 'version' in raw ? raw.version : undefined;
  if (typeof found !== 'number' || !Number.isInteger(found) || found < 1) {
    return refused('not-ours', 'The file does not say which version it is.');
  }
  if (found > version) {
    return refused(
      'newer-version',
      `The file is of version ${found}, and this is an app for versions up to ${version}; bring the app up to date, the file is fine.`,
    );
  }
  let current: Record<string, unknown> = { ...raw };
  try {
    for (let step = found; step < version; step++) current = upgraders[step - 1]!(current);
  } catch {
    return refused(
      'not-ours',
      `The file says that it is of version ${found}, but it does not hold what that version holds.`,
    );
  }
  return { ok: true, raw: current };
}
