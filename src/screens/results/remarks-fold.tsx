import { Fold } from '../../components/fold.tsx';
import { useReader } from '../../components/model.ts';
import { Remarks } from '../../components/remarks.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { isAfterSetBack } from '../../library/take-order.ts';
import { countingTakes } from '../compression-test/plan-cells.ts';
import { readerOf } from '../compression-test/verdict-words.ts';
import { gatherRemarks } from './gather-remarks.ts';

/** Notices of the measurement; equal ones of several readings are merged. */
export function RemarksFold({ loaded }: { loaded: LoadedTest }) {
  const reader = readerOf(loaded, useReader());
  const takes = countingTakes(loaded);
  const { t, say } = reader;
  const remarks = gatherRemarks(takes, reader);
  const isSetBack = takes.some(({ take }) => isAfterSetBack(take));
  const n = remarks.length + (isSetBack ? 1 : 0);
  const warnings = remarks.filter(({ severity }) => severity !== 'note').length;
  return (
    <Fold
      id="remarks"
      title={t.results.notices}
      line={
        n === 0
          ? t.results.noticesNone
          : say(t.results.noticesLine, { n, warnings: warnings > 0 ? warnings : null })
      }
    >
      {isSetBack && <p>{t.results.clockSetBack}</p>}
      {remarks.length > 0 && <Remarks remarks={remarks} />}
      {n === 0 && <p>{t.results.noNotices}</p>}
    </Fold>
  );
}
