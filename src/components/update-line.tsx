import { takeIdOf } from '../capture/capture-state.ts';
import { Button } from './button.tsx';
import { useModel, useReader } from './model.ts';

/** Offers a newer version of the app, except during a measurement or while samples are unsaved. */
export function UpdateLine() {
  const { capture, updates } = useModel();
  const { t } = useReader();
  const isBusy =
    capture.state.value.armed ||
    takeIdOf(capture.state.value) !== null ||
    capture.journal.value.state === 'behind';
  return (
    <div role="status" aria-live="polite">
      {updates.ready.value && !isBusy && (
        <div class="banner mild offer">
          <p>{t.update.ready}</p>
          <Button onClick={() => updates.takeOver()}>{t.update.use}</Button>
        </div>
      )}
    </div>
  );
}
