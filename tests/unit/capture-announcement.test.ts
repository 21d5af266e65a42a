/** The line in the live region stays as long as it is true, and no longer. */
import { beforeEach, describe, expect, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { captureWorld, crankTrace, dryPlan, RATE_HZ } from '../support/capture-world.ts';
import { settle } from '../support/test-store.ts';

type World = Awaited<ReturnType<typeof captureWorld>>;
let world: World;
const line = () => world.capture.announcement.value?.kind ?? null;

beforeEach(async () => {
  world = await captureWorld();
  await world.begin(dryPlan(1, 2, 3));
  await world.connect();
  await world.arm();
  await world.rest(3);
});

/** Events from waiting to a stored take, with the hose not yet moved. */
async function measure(): Promise<void> {
  await world.play(crankTrace(1));
  while (world.capture.state.value.phase !== 'moving') await world.rest(0.1);
}

describe('the last announcement', () => {
  it('is present at first, so that the tests below can see it removed', async () => {
    expect(line()).toBe('waiting');
    await measure();
    expect(line()).toBe('stored');
  });

  it.each<[string, (capture: World['capture']) => void]>([
    ['take again', (capture) => capture.retake()],
    ['another cylinder', (capture) => capture.choose({ cylinder: 3, condition: 'dry' })],
    ['wet', (capture) => capture.setCondition('wet')],
    ['skip', (capture) => capture.skip()],
    ['undo', (capture) => capture.undo()],
    ['stop', (capture) => capture.stop()],
    ['go on', (capture) => capture.goOn()],
    [
      'another test',
      (capture) => capture.begin(capture.session.value!.engine, capture.session.value!.test, dryPlan(1)),
    ],
  ])('is removed after %s', async (_, ask) => {
    await measure();
    ask(world.capture);
    await settle();
    expect(line()).toBeNull();
  });

  it('says that cranking may stop while level pressure leaves open whether the starter turns', async () => {
    await world.play(crankTrace(1));
    while (world.capture.state.value.phase !== 'holding') await world.rest(0.1);
    expect(line()).toBe('settled');
    while (world.capture.state.value.phase === 'holding') await world.rest(0.1);
    expect(line()).not.toBe('settled');
  });

  it('does not say that cranking may stop once it has ended', async () => {
    const engine = makeEngine({ layout: presetLayout('inline', 4) });
    const sensor = { rateHz: RATE_HZ };
    const { trace } = simulateTrace({ engine, cylinder: 1, rig: OPEN_RIG, strokes: 8, sensor });
    await world.play(trace);
    while (world.capture.state.value.phase !== 'holding') await world.rest(0.1);
    expect(line()).toBeNull();
  });

  it('does not ask for cranking once disarmed', async () => {
    world.capture.stop();
    expect(line()).toBeNull();
  });

  it('stays when nothing has changed', async () => {
    world.capture.choose({ cylinder: 1, condition: 'dry' });
    await world.rest(1);
    expect(line()).toBe('waiting');
  });

  it('reports the lost link until the link is back', async () => {
    world.source.sink.status({ state: 'reconnecting', attempt: 1 });
    expect(line()).toBe('link-lost');
    world.capture.skip();
    expect(line()).toBe('link-lost');
    world.source.sink.status({ state: 'streaming', samplesPerS: 200 });
    expect(line()).toBeNull();
  });
});
