import { takeIdOf } from '../capture/capture-state.ts';
import { Button } from './button.tsx';
import { useModel, useReader } from './model.ts';
import { Section } from './section.tsx';

/** Says that the app can be installed, and how. Nothing while measuring, where it cannot be, or once dismissed. */
export function InstallSection() {
  const { capture, installation } = useModel();
  const { t } = useReader();
  const way = installation.way.value;
  const isMeasuring = capture.state.value.armed || takeIdOf(capture.state.value) !== null;
  if (way === null || isMeasuring) return null;
  return (
    <Section title={t.install.title}>
      <p>{way === 'prompt' ? t.install.why : t.install.shareMenu}</p>
      <div class="row below">
        {way === 'prompt' && <Button onClick={() => void installation.install()}>{t.install.go}</Button>}
        <Button kind="plain" onClick={installation.dismiss}>
          {t.install.never}
        </Button>
      </div>
    </Section>
  );
}
