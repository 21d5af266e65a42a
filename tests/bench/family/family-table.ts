/** Figures by model and by group of the family: as text, and as a table in a README. */
import { MODEL_NAMES } from '../../../simulator/family/models.ts';
import { cylindersOf } from '../../../worker/core/layouts.ts';
import { writeTable } from '../write-table.ts';
import type { FamilyTest } from './family-test.ts';

/** A row of a table belongs to one test. */
export interface OfTest {
  readonly test: Omit<FamilyTest, 'captures'>;
}
type Group = readonly [name: string, of: (test: OfTest['test']) => boolean];
/** Heading of a column, and its figure for the rows of one group. */
export type Column<T> = readonly [head: string, figure: (rows: readonly T[]) => string];

const isSingle = ({ engine }: OfTest['test']): boolean => cylindersOf(engine.layout).length === 1;

export const ALL = 'all';

/** All, every model, then the groups that readers ask for. */
const GROUPS: readonly Group[] = [
  [ALL, () => true],
  ...MODEL_NAMES.map((name): Group => [name, ({ model }) => model === name]),
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

/** Rows of the group of this name. */
export function rowsOf<T extends OfTest>(rows: readonly T[], group: string): T[] {
  const [, of] = GROUPS.find(([name]) => name === group)!;
  return rows.filter(({ test }) => of(test));
}

/** One row of text for each group; a group without tests is left out. */
function cellsOf<T extends OfTest>(rows: readonly T[], columns: readonly Column<T>[]): string[][] {
  return GROUPS.flatMap(([name]) => {
    const some = rowsOf(rows, name);
    return some.length === 0 ? [] : [[name, ...columns.map(([, figure]) => figure(some))]];
  });
}

/** Prints the table. */
export function printFamily<T extends OfTest>(
  title: string,
  rows: readonly T[],
  columns: readonly Column<T>[],
): void {
  console.log(title);
  const cells = [['', ...columns.map(([head]) => head)], ...cellsOf(rows, columns)];
  const widths = cells[0]!.map((_, i) => Math.max(...cells.map((row) => row[i]!.length)));
  for (const row of cells) {
    console.log(
      row.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]! + 2))).join(''),
    );
  }
}

/** Writes the table between the marks `name` of `file`. */
export function writeFamily<T extends OfTest>(
  file: string,
  name: string,
  command: string,
  rows: readonly T[],
  columns: readonly Column<T>[],
): void {
  writeTable(
    file,
    name,
    command,
    ['model or group', ...columns.map(([head]) => head)],
    cellsOf(rows, columns),
  );
}
