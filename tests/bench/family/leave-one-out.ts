/** Leave one model out: every figure of a model comes from constants that were fitted without it. */
import { MODEL_NAMES, type ModelName } from '../../../simulator/family/models.ts';

/** Fits to the tests of all models but one and applies the result to that one's, for each model in turn. */
export function leaveOneOut<T extends { readonly model: ModelName }, Fitted, Row>(
  tests: readonly T[],
  fitTo: (others: readonly T[]) => Fitted,
  apply: (fitted: Fitted, own: readonly T[]) => readonly Row[],
): { readonly rows: Row[]; readonly fitted: ReadonlyMap<ModelName, Fitted> } {
  const fitted = new Map<ModelName, Fitted>();
  const rows = MODEL_NAMES.flatMap((name) => {
    const own = tests.filter(({ model }) => model === name);
    if (own.length === 0) return [];
    const without = fitTo(tests.filter(({ model }) => model !== name));
    fitted.set(name, without);
    return apply(without, own);
  });
  return { rows, fitted };
}
