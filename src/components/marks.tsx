/** Shapes and markers that carry a meaning without colour. */
import type { Verdict } from '../../worker/core/judgement.ts';
import { useReader } from './model.ts';

const VERDICT_SHAPES: Readonly<Record<Verdict, string>> = {
  sound: 'M4 13 L9.5 18.5 L20 6',
  watch: 'M2.5 14 C5 7.5 9 7.5 12 12 S19 16.5 21.5 10',
  fault: 'M5 5 L19 19 M19 5 L5 19',
  'cannot-tell': 'M7.5 8.5 a4.5 4.5 0 1 1 7 3.8 c-1.8 1.2 -2.5 2 -2.5 3.7 M12 20.4 v0.2',
};

/** SVG path of a verdict's shape in a 24 by 24 box, for stroking. */
export const verdictPath = (verdict: Verdict): string => VERDICT_SHAPES[verdict];

/** A verdict's shape without its word. Hidden from screen readers. */
export function VerdictShape({ verdict }: { verdict: Verdict }) {
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true" class={`mark-${verdict}`}>
      <path
        d={VERDICT_SHAPES[verdict]}
        fill="none"
        stroke="currentColor"
        stroke-width="2.6"
        stroke-linecap="round"
        stroke-linejoin="round"
      />
    </svg>
  );
}

/** A verdict's shape and word. */
export function VerdictWord({ verdict }: { verdict: Verdict }) {
  const { t } = useReader();
  return (
    <span class={`verdict-word mark-${verdict}`}>
      <VerdictShape verdict={verdict} />
      {t.verdict[verdict]}
    </span>
  );
}

/** Eight shapes of about equal visual weight around (0, 0), each within a radius of 5. */
const MARKER_SHAPES = [
  'M-4 0 a4 4 0 1 0 8 0 a4 4 0 1 0 -8 0 Z',
  'M-3.6 -3.6 H3.6 V3.6 H-3.6 Z',
  'M0 -4.8 L4.6 3.4 H-4.6 Z',
  'M0 -5 L4.4 0 L0 5 L-4.4 0 Z',
  'M0 4.8 L4.6 -3.4 H-4.6 Z',
  'M-4.6 -1.5 H-1.5 V-4.6 H1.5 V-1.5 H4.6 V1.5 H1.5 V4.6 H-1.5 V1.5 H-4.6 Z',
  'M-4.6 -2.6 L-2.6 -4.6 L0 -2 L2.6 -4.6 L4.6 -2.6 L2 0 L4.6 2.6 L2.6 4.6 L0 2 L-2.6 4.6 L-4.6 2.6 L-2 0 Z',
  'M-2.4 -4.3 H2.4 L4.8 0 L2.4 4.3 H-2.4 L-4.8 0 Z',
] as const;

/** Colour and marker of a cylinder on every chart: eight of each, hollow from cylinder 9 on. */
export interface CylinderStyle {
  /** A CSS custom property, such as `--cyl-3`. */
  readonly colour: string;
  readonly marker: string;
  readonly hollow: boolean;
}

/** The colour and marker of a cylinder, numbered from 1. */
export function cylinderStyle(cylinder: number): CylinderStyle {
  const index = (cylinder - 1) % MARKER_SHAPES.length;
  return {
    colour: `--cyl-${index + 1}`,
    marker: MARKER_SHAPES[index] ?? MARKER_SHAPES[0],
    hollow: cylinder > MARKER_SHAPES.length,
  };
}

/** A cylinder's marker, as a legend beside its name. */
export function CylinderMarker({ cylinder }: { cylinder: number }) {
  const style = cylinderStyle(cylinder);
  return (
    <svg viewBox="-6 -6 12 12" width="14" height="14" aria-hidden="true" class="cylinder-marker">
      <path
        d={style.marker}
        fill={style.hollow ? 'var(--paper)' : `var(${style.colour})`}
        stroke={style.hollow ? `var(${style.colour})` : 'var(--ink)'}
        stroke-width={style.hollow ? 1.6 : 0.6}
      />
    </svg>
  );
}
