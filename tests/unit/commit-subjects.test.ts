/** Commit subjects fit into a line of `git log`. */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { root } from '../../build/install.mjs';

const MOST_CHARACTERS = 72;
/** Older ones may be longer. */
const COMMITS = 50;

const hasHistory = existsSync(join(root, '.git'));

it.skipIf(!hasHistory)(`the last ${COMMITS} have at most ${MOST_CHARACTERS} characters`, () => {
  const { status, stdout } = spawnSync('git', ['log', `-${COMMITS}`, '--no-merges', '--format=%s'], {
    cwd: root,
    encoding: 'utf8',
  });
  expect(status).toBe(0);
  const subjects = stdout.trimEnd().split('\n');
  expect(subjects.filter((subject) => [...subject].length > MOST_CHARACTERS)).toEqual([]);
});
