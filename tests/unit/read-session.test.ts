/** A file chosen for checking against a report is not read in full before it is known to be a session file. */
import { describe, expect, test } from 'vitest';
import { MOST_BYTES, readSession } from '../../src/screens/export/parse-session-file.ts';

/** A file of this size that reports how much of it was read. */
function fileOf(size: number, start: string) {
  let readBytes = 0;
  const text = async () => {
    if (size > 0) throw new Error('It was read whole.');
    return '';
  };
  const file = {
    text,
    name: 'chosen.bin',
    size,
    slice: (from: number, to: number) => ({
      async text() {
        const length = Math.min(to, size) - from;
        readBytes += length;
        return start.padEnd(length, ' ').slice(0, length);
      },
    }),
  };
  return { file: file as unknown as File, readBytes: () => readBytes };
}

describe('a file chosen by mistake', () => {
  test('that is huge is refused unread', async () => {
    const { file, readBytes } = fileOf(3e9, '{"format":"strokebook-session"');
    expect(await readSession(file)).toMatchObject({ ok: false, problem: { code: 'too-large' } });
    expect(readBytes()).toBe(0);
  });

  test('that does not begin like a session file is refused at its start', async () => {
    for (const start of ['\u00ff\u00d8\u00ff\u00e0JFIF', 'time_s,pressure_kpa\n0,1', '[1,2,3]']) {
      const { file, readBytes } = fileOf(MOST_BYTES, start);
      expect(await readSession(file)).toMatchObject({ ok: false, problem: { code: 'not-ours' } });
      expect(readBytes()).toBeLessThan(10_000);
    }
  });

  test('that is empty is reported as empty', async () => {
    expect(await readSession(fileOf(0, '').file)).toMatchObject({ ok: false, problem: { code: 'empty' } });
  });

  test('a session file with a byte order mark and spaces before it is read', async () => {
    const text = '\ufeff\n  {"format":"strokebook-session","version":99}';
    const read = await readSession(new File([text], 'newer.strokebook.json'));
    expect(read).toMatchObject({ ok: false, problem: { code: 'newer-version' } });
  });
});

test('a file that the browser cannot read is refused without waiting', async () => {
  const slice = () => ({ text: () => Promise.reject(new DOMException('Gone.', 'NotReadableError')) });
  const file = { name: 'gone.strokebook.json', size: 900, slice } as unknown as File;
  expect(await readSession(file)).toMatchObject({ ok: false, fileName: 'gone.strokebook.json' });
});
