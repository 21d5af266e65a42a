import { useLocation } from 'preact-iso';
import { toKpa } from '../../worker/core/units.ts';
import type { LoadedTest } from '../capture/bench.ts';
import { useModel, useReader } from '../components/model.ts';
import { Button, Leaf, PageHead, Tick } from '../components/pieces.tsx';
import { Page } from '../components/shell.tsx';
import { useTrouble } from '../components/trouble.ts';
import { CAUTION_GROUPS, type CautionGroup, cautionsFor, isMust, untickedMusts } from './cautions.ts';
import { ConditionFields } from './condition-fields.tsx';
import { EngineLine } from './engine-line.tsx';

/** Common practice, no source: what hoses must stand at least. */
const HOSE_VALUES = { petrolKpa: toKpa(250, 'psi'), dieselKpa: toKpa(700, 'psi') };

/** What has to be done before the starter turns. */
export function PrepareChapter({ loaded }: { loaded: LoadedTest }) {
  const { engine, test } = loaded;
  const { t, say } = useReader();
  const { route } = useLocation();
  const left = untickedMusts(engine.facts, test.conditions.ticked).length;
  return (
    <Page>
      <PageHead title={t.prepare.title} over={<EngineLine loaded={loaded} />}>
        <p>
          {t.prepare.lead} {t.prepare.law}
        </p>
      </PageHead>
      {CAUTION_GROUPS.map((group) => (
        <CautionLeaf key={group} group={group} loaded={loaded} />
      ))}
      <ConditionFields test={test} />
      <div class="action">
        {left > 0 && <p class="action-why">{say(t.prepare.left, { n: left })}</p>}
        <Button kind="main" onClick={() => route(`/tests/${test.id}/crank`)}>
          {t.prepare.go}
        </Button>
      </div>
    </Page>
  );
}

function CautionLeaf({ group, loaded }: { group: CautionGroup; loaded: LoadedTest }) {
  const { engine, test } = loaded;
  const { bench } = useModel();
  const { t, say } = useReader();
  const trouble = useTrouble();
  const { conditions } = test;
  const title = { safe: t.prepare.groupSafe, ready: t.prepare.groupReady, rig: t.prepare.groupRig }[group];
  const tick = (code: string, on: boolean) => {
    const others = conditions.ticked.filter((one) => one !== code);
    const ticked = on ? [...others, code] : others;
    void trouble.attempt(bench.saveTest({ ...test, conditions: { ...conditions, ticked } }));
  };
  return (
    <Leaf title={title}>
      <div>
        {cautionsFor(engine.facts, group).map((code) => (
          <Tick
            key={code}
            checked={conditions.ticked.includes(code)}
            onChange={(on) => tick(code, on)}
            label={t.caution[code].what}
            why={say(t.caution[code].why, HOSE_VALUES)}
            must={isMust(code)}
          />
        ))}
      </div>
    </Leaf>
  );
}
