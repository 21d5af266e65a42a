/** Every layout that the app can hear, through the browser's own Bluetooth, against the command line. */
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { analyseOnCommandLine } from '../support/command-line.ts';
import { indexOfRun, packetsOf, play, pressuresIn } from '../support/play.ts';
import { BATTERY_PERCENT, TRANSDUCER_KINDS } from '../support/transducer.ts';
import { openWorkshop, type Workshop } from '../support/workshop.ts';

const engine = makeEngine({ layout: presetLayout('inline', 1) });
/** Rest for the zero and to take hold of the key, seven strokes, and rest to see that the hose holds. */
const CRANKING = { engine, cylinder: 1, strokes: 7, restBeforeS: 2.5, restAfterS: 3.5 } as const;

let workshop: Workshop;
beforeAll(async () => {
  workshop = await openWorkshop(inject('appUrl'));
});
afterAll(() => workshop?.close());

describe('a transducer reads in the app as it does on the command line', () => {
  // All at once: they take the time that cranking takes, and each has a page and storage of its own.
  it.concurrent.each(TRANSDUCER_KINDS)('%s', async (kind) => {
    const { app, page, peripheral, transducer } = await workshop.bench(kind);
    await app.chooseUnit('kPa');
    await app.beginTest({ name: kind, cylinders: 1 });
    await app.connectSensor();
    await peripheral.untilSubscribed(transducer.outlet);
    await app.arm();
    const { sent, unheard } = await play(peripheral, transducer.outlet, packetsOf(transducer, CRANKING)).done;
    expect(unheard).toHaveLength(0);
    await app.phase(en.phase.done).waitFor({ timeout: 10_000 });
    expect(await app.sensorLine.textContent()).toContain(`${BATTERY_PERCENT}`);
    const shownKpa = await app.figureNow();
    const counted = await app.strokesCounted();
    // A tight check valve shows nothing of the last strokes, which no longer raise its level.
    expect(counted).toBeGreaterThanOrEqual(4);

    const [recording, ...others] = await app.downloadTraces();
    expect(others).toHaveLength(0);
    // What was stored is what was sent, without a hole.
    const heard = pressuresIn(sent, transducer.layout);
    const stored = [...recording!.trace.pressureKpa];
    expect(stored.length).toBeGreaterThan(0.6 * heard.length);
    expect(indexOfRun(heard, stored)).toBeGreaterThanOrEqual(0);
    // Without a clock of its own, what a busy machine sends late looks like a silence of the sensor.
    if (kind === 'packed') expect(recording!.trace.gaps).toEqual([]);

    const { readings } = await analyseOnCommandLine([recording!]);
    const finalKpa = readings[0]!.finalKpa!;
    expect(readings[0]!.strokes).toHaveLength(counted);
    expect(Math.abs(shownKpa / finalKpa - 1)).toBeLessThan(0.001);
    await page.close();
  });
});
