/** Python with SciPy, for checks against it: `apt-get install python3-scipy` on Debian. */
import { spawnSync } from 'node:child_process';

/** Debian's package belongs to the system's own interpreter, which need not be the first on the path. */
const CANDIDATES = ['python3', '/usr/bin/python3'];

export interface Scipy {
  readonly program: string;
  readonly version: string;
}

/** The first interpreter that can import SciPy; `undefined` when there is none. */
export function findScipy(): Scipy | undefined {
  for (const program of CANDIDATES) {
    const asked = spawnSync(program, ['-c', 'import scipy; print(scipy.__version__)'], {
      encoding: 'utf8',
    });
    if (asked.status === 0) return { program, version: asked.stdout.trim() };
  }
  return undefined;
}
