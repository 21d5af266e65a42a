import type { Layout } from '../../worker/core/engine.ts';
import type { Verdict } from '../../worker/core/judgement.ts';
import { cylindersOf } from '../../worker/core/layouts.ts';
import { verdictPath } from './marks.tsx';
import { useReader } from './model.ts';
import { levelPath, type PlanSpot, planDrawing, rotorPath } from './plan-geometry.ts';

/** Content of one cylinder's circle. */
export interface PlanCell {
  /** Reading as a fraction of the highest, 0 to 1: how far the circle is filled. `null`: not measured. */
  readonly share: number | null;
  /** The short figure under the number. */
  readonly figure?: string | undefined;
  /** The figure with its unit, for screen readers. */
  readonly said?: string | undefined;
  readonly verdict?: Verdict | undefined;
}

interface PlanProps {
  layout: Layout;
  cells: ReadonlyMap<number, PlanCell>;
  current?: number | null;
  /** Turns each cylinder into a button. */
  onChoose?: (cylinder: number) => void;
  /** `thumb`: without text, for lists. `strip`: low, for the top of the capture view. */
  size?: 'full' | 'strip' | 'thumb';
  /** Accessible name. Empty where the text beside the plan says the same. */
  label?: string;
}

/** Pixels per bore spacing, before the drawing is scaled to its box. */
const SCALE = 72;

/** The engine from above, with a reading in each cylinder. */
export function Plan({ layout, cells, current = null, onChoose, size = 'full', label }: PlanProps) {
  const { t, say } = useReader();
  const drawing = planDrawing(layout);
  const width = drawing.width * SCALE;
  const height = drawing.height * SCALE;
  const count = cylindersOf(layout).length;
  const name = label ?? say(drawing.isRotary ? t.plan.rotors : t.plan.label, { count });
  return (
    <svg
      class={`plan ${size}`}
      viewBox={`0 0 ${width} ${height}`}
      style={{ '--plan-width': `${width}px`, '--plan-height': `${height}px` }}
      role={onChoose ? 'group' : 'img'}
      aria-label={name || undefined}
      aria-hidden={name === '' ? true : undefined}
    >
      {drawing.axisY !== null && (
        <line class="axis" x1={0} x2={width} y1={drawing.axisY * SCALE} y2={drawing.axisY * SCALE} />
      )}
      {drawing.links.map((link) => (
        <line
          key={`${link.from.cylinder}-${link.to.cylinder}`}
          class="gasket"
          x1={link.from.x * SCALE}
          y1={link.from.y * SCALE}
          x2={link.to.x * SCALE}
          y2={link.to.y * SCALE}
        />
      ))}
      {drawing.spots.map((spot) => (
        <Cylinder
          key={spot.cylinder}
          spot={spot}
          radius={drawing.radius * SCALE}
          cell={cells.get(spot.cylinder)}
          isCurrent={spot.cylinder === current}
          onChoose={onChoose}
          isThumb={size === 'thumb'}
          isRotor={drawing.isRotary}
        />
      ))}
    </svg>
  );
}

interface CylinderProps {
  spot: PlanSpot;
  radius: number;
  cell: PlanCell | undefined;
  isCurrent: boolean;
  isThumb: boolean;
  isRotor: boolean;
  onChoose: ((cylinder: number) => void) | undefined;
}

function Cylinder({ spot, radius, cell, isCurrent, isThumb, isRotor, onChoose }: CylinderProps) {
  const { t, say } = useReader();
  const level = levelPath(cell?.share ?? 0, radius - 2);
  const state = [
    cell?.said ?? (cell?.share == null ? t.plan.notMeasured : ''),
    cell?.verdict ? t.verdict[cell.verdict] : '',
    isCurrent ? t.plan.current : '',
  ]
    .filter((part) => part !== '')
    .join(', ');
  const button = onChoose && {
    role: 'button' as const,
    // SVG attribute names are case-sensitive: browsers ignore `tabIndex`.
    tabindex: 0,
    'aria-pressed': isCurrent,
    'aria-label': say(isRotor ? t.plan.rotor : t.plan.cylinder, { n: spot.cylinder, state }),
    onClick: () => onChoose(spot.cylinder),
    onKeyDown: (event: KeyboardEvent) => {
      if (event.key !== 'Enter' && event.key !== ' ') return;
      event.preventDefault();
      onChoose(spot.cylinder);
    },
  };
  const hasFigure = !isThumb && cell?.figure !== undefined;
  return (
    <g
      class={`cylinder${isCurrent ? ' current' : ''}${cell?.share == null ? ' unmeasured' : ''}`}
      transform={`translate(${spot.x * SCALE} ${spot.y * SCALE})`}
      {...button}
    >
      {button && <rect class="touch" x={-SCALE / 2} y={-SCALE / 2} width={SCALE} height={SCALE} />}
      <circle class="ground" r={radius} />
      {isCurrent && <circle class="ring" r={radius + 4} />}
      {level && <path class="level" d={level} />}
      {isRotor && <path class="rotor" d={rotorPath(radius - 3)} />}
      <circle class="wall" r={radius} />
      {!isThumb && (
        <text class="number" y={hasFigure ? -radius * 0.24 : radius * 0.24} text-anchor="middle">
          {/* The space separates number and figure for screen readers. */}
          {`${spot.cylinder} `}
        </text>
      )}
      {hasFigure && (
        <text class="reading" y={radius * 0.42} text-anchor="middle">
          {cell.figure}
        </text>
      )}
      {cell?.verdict && (isThumb ? cell.verdict !== 'sound' : true) && (
        <g transform={isThumb ? 'translate(-24 -24) scale(2)' : `translate(${radius * 0.52} ${-radius - 3})`}>
          <circle class="mark-ground" cx={isThumb ? 12 : 9} cy={isThumb ? 12 : 9} r={isThumb ? 0 : 11} />
          <path
            class={`mark mark-${cell.verdict}`}
            transform={isThumb ? '' : 'scale(0.75)'}
            d={verdictPath(cell.verdict)}
          />
        </g>
      )}
    </g>
  );
}
