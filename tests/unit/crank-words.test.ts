import { expect, test } from 'vitest';
import type { Connection } from '../../src/capture/port.ts';
import { readerFor } from '../../src/components/reader.ts';
import { connectionWords } from '../../src/screens/crank/crank-words.ts';

const reader = readerFor('psi', 'en');
const streaming = (samplesPerS: number, batteryPercent?: number): Connection => ({
  state: 'streaming',
  kind: 'bluetooth',
  info: { kind: 'bluetooth', name: 'Transducer' },
  samplesPerS,
  batteryPercent,
});

test('a sensor that has only just begun is not said to send nothing', () => {
  expect(connectionWords(streaming(0), reader)).toBe('Transducer');
  expect(connectionWords(streaming(0, 81), reader)).toBe('Transducer, battery 81\u202f%');
  expect(connectionWords(streaming(401.3, 81), reader)).toMatch(
    /^Transducer: 400 samples a second, battery 81/,
  );
});
