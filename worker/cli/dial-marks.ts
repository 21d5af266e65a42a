import type { DialMarks, SetUpProblem } from '../dial/set-up.ts';
import { UnusableInput } from '../file/unusable-input.ts';

/** Advice for each problem of a set-up. */
export const SET_UP_ADVICE: Readonly<Record<SetUpProblem, string>> = {
  'marks-unusable':
    'the marks must be four or more, inside the scale, and run clockwise in the order of their values',
  'dial-small': 'the radius of the scale is under 100 pixels: film from nearer',
  'ticks-missing': 'printed ticks are not where the marks put them: check the values and the division',
  'residual-high': 'the printed ticks do not fit the marks: check the values and the division',
  'mark-off': 'a mark is most of a division away from its tick: check its place and value',
  'contrast-low': 'the needle is hardly darker than the face: film with more light and less glare',
  'needle-not-at-zero': 'in the first frame the needle does not rest at zero',
};

/** Parses a file of marks: `hubPx`, `marks`, `fullScale`, `division`. Other fields are ignored. Throws `UnusableInput`. */
export function parseDialMarks(text: string, file: string): DialMarks {
  const bad = (what: string) => new UnusableInput(`${file}: ${what}`);
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    throw bad('this is not a JSON file');
  }
  if (typeof json !== 'object' || json === null) throw bad('this is not a JSON object');
  const { hubPx, marks, fullScale, division } = json as Record<string, unknown>;
  if (!Array.isArray(hubPx) || hubPx.length !== 2 || !hubPx.every(Number.isFinite)) {
    throw bad('"hubPx" must be [x, y] in pixels');
  }
  for (const [name, value] of Object.entries({ fullScale, division })) {
    if (typeof value !== 'number' || !(value > 0)) throw bad(`"${name}" must be a number above 0`);
  }
  if (!Array.isArray(marks)) throw bad('"marks" must be a list of { "v", "x", "y" }');
  const read = marks.map((mark: unknown, i) => {
    const { v, x, y } = (mark ?? {}) as Record<string, unknown>;
    if (![v, x, y].every(Number.isFinite)) throw bad(`"marks[${i}]" must be { "v", "x", "y" } with numbers`);
    return { v: v as number, x: x as number, y: y as number };
  });
  return {
    hub: { x: hubPx[0] as number, y: hubPx[1] as number },
    marks: read,
    fullScale: fullScale as number,
    division: division as number,
  };
}
