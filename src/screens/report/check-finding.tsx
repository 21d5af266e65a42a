import { EVIDENCE_FORM } from '../../../worker/file/session/evidence-bytes.ts';
import {
  type EvidenceSubject,
  notVouchedFor,
  vouchedFor,
} from '../../../worker/file/session/evidence-coverage.ts';
import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { takenAt } from '../../library/test-date.ts';
import { FINGERPRINT_LENGTH, readFingerprint } from './fingerprint-words.ts';
import { type FoundTest, type Match, matchOf } from './found-tests.ts';

/** Result of the comparison and its limits. */
export function Finding({ typed, found }: { typed: string; found: readonly FoundTest[] }) {
  const read = readFingerprint(typed);
  if (read.state !== 'good') return <div role="status" />;
  const match = matchOf(read.digits, found);
  return <div role="status">{match ? <Agreement match={match} digits={read.digits} /> : <Difference />}</div>;
}

function Difference() {
  const { t } = useReader();
  return (
    <div class="remark">
      <VerdictShape verdict="fault" />
      <p class="strong">{t.check.belongsNot}</p>
    </div>
  );
}

function Agreement({ match: { found, form }, digits }: { match: Match; digits: string }) {
  const { t, say, day } = useReader();
  const { test, engine } = found;
  const words = digits.length === FINGERPRINT_LENGTH ? t.check.belongs : t.check.belongsSoFar;
  return (
    <div class="remark">
      <VerdictShape verdict="sound" />
      <div class="stack">
        <p class="strong">{say(words, { n: digits.length })}</p>
        <p>{say(t.check.calls, { engine: engine.name, day: day(takenAt(test)) })}</p>
        {form !== EVIDENCE_FORM && <p class="strong">{t.check.olderForm}</p>}
        <Subjects title={t.check.vouched} subjects={vouchedFor(form)} />
        <Subjects title={t.check.notVouched} subjects={notVouchedFor(form)} />
      </div>
    </div>
  );
}

function Subjects({ title, subjects }: { title: string; subjects: readonly EvidenceSubject[] }) {
  const { t } = useReader();
  return (
    <div>
      <p class="strong">{title}:</p>
      <ul class="sheet-lines">
        {subjects.map((subject) => (
          <li key={subject}>{t.check.subject[subject]}</li>
        ))}
      </ul>
    </div>
  );
}
