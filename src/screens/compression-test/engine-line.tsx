import { engineLabel } from '../../components/engine-label.ts';
import { useReader } from '../../components/model.ts';
import { Stamp } from '../../components/stamp.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { takenAt } from '../../library/test-date.ts';
import { markedOrigins } from './plan-cells.ts';

/** Engine and date above the heading of each step, with a label for figures not measured on a real engine. */
export function EngineLine({ loaded }: { loaded: LoadedTest }) {
  const { t, day } = useReader();
  return (
    <>
      <a class="engine-link" href={`engine/${loaded.engine.id}`}>
        <bdi>{engineLabel(loaded.engine)}</bdi>
      </a>
      , {day(takenAt(loaded.test))}{' '}
      {markedOrigins(loaded).map((origin) => (
        <Stamp key={origin}>{t.origin[origin]}</Stamp>
      ))}
    </>
  );
}
