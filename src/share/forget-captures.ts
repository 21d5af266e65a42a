import { createPrivateFiles } from '../platform/private-files.ts';
import { forgetCaptures } from '../store/capture-files.ts';

/** Otherwise the files would restore captures of a removed test at the next start. */
export async function forgetCapturesOf(testIds: ReadonlySet<string>): Promise<void> {
  const files = testIds.size > 0 ? createPrivateFiles('captures') : null;
  if (!files) return;
  for (const testId of testIds) await forgetCaptures(files, { testId }).catch(() => undefined);
}
