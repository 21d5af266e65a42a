import { useLocation } from 'preact-iso';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useRemoval } from '../../components/undo-offer.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { takenAt } from '../../library/test-date.ts';

/** Deletes the test with its takes, then opens the list of engines, where the deletion can be undone. */
export function DeleteTestSection({ loaded: { test } }: { loaded: LoadedTest }) {
  const { capture } = useModel();
  const { t, say, day } = useReader();
  const { route } = useLocation();
  const remove = useRemoval();
  const { phase } = capture.state.value;
  const isMeasuring = capture.session.value?.test.id === test.id && phase !== 'idle' && phase !== 'done';
  const go = async () => {
    if (await remove({ testId: test.id }, say(t.remove.testName, { day: day(takenAt(test)) }))) route('./');
  };
  return (
    <Section title={t.remove.testTitle} hint={t.remove.testHint}>
      <Button onClick={() => void go()} blocked={isMeasuring ? t.remove.measuring : null}>
        {t.remove.test}
      </Button>
      {isMeasuring && <p class="quiet">{t.remove.measuring}</p>}
    </Section>
  );
}
