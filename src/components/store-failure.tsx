import type { StoreProblemCode } from '../store/port.ts';
import { Button } from './button.tsx';
import { useReader } from './model.ts';

interface StoreFailureProps {
  code: StoreProblemCode;
  /** Sentence before the reason: what could not be read. */
  lead?: string;
  /** Replaces the reason when the record does not exist. */
  missing?: string;
  /** Whether the page shows nothing else; adds a link to the engines. */
  isAlone?: boolean;
}

/** Why a read from the store failed, with a button to reload: an installed app has no browser toolbar. */
export function StoreFailure({ code, lead = '', missing, isAlone = false }: StoreFailureProps) {
  const { t } = useReader();
  const isMissing = code === 'missing';
  return (
    <div class="stack-tight store-failure">
      <p class="problem" role="alert">
        {lead} {isMissing && missing !== undefined ? missing : t.storeRead[code]}
      </p>
      <div class="row">
        {!isMissing && <Button onClick={() => location.reload()}>{t.app.reload}</Button>}
        {isAlone && (
          <a class="button" href="./">
            {t.app.toEngines}
          </a>
        )}
      </div>
    </div>
  );
}
