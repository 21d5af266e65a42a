/** What every screen needs: the model behind it, and a reader for its figures and sentences. */
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { AppModel } from '../app/model.ts';
import { type Reader, readerFor } from './reader.ts';

export const ModelContext = createContext<AppModel | null>(null);

export function useModel(): AppModel {
  const model = useContext(ModelContext);
  if (!model) throw new Error('No ModelContext above this component');
  return model;
}

/** Follows the settings: a component that calls this is drawn anew when unit or language change. */
export function useReader(): Reader {
  const { unit, language } = useModel().settings.values.value;
  return readerFor(unit, language);
}
