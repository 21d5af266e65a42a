import type { ComponentChildren } from 'preact';
import { useEffect } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { PageHead } from '../../components/heading.tsx';
import { InstallSection } from '../../components/install-section.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { NoticeShape } from '../../components/remarks.tsx';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { Tally } from '../../components/tally.tsx';
import { Tick } from '../../components/tick.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import { languageChoices } from '../../copy/languages.ts';
import { DataSection } from '../export/data-section.tsx';
import { RuleChooser } from '../results/rule-fold.tsx';
import { type Ability, browserFeatures, FEATURES } from './browser-features.ts';
import { GarageSection } from './garage-section.tsx';
import { SupportSection } from './support-section.tsx';
import { UnitsSection } from './units-section.tsx';

/** Units, theme, sounds, rule, browser features, and an explanation of the signs. */
export function SettingsScreen() {
  const { settings } = useModel();
  const { t, say } = useReader();
  const { theme, rule, language } = settings.values.value;
  return (
    <Page>
      <PageHead title={t.settings.title} />
      <UnitsSection />
      <Section title={t.settings.theme}>
        <Choice
          legend={t.settings.theme}
          quiet
          value={theme}
          options={[
            { value: 'system', label: t.settings.themeSystem },
            { value: 'light', label: t.settings.themeLight },
            { value: 'dark', label: t.settings.themeDark },
          ]}
          onChoose={(one) => settings.change({ theme: one })}
        />
      </Section>
      <HearingSection />
      <Section title={t.settings.ruleTitle}>
        <RuleChooser
          rule={rule}
          hasManual={false}
          legend={t.results.ruleChange}
          onChoose={(one) => settings.change({ rule: one })}
        />
      </Section>
      <Section title={t.settings.language}>
        {languageChoices.length === 1 ? (
          <p>{say(t.settings.onlyLanguage, { name: languageChoices[0]?.name })}</p>
        ) : (
          <Choice
            legend={t.settings.language}
            quiet
            value={language}
            options={languageChoices.map(({ code, name }) => ({ value: code, label: name }))}
            onChoose={(code) => settings.change({ language: code })}
          />
        )}
      </Section>
      <GarageSection />
      <DataSection />
      <InstallSection />
      <BrowserSection />
      <SupportSection />
      <HelpSection />
      <Section title={t.settings.cautions}>
        <p>{t.settings.cautionsText}</p>
      </Section>
    </Page>
  );
}

function HearingSection() {
  const { settings, testSound } = useModel();
  const { t, percent } = useReader();
  const { sound, speech, vibration, volume } = settings.values.value;
  return (
    <Section title={t.settings.hearing}>
      <Tick
        checked={sound}
        onChange={(on) => settings.change({ sound: on })}
        label={t.settings.sound}
        why={t.settings.soundWhy}
      />
      <Tick
        checked={speech}
        onChange={(on) => settings.change({ speech: on })}
        label={t.settings.speech}
        why={t.settings.speechWhy}
      />
      <Tick
        checked={vibration}
        onChange={(on) => settings.change({ vibration: on })}
        label={t.settings.vibration}
        why={t.settings.vibrationWhy}
      />
      <label class="field slider">
        <span class="label">
          {t.settings.volume} <span class="quiet">{percent(volume)}</span>
        </span>
        <input
          type="range"
          min="0"
          max="1"
          step="0.05"
          value={volume}
          aria-valuetext={percent(volume)}
          onInput={(event) => settings.change({ volume: Number(event.currentTarget.value) })}
        />
      </label>
      <Button onClick={testSound}>{t.settings.testSound}</Button>
    </Section>
  );
}

function BrowserSection() {
  const { t } = useReader();
  const { store } = useModel();
  const { loaded, reload } = useLoaded('features', () => browserFeatures(store.engines));
  const can = loaded.state === 'ready' ? loaded.value : null;
  const isSoundUntried = can?.sound === 'untried';
  useEffect(() => {
    if (!isSoundUntried) return;
    // Audio can start after any click, so the check is repeated.
    addEventListener('click', reload, { once: true });
    return () => removeEventListener('click', reload);
  }, [isSoundUntried, reload]);
  const words = (ability: Ability) =>
    ability === 'untried' ? t.settings.untried : ability ? t.settings.can : t.settings.cannot;
  return (
    <Section title={t.settings.browser}>
      <div class="stack">
        <ul class="remark-list">
          {FEATURES.map((feature) => (
            <li key={feature} class="remark">
              {can?.[feature] === true ? <VerdictShape verdict="sound" /> : <NoticeShape severity="note" />}
              <p>
                {t.settings.feature[feature]}: <span class="strong">{can && words(can[feature])}</span>
              </p>
            </li>
          ))}
        </ul>
        {can?.bluetooth === false && (
          <p>{'bluetooth' in navigator ? t.settings.noRadio : t.settings.noBluetooth}</p>
        )}
      </div>
    </Section>
  );
}

const SAMPLE_STROKES = [1, 2, 3, 4, 5, 6, 7].map((number) => ({
  number,
  partial: number === 1,
  lost: number === 4,
}));

function HelpSection() {
  const { t } = useReader();
  return (
    <Section title={t.settings.help}>
      <div class="stack">
        <Sign text={t.settings.helpTally}>
          <Tally strokes={SAMPLE_STROKES} settledFrom={3} />
        </Sign>
        <Sign text={t.settings.helpPlan} />
        <Sign text={t.settings.helpLadder} />
      </div>
    </Section>
  );
}

function Sign({ text, children }: { text: string; children?: ComponentChildren }) {
  return (
    <div class="sign">
      {children}
      <p>{text}</p>
    </div>
  );
}
