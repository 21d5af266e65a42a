/** Draws reliability diagrams of the family, one panel for each cause and group. */
import { figureGrid, type Panel } from '../judgement-plot.ts';
import { type JudgedEngine, reliability } from '../judgement-score.ts';
import { type OfTest, rowsOf } from './family-table.ts';

interface Row extends OfTest {
  readonly one: JudgedEngine;
}

const CAUSES = ['ring-wear', 'valve-leak', 'head-gasket', 'carbon', 'all-low'];
const DRAWN = [
  'spark, four-stroke',
  'diesels',
  'two-strokes',
  'single cylinder',
  'open hose',
  'check-valve hose',
  'with a card',
  'without a card',
  'closes late',
  'closes as usual',
];
/** Fewer bins than for one cause or group of all: they hold fewer suspects. */
const BINS = 5;

const ofCause = ({ one }: Row, cause: string): JudgedEngine => ({
  ...one,
  judgement: {
    ...one.judgement,
    suspects: one.judgement.suspects.filter((suspect) => suspect.cause === cause),
  },
});

/** `note` is plain text without markup. */
export function reliabilityByGroup(rows: readonly Row[], note: string): string {
  const panels: Panel[] = [
    ...CAUSES.map((cause) => ({
      title: cause,
      rows: reliability(
        rows.map((row) => ofCause(row, cause)),
        BINS,
      ),
    })),
    ...DRAWN.map((group) => ({
      title: group,
      rows: reliability(
        rowsOf(rows, group).map(({ one }) => one),
        BINS,
      ),
    })),
  ];
  return figureGrid(panels, 'Does the stated confidence come true, by cause and by group?', note);
}
