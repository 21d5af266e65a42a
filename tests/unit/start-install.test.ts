/** `npm start`: its installation, and the address that it prints. */
import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { addressLines } from '../../build/address-lines.mjs';
import { root } from '../../build/install.mjs';

const lockOf = (folder: string) => join(folder, 'package-lock.json');
const noteOf = (folder: string) => join(folder, 'node_modules/.package-lock.json');

describe.skipIf(process.platform === 'win32')('the packages', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'strokebook-install-'));
    mkdirSync(join(folder, 'build'), { recursive: true });
    mkdirSync(join(folder, 'node_modules'));
    copyFileSync(join(root, 'build/install.mjs'), join(folder, 'build/install.mjs'));
    writeFileSync(lockOf(folder), '{}');
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  /** Runs it with a fake `npm` that only records its arguments. */
  function install(status = 0) {
    const npm = join(folder, 'npm');
    const asked = join(folder, 'asked');
    writeFileSync(npm, `#!/bin/sh\necho "$1" >> ${asked}\nexit ${status}\n`);
    chmodSync(npm, 0o755);
    const run = spawnSync(
      process.execPath,
      ['-e', "import('./build/install.mjs').then((m) => m.installPackages())"],
      {
        cwd: folder,
        env: { PATH: `${folder}:${dirname(process.execPath)}:/bin:/usr/bin` },
        encoding: 'utf8',
      },
    );
    const commands = existsSync(asked) ? readFileSync(asked, 'utf8').trim().split('\n') : [];
    return { status: run.status, stderr: run.stderr, commands };
  }

  it('are those of the lock file on a fresh clone', () => {
    expect(install()).toMatchObject({ status: 0, commands: ['ci'] });
  });

  it('are those of the lock file after that has changed', () => {
    writeFileSync(noteOf(folder), '{}');
    utimesSync(noteOf(folder), 1000, 1000);
    expect(install()).toMatchObject({ status: 0, commands: ['ci'] });
  });

  it('are left alone while they are current', () => {
    utimesSync(lockOf(folder), 1000, 1000);
    writeFileSync(noteOf(folder), '{}');
    expect(install()).toMatchObject({ status: 0, commands: [] });
  });

  it('end the command with a next step when they cannot be installed', () => {
    const { status, stderr } = install(1);
    expect(status).toBe(1);
    expect(stderr).toContain('Look at the network connection');
  });
});

describe('install scripts', () => {
  it('are not run', () => {
    expect(readFileSync(join(root, '.npmrc'), 'utf8')).toMatch(/^ignore-scripts=true$/m);
  });

  it('are all known, and their packages work without', () => {
    const { packages } = JSON.parse(readFileSync(lockOf(root), 'utf8')) as {
      packages: Record<string, { hasInstallScript?: boolean }>;
    };
    const withScript = Object.keys(packages).filter((path) => packages[path]!.hasInstallScript);
    // esbuild's binary is a package of its own; fsevents comes built; the D-Bus library works without usocket;
    // classic-level brings its binaries in the package.
    const known = ['esbuild', 'fsevents', 'usocket', 'classic-level'];
    expect(withScript.filter((path) => !known.includes(path.replace(/^.*node_modules\//, '')))).toEqual([]);
  });

  it('are not used by this project, where npm would skip them', () => {
    const { scripts } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as {
      scripts: Record<string, string>;
    };
    const around = Object.keys(scripts).filter((name) =>
      ['pre', 'post'].some((when) => name.startsWith(when) && name.slice(when.length) in scripts),
    );
    expect(around).toEqual([]);
  });
});

describe('the address', () => {
  it('is printed alone on the usual port', () => {
    const lines = addressLines('http://127.0.0.1:4173/', 4173);
    expect(lines).toContain('http://127.0.0.1:4173/');
    expect(lines).not.toContain('library');
  });

  it('on another port is printed with the address of the usual library', () => {
    const lines = addressLines('http://127.0.0.1:4174/', 4173);
    expect(lines).toContain('Strokebook is at http://127.0.0.1:4174/');
    expect(lines).toContain('Port 4173 is taken');
    expect(lines).toContain('the engines you keep at http://127.0.0.1:4173/.');
  });
});
