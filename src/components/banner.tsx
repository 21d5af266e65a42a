import { VerdictShape } from './marks.tsx';
import { useModel, useReader } from './model.ts';
import { useTrouble } from './trouble.ts';

/** What endangers the data stays on screen until it is settled. */
export function Banner() {
  const { capture } = useModel();
  const { t, say } = useReader();
  const refused = useTrouble().code.value;
  const journal = capture.journal.value;
  const analyst = t.analyst[capture.analyst.value];
  const code = journal.state === 'behind' ? journal.problem.code : refused;
  return (
    <div role="status" aria-live="polite">
      {code && (
        <div class="banner">
          <VerdictShape verdict="fault" />
          <p>
            {t.store[code]}{' '}
            {journal.state === 'behind' && say(t.storeBehind, { unsavedS: Math.max(1, journal.unsavedS) })}
          </p>
        </div>
      )}
      {analyst && capture.analyst.value !== 'starting' && (
        <div class="banner mild">
          <VerdictShape verdict="watch" />
          <p>{analyst}</p>
        </div>
      )}
    </div>
  );
}
