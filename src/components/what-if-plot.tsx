import type { WhatIfPoint } from '../../worker/core/physics/what-if.ts';
import { fromKpa } from '../../worker/core/units.ts';
import { useReader } from './model.ts';
import { PlotAxes } from './plot-axes.tsx';
import { digitsOf, endLabels, heightOn, niceScale } from './scale.ts';
import { useWidth } from './use-width.ts';

interface MeasuredMark {
  readonly label: string;
  readonly kpa: number;
}

interface WhatIfPlotProps {
  /** At least two, ascending in `x`. */
  points: readonly WhatIfPoint[];
  /** Measured pressures, drawn as horizontal lines. */
  marks: readonly MeasuredMark[];
  /** Label of the `x` axis, with its unit. */
  axis: string;
  label: string;
}

const LEFT = 52;
const TOP = 14;
const BOTTOM = 44;
const LABEL_ROOM = 64;

/** Expected pressure of a sound cylinder against one parameter, as a band, with the measured pressures. */
export function WhatIfPlot({ points, marks, axis, label }: WhatIfPlotProps) {
  const { unit, number } = useReader();
  const [ref, width] = useWidth<HTMLElement>(358);
  const height = Math.round(Math.min(380, Math.max(260, width * 0.5)));
  const right = width - LABEL_ROOM;
  const bottom = height - BOTTOM;
  const shown = (kpa: number) => fromKpa(kpa, unit);
  const pressures = niceScale(
    Math.min(...points.map((point) => shown(point.lowKpa)), ...marks.map((mark) => shown(mark.kpa))),
    Math.max(...points.map((point) => shown(point.highKpa)), ...marks.map((mark) => shown(mark.kpa))),
    5,
  );
  const [firstX, lastX] = [points[0]?.x ?? 0, points.at(-1)?.x ?? 1];
  const along = niceScale(firstX, lastX, Math.max(2, Math.floor((right - LEFT) / 90)));
  const x = (value: number) => LEFT + ((value - firstX) / (lastX - firstX)) * (right - LEFT);
  const onScale = heightOn(pressures, bottom, TOP);
  const y = (kpa: number) => onScale(shown(kpa));
  const path = (of: (point: WhatIfPoint) => number, some = points) =>
    some.map((point) => `${x(point.x).toFixed(1)} ${y(of(point)).toFixed(1)}`).join(' L ');
  const band = `M ${path((point) => point.highKpa)} L ${path((point) => point.lowKpa, points.toReversed())} Z`;
  const places = endLabels(
    marks.map((mark) => y(mark.kpa)),
    18,
    TOP,
    bottom,
  );
  return (
    <figure ref={ref} class="ladder what-if">
      <svg width={width} height={height} role="img" aria-label={label}>
        <path class="band" d={band} />
        <PlotAxes pressures={pressures} left={LEFT} right={right} top={TOP} bottom={bottom} axis={axis} />
        {along.ticks
          .filter((tick) => tick >= firstX && tick <= lastX)
          .map((tick) => (
            <text key={tick} class="tick-label" x={x(tick)} y={bottom + 20} text-anchor="middle">
              {number(tick, digitsOf(along))}
            </text>
          ))}
        <path class="expected" d={`M ${path((point) => point.expectedKpa)}`} />
        {marks.map((mark, i) => (
          <g key={mark.label}>
            <line class="measured" x1={LEFT} x2={right} y1={y(mark.kpa)} y2={y(mark.kpa)} />
            <path class="leader" d={`M ${right} ${y(mark.kpa)} L ${right + 10} ${places[i]}`} />
            <text class="line-label" x={right + 14} y={(places[i] ?? y(mark.kpa)) + 5}>
              {mark.label}
            </text>
          </g>
        ))}
      </svg>
    </figure>
  );
}
