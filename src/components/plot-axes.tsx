import { useReader } from './model.ts';
import { digitsOf, heightOn, type Scale } from './scale.ts';

interface PlotAxesProps {
  /** In the reader's unit. */
  pressures: Scale;
  left: number;
  right: number;
  top: number;
  bottom: number;
  /** Label of the horizontal axis, with its unit. */
  axis: string;
}

/** Vertical pressure axis with grid lines, and the labels of both axes. Each plot draws its own horizontal ticks. */
export function PlotAxes({ pressures, left, right, top, bottom, axis }: PlotAxesProps) {
  const { t, say, unitSymbol, number } = useReader();
  const y = heightOn(pressures, bottom, top);
  return (
    <>
      {pressures.ticks.map((tick) => (
        <g key={tick}>
          <line class="rung" x1={left} x2={right} y1={y(tick)} y2={y(tick)} />
          <text class="tick-label" x={left - 8} y={y(tick) + 5} text-anchor="end">
            {number(tick, digitsOf(pressures))}
          </text>
        </g>
      ))}
      <text class="axis-label" x={right} y={bottom + 40} text-anchor="end">
        {axis} →
      </text>
      <text class="axis-label" x={0} y={bottom + 40}>
        ↑ {say(t.compare.pressureAxis, { unit: unitSymbol })}
      </text>
    </>
  );
}
