import type { Condition } from '../../core/trace.ts';

/** Cylinder and condition found in the name of a column or file; a field is missing when the name lacks it. */
export interface NameHints {
  readonly cylinder?: number | undefined;
  readonly condition?: Condition | undefined;
}

const CYLINDER =
  /(?:^|[^\p{L}])(?:c|cyl|cylinders?|cylindre|zyl|zylinder|cil|cilindro|cilinder)(?:[\s_-]?(?:pressure|press|druck))?[\s_.#:-]*(\d{1,2})(?!\d)/iu;
const NUMBER_ALONE = /^\s*#?\s*(\d{1,2})\s*$/;
const CONDITION = /(?:^|[^\p{L}])(wet|dry|oiled|oil)(?!\p{L})/iu;

/** Parses names such as `c3-wet.csv`, `Cylinder 2`, `cyl04_dry`. */
export function hintsFromName(name: string): NameHints {
  const digits = (CYLINDER.exec(name) ?? NUMBER_ALONE.exec(name))?.[1];
  const cylinder = digits === undefined ? 0 : Number(digits);
  const word = CONDITION.exec(name)?.[1]?.toLowerCase();
  return {
    ...(cylinder > 0 && { cylinder }),
    ...(word !== undefined && { condition: word === 'dry' ? ('dry' as const) : ('wet' as const) }),
  };
}
