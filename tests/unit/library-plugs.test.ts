import { expect, it } from 'vitest';
import type { PlugRecord } from '../../worker/file/records.ts';
import { captureWorld, testEngine, testRecord } from '../support/capture-world.ts';
import { plugRecord } from '../support/store-records.ts';
import { settle } from '../support/test-store.ts';

async function worldWithLowThird() {
  const world = await captureWorld();
  for (const [i, finalKpa] of [1200, 1190, 700, 1180].entries()) {
    await world.library.addTyped(testRecord, i + 1, 'dry', { strokesKpa: [], finalKpa });
  }
  const judgement = async () => {
    const resource = world.library.test('test');
    await settle();
    if (resource.value.state !== 'ready') throw new Error(`The test is ${resource.value.state}`);
    return resource.value.value.judgement;
  };
  return { ...world, judgement };
}

const look = (id: string, more: Partial<PlugRecord> = {}): PlugRecord =>
  plugRecord(id, testEngine.id, { cylinder: 3, signs: ['oily'], seenAt: testRecord.startedAt, ...more });

const codes = (judgement: Awaited<ReturnType<Awaited<ReturnType<typeof worldWithLowThird>>['judgement']>>) =>
  judgement.suspects.flatMap(({ evidence }) => evidence.map(({ code }) => code));

it('judges again when plugs are inspected, with the same verdict, and when an inspection is removed', async () => {
  const { library, judgement } = await worldWithLowThird();
  const before = await judgement();
  expect(codes(before)).not.toContain('plug-oily');
  await library.addPlugs([{ plug: look('p1') }]);
  const after = await judgement();
  expect(codes(after)).toContain('plug-oily');
  expect(after.verdict).toBe(before.verdict);
  await library.remove({ plugId: 'p1' });
  expect(codes(await judgement())).not.toContain('plug-oily');
});

it('adds the inspections of all plugs or of none', async () => {
  const { library, store } = await worldWithLowThird();
  await library.addPlugs([{ plug: look('p1') }]);
  await expect(library.addPlugs([{ plug: look('p2') }, { plug: look('p1') }])).rejects.toMatchObject({
    code: 'unexpected',
  });
  expect(await store.plugs(testEngine.id)).toHaveLength(1);
});

it('judges again when the engine card has changed', async () => {
  const { library, judgement } = await worldWithLowThird();
  expect((await judgement()).rule).toBe('percent-of-highest');
  await library.saveEngine({ ...testEngine, facts: { ...testEngine.facts, manual: { spreadKpa: 100 } } });
  expect((await judgement()).rule).toBe('manual');
});
