import { Button } from '../../components/button.tsx';
import { useReader } from '../../components/model.ts';
import type { LoadedTest } from '../../library/library.ts';
import { cautionsFor, isMust } from '../../safety/cautions.ts';

/** The cautions of the preparation without their reasons, which are one link away. */
function CautionList({ loaded }: { loaded: LoadedTest }) {
  const { t } = useReader();
  return (
    <>
      <p>
        {t.typed.safe} {t.prepare.law}
      </p>
      <ul class="dial-cautions">
        {cautionsFor(loaded.engine.facts, loaded.test.conditions.ticked).map((code) => (
          <li key={code} class={isMust(code) ? 'must' : undefined}>
            {t.caution[code].what}
          </li>
        ))}
      </ul>
      <p>
        <a class="link-line" href={`tests/${loaded.test.id}/prepare`}>
          {t.typed.safeReasons}
        </a>
      </p>
    </>
  );
}

/** Cautions before the first reading. The button comes after the last of them, so that none is skipped unseen. */
export function CautionsFirst({ loaded, onDone }: { loaded: LoadedTest; onDone: () => void }) {
  const { t } = useReader();
  return (
    <div class="stack dial-cautions-first">
      <h2>{t.prepare.title}</h2>
      <CautionList loaded={loaded} />
      <Button kind="main" onClick={onDone}>
        {t.typed.safeDone}
      </Button>
    </div>
  );
}

/** The same cautions, folded, once readings are typed. */
export function CautionsAgain({ loaded }: { loaded: LoadedTest }) {
  const { t } = useReader();
  return (
    <details class="fold">
      <summary>{t.typed.safeAgain}</summary>
      <CautionList loaded={loaded} />
    </details>
  );
}
