import { CAMERA_NAME, type DialCamera, type DialListener } from '../../src/sources/camera/dial-camera.ts';
import { SourceProblem, type SourceProblemCode } from '../../src/sources/port.ts';
import type { DialReading } from '../../worker/dial/read-dial.ts';
import type { DialFacts } from '../../worker/file/records.ts';

export const DIAL: DialFacts = { unit: 'psi', fullScale: 300, division: 5, classPercent: 2.5 };

/** A camera whose readings the test gives. */
export class FakeDialCamera implements DialCamera {
  readonly name = CAMERA_NAME;
  isClosed = false;
  isPlaying = false;
  /** Each attempt to reopen takes the first of them; `null` succeeds. */
  reopenings: (SourceProblemCode | null)[] = [];
  #listener: DialListener | null = null;

  constructor(readonly from: DialCamera['from'] = 'camera') {}

  freeze = () => Promise.reject(new Error('Not for this test.'));
  fit = () => Promise.reject(new Error('Not for this test.'));
  listen(listener: DialListener): () => void {
    this.#listener = listener;
    return () => {
      if (this.#listener === listener) this.#listener = null;
    };
  }
  play(): void {
    this.isPlaying = true;
  }
  async reopen(): Promise<void> {
    const code = this.reopenings.shift();
    if (code) throw new SourceProblem(code, 'As the test says.');
  }
  close(): void {
    this.isClosed = true;
  }

  /** `value` in the dial's unit, or the state of a frame without one. */
  show(timeS: number, value: number | Exclude<DialReading['state'], 'ok'>): void {
    this.#listener?.reading(
      typeof value === 'number' ? { timeS, state: 'ok', value } : { timeS, state: value, value: null },
    );
  }
  end(): void {
    this.#listener?.ended();
  }
}
