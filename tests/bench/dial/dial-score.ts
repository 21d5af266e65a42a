/** Reads one rendered clip and compares the readings with the truth. */
import { renderClip } from '../../../simulator/dial/clip.ts';
import type { DialBuild } from '../../../simulator/dial/dial-build.ts';
import { type Light, randomDialTake } from '../../../simulator/dial/random-scene.ts';
import { createRandom } from '../../../simulator/random.ts';
import { createDialReader, type DialReader, type DialReading } from '../../../worker/dial/read-dial.ts';
import { type SetUpProblem, setUpDial } from '../../../worker/dial/set-up.ts';
import { readStaircase } from '../../../worker/dial/staircase.ts';
import { tapDial } from '../../support/dial-marks.ts';

/** Standard deviation of a tap, pixels. */
const TAP_SD_PX = 2;
/** A reading this far off, share of full scale, while its state is `ok`, is silently wrong. */
const SILENT = 0.02;

/** Score of one clip. Errors are shares of full scale. */
export interface DialScore {
  readonly seed: number;
  readonly frameHz: number;
  readonly refusedSetUp: SetUpProblem | null;
  readonly frames: number;
  readonly refused: number;
  readonly errors: readonly number[];
  readonly silent: number;
  readonly frameMs: readonly number[];
  /** Rises seen, and those that must and may be seen: clear ones, and those near the limit. */
  readonly rises: number;
  readonly clearRises: number;
  readonly possibleRises: number;
  readonly isDoubtful: boolean;
  /** Errors of the levels, shares of full scale. */
  readonly levelErrors: readonly number[];
}

/** A rise above this share of full scale must be seen; one above the other may be. */
const CLEAR_RISE = 0.009;
const POSSIBLE_RISE = 0.004;

export function scoreDial(seed: number, light: Light, build: DialBuild = 'usual'): DialScore {
  const { scene, pressure, endS, levels } = randomDialTake(seed, light, build);
  const { fullScale } = scene.face;
  const marks = tapDial(scene, createRandom(seed).fork(5), TAP_SD_PX);
  let reader: DialReader | null = null;
  let refusedSetUp: SetUpProblem | null = null;
  const readings: DialReading[] = [];
  const errors: number[] = [];
  const frameMs: number[] = [];
  for (const frame of renderClip(scene, pressure, endS)) {
    if (reader === null) {
      const setUp = setUpDial(frame, marks);
      if (!setUp.ok) {
        refusedSetUp = setUp.problem;
        break;
      }
      reader = createDialReader(setUp.setUp);
    }
    // Time of the processor, which other programs on the machine do not change.
    const started = process.cpuUsage();
    const reading = reader.read(frame, frame.timeS);
    const { user, system } = process.cpuUsage(started);
    frameMs.push((user + system) / 1000);
    readings.push(reading);
    if (reading.value !== null) errors.push(Math.abs(reading.value - frame.needle) / fullScale);
  }
  const staircase = readStaircase(readings, fullScale);
  const steps = levels.map((level, i) => (level - (levels[i - 1] ?? 0)) / fullScale);
  const { rises, doubts } = staircase;
  return {
    seed,
    frameHz: scene.frameHz,
    refusedSetUp,
    frames: readings.length,
    refused: readings.length - errors.length,
    errors,
    silent: errors.filter((error) => error > SILENT).length,
    frameMs,
    rises: rises.length,
    clearRises: steps.filter((step) => step > CLEAR_RISE).length,
    possibleRises: steps.filter((step) => step > POSSIBLE_RISE).length,
    isDoubtful: doubts.length > 0,
    // The pressure just before the next rise, or at the end.
    levelErrors: rises.map(
      ({ level }, i) => Math.abs(level - pressure((rises[i + 1]?.timeS ?? endS) - 0.09)) / fullScale,
    ),
  };
}
