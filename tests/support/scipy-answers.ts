/**
 * Answers of a script in `tests/published/scipy`: by SciPy itself where it is installed, and the frozen ones beside the
 * script. Both are returned, so that a change in SciPy's answers is noticed.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { findScipy } from './scipy.ts';

const FOLDER = fileURLToPath(new URL('../published/scipy', import.meta.url));

export interface Answers<T> {
  readonly frozen: T;
  /** `undefined` without SciPy. */
  readonly live: T | undefined;
}

/** Runs `script`.py on the files where SciPy is installed. */
export function scipyAnswers<T>(script: string, files: readonly string[] = []): Answers<T> {
  const frozen = JSON.parse(readFileSync(`${FOLDER}/${script}.json`, 'utf8')) as T;
  const scipy = findScipy();
  if (!scipy) return { frozen, live: undefined };
  const said = execFileSync(scipy.program, [`${script}.py`, ...files], { cwd: FOLDER, encoding: 'utf8' });
  return { frozen, live: JSON.parse(said) as T };
}

/** Text of a file in `tests/published/scipy`. */
export const scipyFile = (name: string): string => readFileSync(`${FOLDER}/${name}`, 'utf8');
