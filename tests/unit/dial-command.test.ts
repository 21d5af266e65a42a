import { describe, expect, test } from 'vitest';
import { FRAME_HEIGHT, FRAME_WIDTH, renderClip } from '../../simulator/dial/clip.ts';
import { createRandom } from '../../simulator/random.ts';
import { parseDialMarks } from '../../worker/cli/dial-marks.ts';
import { parseDialOptions } from '../../worker/cli/dial-options.ts';
import { readClip } from '../../worker/cli/read-clip.ts';
import { parseTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { tapDial } from '../support/dial-marks.ts';
import { PLAIN_SCENE, stepsTo } from '../support/dial-scene.ts';

const latin = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));
const HEAD = latin(`YUV4MPEG2 W${FRAME_WIDTH} H${FRAME_HEIGHT} F30:1 Ip A1:1 C420jpeg\n`);

async function* clipOf(frames: number, cutBytes = 0): AsyncGenerator<Uint8Array> {
  yield HEAD;
  let n = 0;
  for (const { luma, cr } of renderClip(PLAIN_SCENE, stepsTo([60], 0.3), frames / 30)) {
    yield latin('FRAME\n');
    yield luma;
    yield new Uint8Array(cr.length).fill(128);
    yield ++n === frames ? cr.subarray(cutBytes) : cr;
  }
}

const marks = tapDial(PLAIN_SCENE, createRandom(2).fork(5), 1);

async function linesOf(chunks: AsyncIterable<Uint8Array>, given = marks): Promise<string[]> {
  const lines: string[] = [];
  for await (const line of readClip(chunks, 'a.y4m', given, 'psi')) lines.push(line);
  return lines;
}

describe('read-dial', () => {
  test('writes a row a frame with time, pressure in kPa and state', async () => {
    const [head, ...rows] = await linesOf(clipOf(12));
    expect(head).toBe('time_s,pressure_kpa,state\n');
    expect(rows).toHaveLength(12);
    expect(rows[0]).toMatch(/^0\.0000,-?\d+\.\d\d,ok\n$/);
    const last = Number(rows.at(-1)!.split(',')[1]);
    expect(last).toBeGreaterThan(380);
    expect(last).toBeLessThan(450);
    const outcome = parseTraceCsv([head, ...rows].join(''), 'clip.csv');
    expect(outcome.ok && outcome.traces[0]!.trace.timeS.length).toBe(12);
  });

  test('says why a clip cannot be used', async () => {
    async function* empty() {}
    async function* text() {
      yield latin('RIFF not a video at all');
    }
    await expect(linesOf(empty())).rejects.toThrow('a.y4m: there is no whole frame in it');
    await expect(linesOf(text())).rejects.toThrow('not a YUV4MPEG2 file');
    await expect(linesOf(clipOf(2, 9))).rejects.toThrow('ends inside frame 2');
    await expect(linesOf(clipOf(1), { ...marks, division: 4 })).rejects.toThrow('ticks-missing');
  });
});

describe('options of read-dial', () => {
  test('are marks, a unit and one clip', () => {
    expect(parseDialOptions(['--marks', 'm.json', '--unit', 'KGF/CM2', 'a.y4m'])).toEqual({
      kind: 'run',
      options: { marksFile: 'm.json', clip: 'a.y4m', unit: 'kgf/cm2' },
    });
    expect(parseDialOptions(['--marks', 'm.json', 'a.y4m'])).toMatchObject({ options: { unit: 'psi' } });
    expect(parseDialOptions(['--help']).kind).toBe('help');
  });

  test.each([
    [['a.y4m'], '--marks is missing'],
    [['--marks', 'm.json'], 'no clip given'],
    [['--marks', 'm.json', 'a', 'b'], 'one clip at a time'],
    [['--marks', 'm.json', '--unit', 'ohm', 'a'], '--unit ohm is not known'],
    [['--speed', '2', 'a'], '--speed is not an option'],
  ])('%j: %s', (words, message) => {
    const outcome = parseDialOptions(words);
    expect(outcome.kind === 'wrong' ? outcome.message : '').toContain(message);
  });
});

describe('a file of marks', () => {
  const good = { hubPx: [1, 2], fullScale: 300, division: 5, marks: [{ v: 0, x: 3, y: 4 }], other: true };
  test('is read', () => {
    expect(parseDialMarks(JSON.stringify(good), 'm')).toEqual({
      hub: { x: 1, y: 2 },
      fullScale: 300,
      division: 5,
      marks: [{ v: 0, x: 3, y: 4 }],
    });
  });
  test.each([
    ['{', 'not a JSON file'],
    ['7', 'not a JSON object'],
    [JSON.stringify({ ...good, hubPx: [1] }), '"hubPx"'],
    [JSON.stringify({ ...good, division: 0 }), '"division"'],
    [JSON.stringify({ ...good, marks: 3 }), '"marks" must be a list'],
    [JSON.stringify({ ...good, marks: [{ v: 1, x: 'a', y: 2 }] }), 'marks[0]'],
  ])('%s: %s', (text, message) => {
    expect(() => parseDialMarks(text, 'm.json')).toThrow(message);
  });
});
