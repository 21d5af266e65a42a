import type { PressureUnit } from '../core/units.ts';
import { createDialReader, type DialReader } from '../dial/read-dial.ts';
import { type DialMarks, setUpDial } from '../dial/set-up.ts';
import { TRACE_HEAD, traceRow } from '../dial/trace-rows.ts';
import { createY4mStream } from '../dial/y4m-stream.ts';
import { UnusableInput } from '../file/unusable-input.ts';
import { SET_UP_ADVICE } from './dial-marks.ts';

/**
 * Lines of the trace CSV of a clip, in step with its chunks. Throws `UnusableInput` when the clip or the set-up on its
 * first frame cannot be used.
 */
export async function* readClip(
  chunks: AsyncIterable<Uint8Array>,
  clip: string,
  marks: DialMarks,
  unit: PressureUnit,
): AsyncGenerator<string> {
  const stream = createY4mStream();
  let reader: DialReader | null = null;
  let count = 0;
  for await (const chunk of chunks) {
    const outcome = stream.push(chunk);
    if (!outcome.ok) throw new UnusableInput(`${clip}: ${outcome.detail}`);
    for (const picture of outcome.frames) {
      if (reader === null) {
        const setUp = setUpDial(picture, marks);
        if (!setUp.ok) throw new UnusableInput(`${clip}: ${setUp.problem}: ${SET_UP_ADVICE[setUp.problem]}`);
        reader = createDialReader(setUp.setUp);
        yield TRACE_HEAD;
      }
      yield traceRow(reader.read(picture, count / outcome.head!.frameHz), unit);
      count++;
    }
  }
  if (count === 0) throw new UnusableInput(`${clip}: there is no whole frame in it`);
  if (!stream.isWhole)
    throw new UnusableInput(`${clip}: it ends inside frame ${count + 1}; the rows before it are good`);
}
