import type { Judgement } from '../../../worker/core/judgement.ts';
import { Fold } from '../../components/fold.tsx';
import { useReader } from '../../components/model.ts';
import type { ReadTake } from '../../library/library.ts';
import { FiguresTable } from './figures-table.tsx';

/** Whether the user could state the class of a sensor or dial gauge behind these readings. */
const isSensorUnknown = (takes: readonly ReadTake[]): boolean =>
  takes.some(
    ({ take: { source } }) => source.accuracy === undefined && ['bluetooth', 'typed'].includes(source.kind),
  );

/** Every figure of every reading; highest and lowest in its line. */
export function FiguresFold({ takes, judgement }: { takes: readonly ReadTake[]; judgement: Judgement }) {
  const { t, say, figure } = useReader();
  const { highestKpa, lowestKpa, spreadKpa, lowToHighRatio } = judgement;
  const isCompared = spreadKpa !== null && lowestKpa !== null;
  return (
    <Fold
      id="figures"
      title={t.results.table}
      line={
        isCompared
          ? say(t.results.tableLine, { low: figure(lowestKpa), highKpa: highestKpa, ratio: lowToHighRatio })
          : undefined
      }
    >
      <div class="stack">
        {isCompared && (
          <p>{say(t.results.summary, { highestKpa, lowestKpa, spreadKpa, ratio: lowToHighRatio })}</p>
        )}
        {isSensorUnknown(takes) && (
          <p>
            <a href="sensor">{t.accuracy.state}</a>
          </p>
        )}
        <FiguresTable takes={takes} judgement={judgement} />
      </div>
    </Fold>
  );
}
