import { expect, test } from 'vitest';
import type { CaptureState } from '../../src/capture/capture-state.ts';
import { IDLE } from '../../src/capture/capture-state.ts';
import type { Connection } from '../../src/capture/connection-state.ts';
import { readerFor } from '../../src/components/reader.ts';
import { connectionWords, phaseWords } from '../../src/screens/crank/crank-words.ts';

const reader = readerFor('psi', 'en');
const streaming = (samplesPerS: number, batteryPercent?: number): Connection => ({
  state: 'streaming',
  kind: 'bluetooth',
  info: { kind: 'bluetooth', name: 'Transducer' },
  samplesPerS,
  batteryPercent,
});

test('a sensor that has just started is not reported as silent', () => {
  expect(connectionWords(streaming(0), reader)).toBe('Transducer');
  expect(connectionWords(streaming(0, 81), reader)).toBe('Transducer, battery 81\u202f%');
  expect(connectionWords(streaming(401.3, 81), reader)).toMatch(
    /^Transducer: 400 samples a second, battery 81/,
  );
});

test('after an undo or for a retake the hose stays where it is', () => {
  const moving: CaptureState = {
    ...IDLE,
    phase: 'moving',
    sinceS: 0,
    plan: [{ cylinder: 3, condition: 'dry' }],
  };
  const words = (hoseIn: number | null) => phaseWords(moving, null, streaming(400), reader, { hoseIn });
  expect(words(3)).toBe('Leave the hose in cylinder 3 and release its pressure.');
  expect(words(2)).toBe('Move the hose to cylinder 3. Release its pressure first.');
  expect(words(null)).toBe(words(2));
});

test('a cylinder already measured is not announced as next', () => {
  const idle: CaptureState = { ...IDLE, phase: 'idle', plan: [{ cylinder: 1, condition: 'dry' }] };
  const words = (isMeasured: boolean) => phaseWords(idle, null, { state: 'none' }, reader, { isMeasured });
  expect(words(false)).toMatch(/^Next is cylinder 1\. /);
  expect(words(true)).toMatch(/^Cylinder 1 is measured\. To measure it again/);
});

test('no strokes are announced as counted while the analysis has failed', () => {
  const plan = [{ cylinder: 2, condition: 'dry' as const }];
  const analysed = { ...IDLE, plan, sinceS: 0, fromS: 0, fromKpa: null };
  const words = (state: CaptureState) => phaseWords(state, null, streaming(400), reader, { isUnseen: true });
  const waiting = words({ ...analysed, phase: 'waiting', lowS: null });
  expect(waiting).toMatch(/Record anyway.* cylinder 2/);
  expect(words({ ...analysed, phase: 'zeroing', notAtRest: false })).toBe(waiting);
  expect(words({ ...analysed, phase: 'cranking', takeId: 'k', settled: false })).toMatch(
    /^Recording cylinder 2\. Strokes are not counted/,
  );
});

test('a camera says why it reads nothing', () => {
  const info = { kind: 'camera', name: 'Camera' } as const;
  const silent = (reason?: 'glare' | 'needle-hidden' | 'silence'): Connection => ({
    state: 'silent',
    kind: 'camera',
    info,
    forS: 4.2,
    reason,
  });
  expect(connectionWords(silent('glare'), reader)).toMatch(/^Light on the glass .* 4 s/);
  expect(connectionWords(silent('needle-hidden'), reader)).toMatch(/not seen the needle for 4 s/);
  expect(connectionWords(silent('silence'), reader)).toMatch(/^No picture for 4 s/);
  expect(connectionWords(silent(), reader)).toMatch(/^No picture for 4 s/);
});
