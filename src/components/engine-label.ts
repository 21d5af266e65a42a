import type { EngineIdentity, EngineRecord } from '../../worker/file/records.ts';

/** Registration and customer, to tell engines of the same name apart. Empty when neither is known. Pure. */
export const besideName = (identity: EngineIdentity | undefined): string =>
  [identity?.registration, identity?.customer].filter(Boolean).join(' · ');

/** Name with registration and customer, for a choice between engines. Pure. */
export function engineLabel({ name, identity }: Pick<EngineRecord, 'name' | 'identity'>): string {
  const beside = besideName(identity);
  return beside === '' ? name : `${name} (${beside})`;
}
