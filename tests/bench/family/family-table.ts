/** Prints figures by model and by group of the family. */
import { MODEL_NAMES } from '../../../simulator/family/models.ts';
import { cylindersOf } from '../../../worker/core/layouts.ts';
import type { FamilyTest } from './family-test.ts';

type Group<T> = readonly [name: string, of: (test: T) => boolean];

const isSingle = ({ engine }: FamilyTest): boolean => cylindersOf(engine.layout).length === 1;

/** All, every model, then the groups that readers ask for. */
export const GROUPS: readonly Group<FamilyTest>[] = [
  ['all', () => true],
  ...MODEL_NAMES.map((name): Group<FamilyTest> => [name, ({ model }) => model === name]),
  ['spark, four-stroke', ({ engine }) => engine.fuel === 'spark' && engine.cycle === 4],
  ['diesels', ({ engine }) => engine.fuel === 'diesel'],
  ['two-strokes', ({ engine }) => engine.cycle === 2],
  ['single cylinder', isSingle],
  ['several cylinders', (test) => !isSingle(test)],
  ['open hose', ({ hose }) => hose === 'open'],
  ['check-valve hose', ({ hose }) => hose === 'check-valve'],
  ['with a card', ({ hasCard }) => hasCard],
  ['without a card', ({ hasCard }) => !hasCard],
  ['closes late', ({ closesLate }) => closesLate],
  ['closes as usual', ({ closesLate }) => !closesLate],
];

/** Share and count as text. */
export const shareOf = (hits: readonly boolean[]): string =>
  hits.length === 0
    ? '-'
    : `${((100 * hits.filter(Boolean).length) / hits.length).toFixed(1)} % of ${hits.length}`;

/** Prints one row for each group with the figures of its tests; a group without tests is left out. */
export function printFamily<T extends { readonly test: FamilyTest }>(
  title: string,
  rows: readonly T[],
  columns: readonly (readonly [head: string, figure: (rows: readonly T[]) => string])[],
): void {
  console.log(title);
  const cells = [
    ['', ...columns.map(([head]) => head)],
    ...GROUPS.flatMap(([name, of]) => {
      const some = rows.filter(({ test }) => of(test));
      return some.length === 0 ? [] : [[name, ...columns.map(([, figure]) => figure(some))]];
    }),
  ];
  const widths = cells[0]!.map((_, i) => Math.max(...cells.map((row) => row[i]!.length)));
  for (const row of cells) {
    console.log(
      row.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]! + 2))).join(''),
    );
  }
}
