import { cylindersOf } from '../../../worker/core/layouts.ts';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import type { EngineHistory } from './engine-history.ts';
import { isDue, type PlugState, plugState, runningNow } from './plug-due.ts';
import { dueWords, lookWords } from './plug-words.ts';

/** Plugs of an engine, one line per cylinder: last inspection, last change and when the next is due. */
export function PlugsSection({ history }: { history: EngineHistory }) {
  const { engine, tests, plugs } = history;
  const reader = useReader();
  const { t } = reader;
  if (engine.facts.fuel === 'diesel') {
    return (
      <Section title={t.plugs.title}>
        <p class="quiet">{t.plugs.diesel}</p>
      </Section>
    );
  }
  const running = runningNow(engine, tests, plugs);
  const states = cylindersOf(engine.facts.layout).flatMap((cylinder) => {
    const state = plugState(cylinder, plugs, running, engine.plugInterval);
    return state ? [{ cylinder, state }] : [];
  });
  // Plugs are usually changed together; equal sentences appear once.
  const dues = states.map(({ state }) => dueWords(state, reader).join(' '));
  const shared = states.length > 1 && new Set(dues).size === 1 ? states[0]?.state : undefined;
  const wantsInterval = states.some(({ state }) => state.changed) && !engine.plugInterval;
  return (
    <Section title={t.plugs.title} hint={t.plugs.hint}>
      <div class="stack">
        {states.length === 0 && <p class="quiet">{t.plugs.none}</p>}
        <ul class="index">
          {states.map(({ cylinder, state }) => (
            <li key={cylinder} class="plug-row">
              <p class="strong">{reader.cylinders([cylinder])}</p>
              <div>
                <p>
                  {lookWords(state.last, reader)}{' '}
                  <span class="quiet">({reader.since(state.last.seenAt)})</span>
                </p>
                {!shared && <DueLine state={state} />}
              </div>
            </li>
          ))}
        </ul>
        {shared && <DueLine state={shared} />}
        {wantsInterval && <p class="quiet">{t.plugs.noInterval}</p>}
        <a class="button" href={`engine/${engine.id}/plugs`}>
          {t.card.lookAtPlugs}
        </a>
      </div>
    </Section>
  );
}

function DueLine({ state }: { state: PlugState }) {
  const words = dueWords(state, useReader()).join(' ');
  if (!isDue(state)) return <p class="quiet">{words}</p>;
  return (
    <p class="mark-watch due-line">
      <VerdictShape verdict="watch" /> {words}
    </p>
  );
}

/** Link from a test to the plugs of its engine. Empty for a diesel. */
export function PlugsLinkSection({ engine }: { engine: EngineRecord }) {
  const { t } = useReader();
  if (engine.facts.fuel === 'diesel') return null;
  return (
    <Section title={t.plugs.title} hint={t.plugs.fromTest}>
      <a class="button" href={`engine/${engine.id}/plugs`}>
        {t.card.lookAtPlugs}
      </a>
    </Section>
  );
}
