import type { RefObject } from 'preact';
import { Button } from '../../components/button.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import type { LoadedTest } from '../../library/library.ts';
import { verdictSentence } from '../compression-test/verdict-words.ts';
import { unitDoubtWords } from '../results/result-words.ts';
import type { Target } from './dial-order.ts';

interface DialVerdictProps {
  loaded: LoadedTest;
  /** The reading being typed; `null` when none is left. */
  at: Target | null;
  heading: RefObject<HTMLHeadingElement | null>;
  onChoose: (target: Target) => void;
}

/** The verdict once every cylinder has a dry reading, the wet retests it asks for, and the way to the report. */
export function DialVerdict({ loaded, at, heading, onChoose }: DialVerdictProps) {
  const reader = useReader();
  const { t, say } = reader;
  const { judgement, counting, test } = loaded;
  const doubt = unitDoubtWords(loaded, reader);
  const toTest = judgement.wetRetest.filter(
    (cylinder) => !(at?.condition === 'wet' && at.cylinder === cylinder),
  );
  return (
    <section class="dial-verdict stack">
      <div class="verdict-line">
        <VerdictShape verdict={judgement.verdict} />
        <h2 ref={heading} tabIndex={-1}>
          {verdictSentence(loaded, reader)}
        </h2>
      </div>
      {doubt && <p class="problem">{doubt}</p>}
      {[...counting.wet].map(([cylinder, { reading }]) => (
        <p key={cylinder} class="dial-wet">
          {say(t.typed.wetDone, { n: cylinder, kpa: reading.finalKpa })}{' '}
          <Button kind="plain" onClick={() => onChoose({ cylinder, condition: 'wet' })}>
            {t.crank.change}
          </Button>
        </p>
      ))}
      {toTest.length > 0 && (
        <>
          <p>
            {say(t.typed.low, { n: toTest.length, where: reader.cylinders(toTest) })} {t.crank.wetCaution}
          </p>
          {toTest.map((cylinder, i) => (
            <Button
              key={cylinder}
              kind={i === 0 ? 'main' : ''}
              onClick={() => onChoose({ cylinder, condition: 'wet' })}
            >
              {say(t.typed.goWet, { n: cylinder })}
            </Button>
          ))}
        </>
      )}
      <div class="dial-leave">
        <a class={toTest.length > 0 ? 'button' : 'button main'} href={`tests/${test.id}/report`}>
          {t.typed.toReport}
        </a>
        <a class="button" href={`tests/${test.id}/judge`}>
          {t.typed.toResults}
        </a>
      </div>
    </section>
  );
}
