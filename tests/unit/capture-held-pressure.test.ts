/** A check-valve hose still holds the pressure of the previous cylinder when the next one is armed. */
import { describe, expect, it } from 'vitest';
import { byOrder } from '../../src/library/take-order.ts';
import { armedWorld, type CaptureWorld, crankTrace, RATE_HZ, restTrace } from '../support/capture-world.ts';

const HELD_KPA = 950;

/** Releases the pressure: `HELD_KPA` decays with this time constant. */
function pressureRelease(timeConstantS: number) {
  const rest = restTrace(5 * timeConstantS + 1);
  const pressureKpa = rest.pressureKpa.map(
    (kpa, i) => kpa + HELD_KPA * Math.exp(-i / RATE_HZ / timeConstantS),
  );
  return { ...rest, pressureKpa };
}

/** One cylinder measured, its pressure still in the hose, and a wet retest of it armed. */
async function armedUnderPressure() {
  const world = await armedWorld();
  await world.play(crankTrace());
  await world.play(restTrace(4, HELD_KPA));
  await world.begin([{ cylinder: 1, condition: 'wet' }]);
  await world.play(restTrace(1, HELD_KPA));
  await world.arm();
  return world;
}

const takesOf = async (world: CaptureWorld) =>
  [...(await world.store.takes('test'))].sort(byOrder).map(({ condition, state }) => `${condition} ${state}`);

describe('arming while the hose holds pressure', () => {
  it('is reported at once and for as long as the pressure is held', async () => {
    const world = await armedUnderPressure();
    expect(world.capture.state.value).toMatchObject({ phase: 'zeroing', notAtRest: true });
    await world.play(restTrace(20, HELD_KPA));
    expect(world.capture.state.value).toMatchObject({ phase: 'zeroing', notAtRest: true });
    expect(await takesOf(world)).toEqual(['dry finished']);
  });

  it.each(
    [0.02, 0.08, 0.3, 1, 3].flatMap((tauS) => [0, 0.2, 0.5, 0.9, 1.6].map((waitS) => ({ tauS, waitS }))),
  )(
    'does not take the release for cranking: over $tauS s, $waitS s after arming',
    async ({ tauS, waitS }) => {
      const world = await armedUnderPressure();
      const phases = new Set<string>();
      world.capture.state.subscribe(({ phase }) => phases.add(phase));
      await world.play(restTrace(waitS, HELD_KPA));
      await world.play(pressureRelease(tauS));
      await world.rest(3);
      expect([...phases].filter((phase) => phase !== 'zeroing' && phase !== 'waiting')).toEqual([]);
      expect(world.capture.state.value).toMatchObject({ phase: 'waiting' });
      // The following crank is recorded, including the rest before it.
      await world.play(crankTrace());
      await world.rest(5);
      expect(await takesOf(world)).toEqual(['dry finished', 'wet finished']);
      const { reading } = world.capture.result.value!;
      expect(Math.abs(reading.zeroKpa!)).toBeLessThan(2);
      expect(reading.strokes.length).toBeGreaterThanOrEqual(4);
    },
    10_000,
  );
});
