import type { StoreProblemCode } from '../store/port.ts';
import { useReader } from './model.ts';
import { Button } from './pieces.tsx';

interface StoreFailureProps {
  code: StoreProblemCode;
  /** What could not be read. */
  lead?: string;
  /** Said where it is not there at all. */
  missing?: string;
  /** There is nothing else on the page. */
  isAlone?: boolean;
}

/** Why the library did not give what was asked for, with what can be done: an app without a browser's bar has no reload of its own. */
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
          <a class="button" href="/">
            {t.app.toEngines}
          </a>
        )}
      </div>
    </div>
  );
}
