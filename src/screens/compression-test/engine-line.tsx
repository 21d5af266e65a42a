import { useReader } from '../../components/model.ts';
import { Stamp } from '../../components/pieces.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { markedOrigins } from './plan-cells.ts';

/** Whose test this is, above the heading of each step; with a stamp on everything that no real engine made. */
export function EngineLine({ loaded }: { loaded: LoadedTest }) {
  const { t, day } = useReader();
  return (
    <>
      <a class="engine-link" href={`/engine/${loaded.engine.id}`}>
        <bdi>{loaded.engine.name}</bdi>
      </a>
      , {day(loaded.test.startedAt)}{' '}
      {markedOrigins(loaded).map((origin) => (
        <Stamp key={origin}>{t.origin[origin]}</Stamp>
      ))}
    </>
  );
}
