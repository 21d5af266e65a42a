/** Context for the screens: the app model, and a `Reader` that formats figures and sentences. */
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { AppModel } from '../app/model.ts';
import { type Reader, readerFor } from './reader.ts';

export const ModelContext = createContext<AppModel | null>(null);

/** The app model. Throws outside its provider. */
export function useModel(): AppModel {
  const model = useContext(ModelContext);
  if (!model) throw new Error('No ModelContext above this component');
  return model;
}

/** Changes the words of every reader below it: `EngineWords` does, for rotary engines. */
export const ReaderContext = createContext<(reader: Reader) => Reader>((reader) => reader);

/** The formatter for the current settings. The component renders again when units or language change. */
export function useReader(): Reader {
  const { unit, units, language } = useModel().settings.values.value;
  return useContext(ReaderContext)(readerFor(unit, language, units));
}
